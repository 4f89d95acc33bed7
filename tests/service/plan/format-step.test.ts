import { describe, expect, it } from "vitest";
import { checkKinds } from "../../../src/diagnose/checks/check-kinds.js";
import { dangerGuide } from "../../../src/service/plan/danger-guide.js";
import { formatStep } from "../../../src/service/plan/format-step.js";
import {
  formatPartCause,
  getRepairGuide,
  isPartCause,
} from "../../../src/service/plan/repair-guides.js";
import { getSectionGuide } from "../../../src/service/plan/section-guides.js";

describe("a step at the bench", () => {
  it.each([
    ["swap the cable", undefined, "Swap the cable."],
    ["swap the cable", "phantom off first", "Swap the cable (phantom off first)."],
    ["swap it. Look", "phantom off first", "Swap it. Look (phantom off first)."],
  ])("%j with the danger %j is a sentence", (text, danger, said) => {
    const step = { power: "in use", text, ...(danger === undefined ? {} : { danger }) } as const;
    expect(formatStep(step)).toBe(said);
  });

  it("has no full stop of its own, whatever asks for it", () => {
    const guides = [dangerGuide, getSectionGuide("supply"), getSectionGuide("automation")];
    const asked = guides.flatMap((guide) => (guide ? [guide.settle, ...guide.steps] : []));
    expect(asked.length).toBeGreaterThan(3);
    for (const { text } of [...asked, ...checkKinds.map(({ step }) => step)]) {
      expect(text).not.toMatch(/\.$/);
    }
  });
});

describe("a part that is off value", () => {
  it("is known by what stands before its name, and gets the record of such parts", () => {
    expect(isPartCause(formatPartCause("R14"))).toBe(true);
    expect(isPartCause("dried-part-")).toBe(false);
    expect(getRepairGuide(formatPartCause("C3"))).toStrictEqual(
      getRepairGuide("component-off-value"),
    );
  });
});
