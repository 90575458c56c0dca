(() => {
  "use strict";
  const form = document.getElementById("form");
  const message = document.getElementById("message");
  const told = document.getElementById("told");
  const value = (name) => form.elements[name].value.trim();
  const quoted = (text) =>
    '"' + text.replace(/\s+/g, " ").replace(/\\/g, "\\\\").replace(/"/g, '\\"') + '"';
  const two = (number) => String(number).padStart(2, "0");
  const now = () => {
    const at = new Date();
    return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ` +
      `${two(at.getHours())}:${two(at.getMinutes())}`;
  };
  const say = (text) => { told.textContent = text; };
  const add = (lines) => {
    const name = value("name").replace(/[:,"“”]/g, " ").replace(/\s+/g, " ").trim();
    if (name.length < 2) { say("Write your name first."); form.elements.name.focus(); return false; }
    if (!lines.length) { say("Nothing is chosen yet."); return false; }
    const when = value("when").replace("T", " ").slice(0, 16) || now();
    const how = form.elements.seen.checked ? " --how seen" : "";
    const head = `${when} ${name}, ${form.dataset.role}: `;
    message.value += lines.map((line) => head + line + how + "\n").join("");
    say(lines.length === 1 ? "One line is in the message." : `${lines.length} lines are in the message.`);
    return true;
  };
  const makers = {
    step: (button) => [button.dataset.line],
    done: () => {
      const ticked = [...form.querySelectorAll("input[data-line]:checked")];
      const lines = ticked.map((box) => box.dataset.line);
      ticked.forEach((box) => { box.checked = false; });
      return lines;
    },
    reading: () => {
      const read = value("read").replace(",", ".");
      if (!read) { return []; }
      const kind = value("kind");
      const unit = kind === "moisture" || kind === "humidity" ? "%" : form.dataset.temperature;
      return [`reading ${kind} ${read} ${unit} ${value("reading-place")}`];
    },
    depth: () => {
      const depths = value("depths").replace(/,/g, ".").split(/[\s;]+/).filter(Boolean);
      return depths.length ? [`depth ${value("surface")} ${depths.join(" ")}`] : [];
    },
    stop: () => (value("why") ? [`stop ${quoted(value("why"))} ${value("stop-place")}`.trim()] : []),
  };
  form.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-make]");
    if (!button) { return; }
    if (value("name").length < 2) { add([]); return; }
    if (add(makers[button.dataset.make](button))) {
      ["read", "depths", "why"].forEach((name) => {
        if (form.elements[name]) { form.elements[name].value = ""; }
      });
    }
  });
  document.getElementById("copy").addEventListener("click", () => {
    message.select();
    say(document.execCommand("copy") ? "Copied: paste it into a message." : "Mark the text and copy it.");
  });
  form.addEventListener("submit", (event) => event.preventDefault());
})();
