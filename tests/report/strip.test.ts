import { describe, expect, it } from "vitest";
import { renderStrip } from "../../src/report/strip.js";
import type { FaultyControl } from "../../src/service/plan/from-controls.js";
import { path, round } from "../history/rounds-of.js";

const scratchy: FaultyControl = {
  pass: "2031-02-01-01",
  date: "2031-02-01T12:00:00Z",
  path: "1/mic",
  strip: "1",
  input: "mic",
  report: {
    control: "gain",
    hand: "turn",
    fromS: 10,
    untilS: 20,
    moved: "seen",
    rangeDb: 30,
    scratches: { tone: 5, silence: 0 },
    dropouts: 0,
    jumps: 0,
    expected: 0.1,
    events: [{ kind: "scratch", during: "tone", atS: 12.3, lengthS: 0.01, levelDb: -40 }],
    verdicts: ["scratchy"],
  },
};

describe("a strip at a glance", () => {
  const level = { value: -20, unit: "dBFS", uncertainty: 0.01 };
  const paths = [path("1/mic", { readings: { level } })];
  const sheet = {
    round: round("2031-01-31", paths),
    strip: "1",
    paths,
    notes: [],
    controls: [],
    life: { strip: "1", events: [], parts: [], trends: [] },
  };
  const style = { colour: "none", width: 80 } as const;

  it("names controls that scratch beside readings that are in order", () => {
    const text = renderStrip({ ...sheet, controls: [scratchy] }, style);
    expect(text).toContain("mic      like its siblings");
    expect(text).toMatch(
      /CONTROLS THAT NEED ATTENTION\nmic {6}gain scratchy: 5 scratches, first at 0:12\.3 \(controls pass\n {9}2031-02-01-01\)/,
    );
    expect(renderStrip(sheet, style)).not.toContain("CONTROLS");
  });
});
