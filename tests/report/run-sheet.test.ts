import { describe, expect, it } from "vitest";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import { formatStarterDesk } from "../../src/desk/starter.js";
import { formatDuration } from "../../src/report/sheet/phrases.js";
import { renderSheetText } from "../../src/report/sheet/text.js";
import { wrapText } from "../../src/report/wrap.js";
import { buildRunSheet } from "../../src/service/run-sheet.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";

const text = formatStarterDesk({
  name: "A desk with a name as long as the desk file allows it to be.",
  strips: "24",
  inputs: ["mic", "line", "a-long-input.num"],
  mainsHz: 50,
});
const options = {
  sampleRate: 44100,
  file: "a-file-with-a-name-so-long-that-it-does-not-fit-on-one-line-of-eighty-columns.wav",
};

describe.each(["by-input", "by-strip", "fewest"])("the run sheet %s as text", (order) => {
  const desk = parseDesk(text.replace("order: fewest", `order: ${order}`), "desk.yaml");
  const lines = renderSheetText(
    buildRunSheet(desk, buildSignalTable("full", "base"), options),
  ).split("\n");

  it("fits 80 columns", () => {
    for (const line of lines) expect(line.length).toBeLessThanOrEqual(80);
  });

  it("is plain ASCII, so that any printer takes it", () => {
    expect(lines.join("")).toMatch(/^[\x20-\x7e]*$/);
  });

  it("has one line to tick for each path", () => {
    const ticks = lines
      .filter((line) => line.startsWith("[ ]"))
      .map((line) => line.split(/\s+/)[3]);
    expect(ticks).toEqual(desk.paths.map(({ path }) => path));
  });

  it("shows the cautions before the set-up and the set-up before the patches", () => {
    const at = (start: string) => lines.findIndex((line) => line.startsWith(start));
    expect(at("BEFORE ANYTHING")).toBeLessThan(at("SETTING UP"));
    expect(at("SETTING UP")).toBeLessThan(at("[ ]"));
  });
});

describe("time", () => {
  it("is reported in minutes, with hours when there are any", () => {
    expect([20, 2340, 7500].map(formatDuration)).toEqual(["1 min", "39 min", "2 h 5 min"]);
  });
});

describe("wrapping", () => {
  it("breaks at spaces and cuts what is longer than a line", () => {
    const lines = wrapText("aa bb abcdefghij c", 8, "- ", "  ");
    expect(lines).toEqual(["- aa bb", "  abcdef", "  ghij c"]);
  });
});
