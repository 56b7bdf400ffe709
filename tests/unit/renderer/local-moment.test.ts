import { afterEach, expect, test } from "vitest";
import { localMoment } from "../../../src-renderer/state/local-moment";

const zone = process.env.TZ;
afterEach(() => {
  process.env.TZ = zone ?? "";
});

// Offsets of the time zone database; the last hour of a day in UTC is the next day in the east.
test.each([
  ["UTC", "2026-11-25T23:30:05+00:00"],
  ["Europe/Berlin", "2026-11-26T00:30:05+01:00"],
  ["America/St_Johns", "2026-11-25T20:00:05-03:30"],
  ["Asia/Kathmandu", "2026-11-26T05:15:05+05:45"],
])("a sheet issued in %s bears the local day and time with its offset", (name, expected) => {
  process.env.TZ = name;
  expect(localMoment(new Date("2026-11-25T23:30:05Z"))).toBe(expected);
});
