import { describe, expect, it } from "vitest";
import { formatStep } from "../../../src/service/plan/format-step.js";
import {
  formatPartCause,
  getRepairGuide,
  isPartCause,
} from "../../../src/service/plan/repair-guides.js";

describe("a step at the bench", () => {
  it.each([
    ["swap the cable", undefined, "Swap the cable."],
    ["Swap it.", undefined, "Swap it."],
    ["swap the cable", "phantom off first", "Swap the cable (phantom off first)."],
    ["swap it.", "phantom off first", "Swap it (phantom off first)."],
  ])("%j with the danger %j is a sentence", (text, danger, said) => {
    const step = { power: "in use", text, ...(danger === undefined ? {} : { danger }) } as const;
    expect(formatStep(step)).toBe(said);
  });
});

describe("a part that is off value", () => {
  it("is known by what stands before its name, and gets the record of such parts", () => {
    expect(isPartCause(formatPartCause("R14"))).toBe(true);
    expect(isPartCause("dried-part-")).toBe(false);
    expect(getRepairGuide(formatPartCause("C3"))).toEqual(getRepairGuide("component-off-value"));
  });
});
