import { expect, it } from "vitest";
import { parseDay } from "../../src/text/parse-day.js";

// The calendar is the source: ISO 8601 for the form, the Gregorian rule for leap years.
it.each([
  ["2031-03-14", "2031-03-14"],
  ["2031-3-4", "2031-03-04"],
  ["2031/03/14", "2031-03-14"],
  ["14.3.2031", "2031-03-14"],
  ["14. 3. 2031", "2031-03-14"],
  ["14/3/2031", "2031-03-14"],
  ["3/14/2031", "2031-03-14"],
  ["5/5/2031", "2031-05-05"],
  ["29.2.2032", "2032-02-29"],
  ["today", "2031-03-14"],
  ["Yesterday", "2031-03-13"],
])("%s is %s", (text, day) => {
  expect(parseDay(text, new Date(2031, 2, 14, 23, 59))).toEqual({ day });
});

it.each([
  ["3/4/2031", "2031-04-03 or 2031-03-04"],
  ["29.2.2031", "no such day"],
  ["2031-13-01", "no such day"],
  ["0.1.2031", "no such day"],
  ["14.3.31", "four digits"],
  ["2031", "YYYY-MM-DD"],
  ["", "YYYY-MM-DD"],
  ["march", "YYYY-MM-DD"],
])("%j is refused: %s", (text, why) => {
  expect(parseDay(text)).toEqual({ fault: expect.stringContaining(why) });
});
