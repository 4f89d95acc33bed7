import { describe, expect, it, test } from "vitest";
import { classifyState, getOpinion, type RatedPath } from "../../../src/history/compare/states.js";
import type { Course, CurveChange, ReadingChange } from "../../../src/history/compare/types.js";
import type { Standing } from "../../../src/history/standing.js";
import type { RoundPath } from "../../../src/history/types.js";
import { reading as measured } from "../../helpers/families.js";
import { path } from "../rounds-of.js";

// Expected: docs/year-on-year.md, what became of a path; each case worked out from the rule there.

const finding = (
  reading: string,
  deviation: number,
  severity: RoundPath["findings"][number]["severity"] = "service",
): RoundPath["findings"][number] => ({
  reading,
  against: "siblings",
  value: deviation,
  expected: 0,
  deviation,
  unit: "dB",
  score: 9,
  severity,
  words: "",
});
const cause = (id: string) =>
  ({ cause: id, name: `a ${id}`, kind: "fault" }) as unknown as RoundPath["causes"][number];
const rated = (standing: Standing, given: Partial<RoundPath> = {}): RatedPath => ({
  path: path("7/mic", given as Parameters<typeof path>[1]),
  standing,
});

const alike = rated("alike");
const setting = rated("setting", { findings: [finding("gain", -20)], causes: [cause("pad-in")] });
const faulty = rated("service", { findings: [finding("gain", -6)], causes: [cause("gain-off")] });
const other = rated("watch", { findings: [finding("hiss", 9)], causes: [cause("noisy-device")] });
const dead = rated("service", { findings: [finding("return", -1)], causes: [cause("no-signal")] });
const deadBySetting = rated("setting", { findings: [finding("return", -1)] });
const causeless = rated("service", { findings: [finding("gain", -6)] });
const twice = rated("service", { findings: [finding("gain", -6), finding("hiss", 9)] });
const missing = rated("unmeasured", { status: "missing" });

const change = (own: number, course: Course, real = true) => ({
  unit: "dB",
  difference: own,
  own,
  uncertainty: 0.1,
  significance: 9,
  real,
  course,
});
const moved = (reading: string, own: number, course: Course, real = true): ReadingChange =>
  ({
    ...change(own, course, real),
    reading,
    earlier: measured(0),
    later: measured(own),
  }) as ReadingChange;
const bent = (curve: string, own: number, course: Course): CurveChange =>
  ({ ...change(own, course), curve, part: "low", atHz: 50, earlier: 0, later: own }) as CurveChange;

const lost = [moved("gain", -6, "worse")];
const regained = [moved("gain", 6, "better")];

test.each([
  // dead then or now
  [dead, dead, [], "fault-still"],
  [faulty, dead, [], "other-fault"],
  [alike, dead, [], "new-fault"],
  [alike, deadBySetting, [], "set-wrong"],
  [dead, missing, [], "no-partner"],
  [dead, faulty, [], "other-fault"],
  [dead, alike, [], "fault-gone"],
  [deadBySetting, alike, [], "set-right"],
  // not measured
  [missing, alike, [], "no-partner"],
  [alike, missing, [], "no-partner"],
  // a fault then and now
  [faulty, faulty, lost, "fault-still"],
  [faulty, other, [moved("hiss", 9, "worse")], "other-fault"],
  [faulty, other, [moved("hiss", 9, "worse", false)], "fault-still"],
  [faulty, other, [moved("thd", 9, "worse")], "fault-still"],
  [causeless, faulty, lost, "other-fault"],
  [faulty, causeless, lost, "other-fault"],
  [causeless, causeless, lost, "fault-still"],
  // a fault now
  [alike, faulty, lost, "new-fault"],
  [alike, faulty, [moved("gain", -6, "worse", false)], "unsure"],
  [alike, faulty, [moved("thd", 9, "worse")], "unsure"],
  [setting, faulty, lost, "new-fault"],
  // a fault then
  [faulty, alike, regained, "fault-gone"],
  [faulty, alike, [moved("gain", 3, "better")], "fault-gone"],
  [faulty, alike, [moved("gain", 2.9, "better")], "unsure"],
  [faulty, alike, [moved("gain", -6, "worse")], "unsure"],
  [faulty, alike, [moved("gain", 6, "better", false)], "unsure"],
  [faulty, alike, [moved("thd", 6, "better")], "unsure"],
  [twice, alike, regained, "fault-gone"],
  [twice, alike, [moved("hiss", -9, "better")], "fault-gone"],
  [twice, alike, [moved("gain", -6, "worse"), moved("hiss", 9, "worse")], "unsure"],
  [faulty, rated("unjudged"), [], "fault-still"],
  [faulty, rated("unjudged"), regained, "fault-gone"],
  // settings
  [alike, setting, [moved("gain", -20, "worse")], "set-wrong"],
  [alike, setting, [], "unsure"],
  [faulty, setting, regained, "fault-gone"],
  [setting, alike, [moved("gain", 20, "better")], "set-right"],
  [setting, alike, [], "unsure"],
  [setting, setting, [], "steady"],
  // nothing to speak of
  [alike, alike, [], "steady"],
  [alike, alike, [moved("thd", 1, "worse")], "drift"],
  [alike, alike, [moved("thd", 1, "worse", false)], "steady"],
  [alike, alike, [moved("thd", -1, "better")], "better"],
  [alike, alike, [moved("thd", -1, "better"), moved("hiss", 1, "worse")], "drift"],
  [alike, alike, [moved("level", 1, "neither")], "steady"],
] as const)("case %#", (earlier, later, readings, state) => {
  expect(classifyState(earlier, later, readings, [])).toBe(state);
});

describe("curves", () => {
  const bass = rated("service", { findings: [finding("response", -8)], causes: [cause("dried")] });
  const rough = rated("watch", { findings: [finding("distortionCurve", 9)] });

  it("count as what a finding is about", () => {
    expect(classifyState(alike, bass, [], [bent("response", -8, "worse")])).toBe("new-fault");
    expect(classifyState(alike, bass, [], [bent("noise", 8, "worse")])).toBe("unsure");
    expect(classifyState(alike, rough, [], [bent("distortion", 9, "worse")])).toBe("new-fault");
    expect(classifyState(bass, alike, [], [bent("response", 8, "better")])).toBe("fault-gone");
    expect(classifyState(bass, alike, [], [bent("noise", 8, "better")])).toBe("unsure");
    expect(classifyState(bass, alike, [], [bent("response", 4, "better")])).toBe("fault-gone");
    expect(classifyState(bass, alike, [], [bent("response", 3.9, "better")])).toBe("unsure");
    expect(classifyState(rough, alike, [], [bent("distortion", -9, "better")])).toBe("fault-gone");
    expect(classifyState(alike, alike, [], [bent("response", -1, "worse")])).toBe("drift");
  });

  it("a remark is nothing to stand out by", () => {
    const remark = rated("watch", { findings: [finding("gain", -6, "remark")] });
    expect(classifyState(alike, remark, lost, [])).toBe("unsure");
  });
});

test("what is thought of a path, with its likeliest cause", () => {
  expect(getOpinion(faulty)).toEqual({
    standing: "service",
    cause: "gain-off",
    causeName: "a gain-off",
  });
  expect(getOpinion(alike)).toEqual({ standing: "alike" });
});

test("a control that was moved hides no fault that is still there", () => {
  expect(classifyState(faulty, setting, lost, [])).toBe("set-wrong");
  expect(classifyState(faulty, setting, [], [])).toBe("unsure");
});
