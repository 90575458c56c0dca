// Reads a calendar file with two readers written for another language and prints what they hold.
// node readers.js FOLDER_OF_MODULES FILE...
const path = require("path");
const fs = require("fs");
const [modules, ...files] = process.argv.slice(2);
const from = (name) => require(require.resolve(name, { paths: [path.resolve(modules)] }));

async function icaljs() {
  const loaded = from("ical.js");
  return loaded.default || loaded;
}

async function main() {
  const ICAL = await icaljs();
  const nodeIcal = from("node-ical");
  const out = { "ical.js": [], "node-ical": [] };
  for (const file of files) {
    const text = fs.readFileSync(file, "utf8");
    const root = new ICAL.Component(ICAL.parse(text));
    ICAL.TimezoneService.reset();
    for (const zone of root.getAllSubcomponents("vtimezone")) {
      ICAL.TimezoneService.register(new ICAL.Timezone(zone));
    }
    const event = (component) => {
      const found = new ICAL.Event(component, { exceptions: [] });
      return {
        uid: found.uid,
        starts: found.startDate.toUnixTime(),
        ends: found.endDate.toUnixTime(),
        sequence: found.sequence || 0,
        status: component.getFirstPropertyValue("status"),
        title: found.summary,
      };
    };
    out["ical.js"].push(root.getAllSubcomponents("vevent").map(event));
    const parsed = nodeIcal.sync.parseICS(text);
    out["node-ical"].push(
      Object.values(parsed).filter((each) => each.type === "VEVENT").map((each) => ({
        uid: each.uid,
        starts: each.start.getTime() / 1000,
        ends: each.end.getTime() / 1000,
        sequence: Number(each.sequence || 0),
        status: each.status,
        title: each.summary,
      })),
    );
  }
  process.stdout.write(JSON.stringify(out));
}
main();
