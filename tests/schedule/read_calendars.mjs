// Reads calendars by ical.js: `node read_calendars.mjs IN OUT ZONE...`, in the folder of its packages. IN is a
// list of texts; of each, OUT has the name, how often to ask, and the entries with their instants and, for each
// zone, their wall times by the engine's own table of zones.
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [given, out, ...zones] = process.argv.slice(2);
const packages = createRequire(join(process.cwd(), "package.json"));
const { default: ICAL } = await import(
  pathToFileURL(packages.resolve("ical.js")).href
);

const wall = Object.fromEntries(
  zones.map((timeZone) => [
    timeZone,
    new Intl.DateTimeFormat("sv-SE", {
      timeZone,
      dateStyle: "short",
      timeStyle: "medium",
    }),
  ]),
);

function time(value) {
  if (value.isDate) return value.toString();
  if (value.zone !== ICAL.Timezone.utcTimezone)
    throw new Error(`not in UTC: ${value.toICALString()}`);
  const at = value.toJSDate();
  const walls = zones.map((zone) => wall[zone].format(at));
  return [at.toISOString(), ...walls];
}

function entry(component) {
  const event = new ICAL.Event(component);
  const value = (name) => component.getFirstPropertyValue(name);
  return {
    uid: event.uid,
    summary: event.summary,
    description: event.description,
    start: time(event.startDate),
    end: time(event.endDate),
    stamp: value("dtstamp").toJSDate().toISOString(),
    sequence: value("sequence"),
    class: value("class"),
    names: component.getAllProperties().map(({ name }) => name),
  };
}

function read(text) {
  const calendar = new ICAL.Component(ICAL.parse(text));
  const again = calendar.getFirstProperty("refresh-interval");
  return {
    name: calendar.getFirstPropertyValue("name"),
    version: calendar.getFirstPropertyValue("version"),
    prodid: calendar.getFirstPropertyValue("prodid"),
    again: [again.type, again.getFirstValue().toSeconds()],
    entries: calendar.getAllSubcomponents("vevent").map(entry),
    others: calendar
      .getAllSubcomponents()
      .filter(({ name }) => name !== "vevent").length,
  };
}

writeFileSync(
  out,
  JSON.stringify(JSON.parse(readFileSync(given, "utf-8")).map(read)),
);
