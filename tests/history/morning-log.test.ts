import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import {
  appendMorning,
  getMorningLog,
  type MorningEntry,
  readMornings,
} from "../../src/history/morning-log.js";

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "mornings-"));
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

const entry: MorningEntry = {
  date: "2031-03-14T09:00:00+01:00",
  verdict: "good",
  unit: "dBFS",
  signal: "quick-base-1",
  paths: { "1/line": { level: -18 }, "2/line": {} },
  sentence: "As on the last good day.",
};
const summed: MorningEntry = {
  ...entry,
  verdict: "changed",
  unit: "dBu",
  sums: { "1/line,2/line": { noise: -80 } },
};

function write(...lines: readonly string[]): void {
  mkdirSync(dirname(getMorningLog(folder)), { recursive: true });
  writeFileSync(getMorningLog(folder), lines.map((line) => `${line}\n`).join(""));
}

describe("the log of mornings", () => {
  it("is empty if there is none", () => {
    expect(readMornings(folder)).toEqual({ entries: [], damaged: 0 });
  });

  it("gives back what was added, oldest first", () => {
    appendMorning(folder, entry);
    appendMorning(folder, summed);
    const { entries, damaged } = readMornings(folder);
    expect(damaged).toBe(0);
    expect(entries).toMatchObject([entry, summed]);
    expect(entries[0]).not.toHaveProperty("sums");
    expect(readFileSync(getMorningLog(folder), "utf8").split("\n")).toEqual([
      JSON.stringify({ morning: 1, ...entry }),
      expect.stringMatching(/^\{"morning":1,"date":/),
      "",
    ]);
  });

  it("keeps which paths were not measured", () => {
    appendMorning(folder, { ...entry, unmeasured: ["2/line"] });
    appendMorning(folder, entry);
    const [first, second] = readMornings(folder).entries;
    expect(first.unmeasured).toEqual(["2/line"]);
    expect(second).not.toHaveProperty("unmeasured");
  });

  it("ends a line that was left without an end before it adds the next, and keeps it", () => {
    mkdirSync(dirname(getMorningLog(folder)), { recursive: true });
    const cut = '{"morning":1,"date":"2031-03-1';
    writeFileSync(getMorningLog(folder), cut);
    appendMorning(folder, entry);
    expect(readFileSync(getMorningLog(folder), "utf8").startsWith(`${cut}\n{`)).toBe(true);
    expect(readMornings(folder)).toMatchObject({ entries: [entry], damaged: 1 });
  });

  it("passes blank lines over without a word", () => {
    const whole = JSON.stringify({ morning: 1, ...entry });
    write(whole, "", "  ", whole);
    expect(readMornings(folder)).toMatchObject({ damaged: 0 });
    expect(readMornings(folder).entries).toHaveLength(2);
  });

  it.each([
    ["no JSON", "{"],
    ["a number", "7"],
    ["nothing", "null"],
    ["a text", JSON.stringify("morning")],
    ["another kind of line", JSON.stringify({ ...entry })],
    ["another version", JSON.stringify({ morning: 2, ...entry })],
    ["a date that is no text", JSON.stringify({ morning: 1, ...entry, date: 7 })],
    ["an unknown verdict", JSON.stringify({ morning: 1, ...entry, verdict: "fine" })],
    ["an unknown unit", JSON.stringify({ morning: 1, ...entry, unit: "dBV" })],
    ["a signal that is no text", JSON.stringify({ morning: 1, ...entry, signal: 1 })],
    ["a sentence that is no text", JSON.stringify({ morning: 1, ...entry, sentence: null })],
    ["no paths", JSON.stringify({ morning: 1, ...entry, paths: undefined })],
    ["paths that are none", JSON.stringify({ morning: 1, ...entry, paths: "1/line" })],
    ["a path that is none", JSON.stringify({ morning: 1, ...entry, paths: { "1/line": null } })],
    [
      "a figure that is no number",
      JSON.stringify({ morning: 1, ...entry, paths: { "1/line": { level: "-18" } } }),
    ],
    [
      "a path that is a number",
      JSON.stringify({ morning: 1, ...entry, paths: { "1/line": { level: -18 }, "2/line": 7 } }),
    ],
    [
      "one path of two that is none",
      JSON.stringify({ morning: 1, ...entry, paths: { "1/line": null, "2/line": {} } }),
    ],
    [
      "a list of unmeasured paths that is none",
      JSON.stringify({ morning: 1, ...entry, unmeasured: "1/line" }),
    ],
    ["sums that are none", JSON.stringify({ morning: 1, ...entry, sums: 7 })],
  ])("counts a line as damaged that is %s, and reads the others", (_, line) => {
    const whole = JSON.stringify({ morning: 1, ...entry });
    write(whole, line, whole);
    const { entries, damaged } = readMornings(folder);
    expect(damaged).toBe(1);
    expect(entries).toHaveLength(2);
  });

  it("is not written over a file that is something else", () => {
    write("shopping list");
    expect(() => appendMorning(folder, entry)).toThrow();
    expect(readFileSync(getMorningLog(folder), "utf8")).toBe("shopping list\n");
  });
});
