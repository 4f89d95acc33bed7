import { describe, expect, it } from "vitest";
import {
  formatControlCause,
  getControlOfCause,
  isControlCause,
  listHeard,
  nameHeard,
} from "../../../src/service/plan/from-controls.js";

// Expected: an item of a control is named after it, in lower case and without spaces; gain has a cause.

describe("the cause of a control's item", () => {
  it.each([
    ["fader", "control-fader", "fader"],
    ["  EQ  High ", "control-eq-high", "eq-high"],
    ["gain", "worn-gain-control", "gain"],
    ["Gain", "worn-gain-control", "gain"],
  ])("of %j is %s", (control, cause, name) => {
    expect(formatControlCause(control)).toBe(cause);
    expect(getControlOfCause(cause)).toBe(name);
  });

  it("is told from others", () => {
    const told = ["control-fader", "worn-control", "worn-gain-control", "open-leg"];
    expect(told.map(isControlCause)).toStrictEqual([true, true, false, false]);
    expect(["worn-control", "open-leg"].map(getControlOfCause)).toStrictEqual([
      undefined,
      undefined,
    ]);
  });
});

it("what a pass heard of a control has its points where there are any", () => {
  const report = { control: "fader", hand: "turn" };
  const heard = { pass: "2031-04-01-01", path: "7/line", report } as never;
  const fact = { code: "heard", pass: "2031-04-01-01", path: "7/line" };
  expect(nameHeard(report as never)).toStrictEqual({
    code: "heard-control",
    control: "fader",
    hand: "turn",
  });
  expect(listHeard(heard)).toStrictEqual([{ ...fact, report }]);
  const pointed = { ...report, points: ["low"] };
  expect(listHeard({ ...(heard as object), report: pointed } as never)).toStrictEqual([
    { ...fact, report: pointed },
    { code: "heard-points", points: ["low"] },
  ]);
});
