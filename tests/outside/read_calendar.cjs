// Reads a calendar from standard input with ical.js and prints its events as JSON, times in UTC.
// Zones are taken from the calendar alone: ical.js brings no table of its own.
"use strict";

const { readFileSync } = require("node:fs");
const ICAL = require("ical.js");

const calendar = new ICAL.Component(ICAL.parse(readFileSync(0, "utf8")));
const zones = calendar
  .getAllSubcomponents("vtimezone")
  .map((each) => new ICAL.Timezone(each));

function utc(event, name) {
  const property = event.getFirstProperty(name);
  const time = property.getFirstValue();
  const tzid = property.getParameter("tzid");
  if (tzid) {
    const zone = zones.find((each) => each.tzid === tzid);
    if (!zone) throw new Error(`${name}: no VTIMEZONE ${tzid}`);
    time.zone = zone;
  } else if (time.zone !== ICAL.Timezone.utcTimezone) {
    throw new Error(`${name}: neither a zone nor UTC`);
  }
  return time.toUnixTime();
}

const events = calendar.getAllSubcomponents("vevent").map((event) => ({
  uid: event.getFirstPropertyValue("uid"),
  start: utc(event, "dtstart"),
  end: utc(event, "dtend"),
  changed: utc(event, "last-modified"),
  status: event.getFirstPropertyValue("status"),
  sequence: event.getFirstPropertyValue("sequence"),
  summary: event.getFirstPropertyValue("summary"),
}));
process.stdout.write(JSON.stringify(events));
