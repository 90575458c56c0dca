// Prints the offset in seconds that a reader takes for every half hour of the wall clock, by the
// zone in a calendar file, which is how it places an entry:
// node zones.js FOLDER_OF_MODULES FIRST LAST FILE... (FIRST and LAST in
// seconds since 1970, as if the wall clock were UTC)
const path = require("path");
const fs = require("fs");
const [modules, first, last, ...files] = process.argv.slice(2);
const loaded = require(require.resolve("ical.js", { paths: [path.resolve(modules)] }));
const ICAL = loaded.default || loaded;
const out = [];
for (const file of files) {
  const root = new ICAL.Component(ICAL.parse(fs.readFileSync(file, "utf8")));
  const component = root.getFirstSubcomponent("vtimezone");
  const runs = [];
  const zone = component ? new ICAL.Timezone(component) : ICAL.Timezone.utcTimezone;
  for (let at = Number(first); at < Number(last); at += 1800) {
    const wall = new Date(at * 1000);
    const local = new ICAL.Time({
      year: wall.getUTCFullYear(),
      month: wall.getUTCMonth() + 1,
      day: wall.getUTCDate(),
      hour: wall.getUTCHours(),
      minute: wall.getUTCMinutes(),
      second: 0,
      isDate: false,
    }, zone);
    const offset = at - local.toUnixTime();
    if (!runs.length || runs[runs.length - 1][1] !== offset) runs.push([at, offset]);
  }
  out.push(runs);
}
process.stdout.write(JSON.stringify(out));
