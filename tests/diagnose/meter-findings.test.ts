import { describe, expect, it } from "vitest";
import {
  applyMeterFindings,
  findExplainingCause,
  findMeterCause,
  findPointedCause,
} from "../../src/diagnose/meter-findings.js";
import { isOutOfTolerance } from "../../src/diagnose/meter-tolerance.js";
import type { Cause } from "../../src/diagnose/types.js";
import { formatEvidence } from "../../src/report/evidence/format-evidence.js";

// Tolerances of phantom supplies: IEC 61938 (48 V ± 4 V, 24 V ± 4 V, 12 V ± 1 V; from memory).

const cause = (id: string, probability: number): Cause => ({
  cause: id,
  name: id,
  kind: "fault",
  probability,
  evidence: [],
  confirmBy: "",
});
const phantom = (value: number, nominal = 48) =>
  ({ strip: "7", input: "mic", kind: "phantom", value, nominal }) as const;

describe("meterCause", () => {
  it("holds phantom supplies against the standard's tolerances", () => {
    expect([44.1, 51.9].map((v) => isOutOfTolerance(phantom(v)))).toEqual([false, false]);
    expect([43.5, 52.5].map((v) => isOutOfTolerance(phantom(v)))).toEqual([true, true]);
    expect([20.5, 27.5].map((v) => isOutOfTolerance(phantom(v, 24)))).toEqual([false, false]);
    expect([10.5, 13.5].map((v) => isOutOfTolerance(phantom(v, 12)))).toEqual([true, true]);
    const low = findMeterCause(phantom(31));
    expect(low).toMatchObject({ cause: "phantom-supply-off", kind: "fault" });
    expect(low?.evidence.map(formatEvidence)[0]).toBe(
      "31 V measured, 48 V ± 4 V expected (IEC 61938)",
    );
    expect(low?.care).toMatch(/licensed/);
    expect(findMeterCause(phantom(47))).toBeUndefined();
  });

  it("takes a tolerance given with the reading before the usual one", () => {
    const rail = { strip: "7", kind: "rail", value: -15.6, nominal: -16 } as const;
    expect(isOutOfTolerance(rail)).toBe(false);
    expect(isOutOfTolerance({ ...rail, tolerance: 0.3 })).toBe(true);
  });
});

describe("withMeterFindings", () => {
  it("names a supply out of range on a path of which the round found nothing", () => {
    expect(applyMeterFindings([], [phantom(12)]).map((c) => c.cause)).toEqual([
      "phantom-supply-off",
    ]);
    expect(applyMeterFindings([], [phantom(48)])).toEqual([]);
  });

  it("raises what a voltage explains and lowers it where the voltage is in order", () => {
    const causes = [cause("noisy-device", 0.6), cause("leaky-capacitor", 0.3)];
    const direct = (value: number) =>
      ({ strip: "7", input: "mic", kind: "direct", value, nominal: 0 }) as const;
    const out = applyMeterFindings(causes, [direct(0.4)]);
    // Odds of Bayes: 0.3·12 / (0.6 + 0.3·12 + 0.1 left over)
    expect(out[0]).toMatchObject({ cause: "leaky-capacitor", probability: 0.84 });
    expect(out[0].evidence.map(formatEvidence)).toEqual(["DC voltage 400 mV by the meter"]);
    const inside = applyMeterFindings(causes, [direct(0.001)]);
    expect(inside.map((c) => c.cause)).toEqual(["noisy-device", "leaky-capacitor"]);
    // 0.3·0.4 / (0.6 + 0.12 + 0.1)
    expect(inside[1]).toMatchObject({ probability: 0.15 });
    expect(inside[1].against?.map(formatEvidence)).toEqual([
      "DC voltage 1 mV by the meter: in order",
    ]);
  });

  it("finds a latched stage on a dead path by the volts at its output", () => {
    const causes = [cause("no-signal", 0.6), cause("nothing-patched", 0.4)];
    const direct = (value: number) =>
      ({ strip: "7", input: "mic", kind: "direct", value, nominal: 0 }) as const;
    const [first, second] = applyMeterFindings(causes, [direct(-13)]);
    // Odds of Bayes: one in ten of 0.6 by 12, against 0.54 and 0.4.
    expect(first).toMatchObject({ cause: "op-amp-latched", probability: 0.43 });
    expect(second).toMatchObject({ cause: "no-signal", probability: 0.33 });
    // Millivolts are a leak's, and leave a dead stage what it is.
    expect(applyMeterFindings(causes, [direct(0.3)]).map((one) => one.cause)).toEqual([
      "no-signal",
      "nothing-patched",
    ]);
  });
});

describe("odds by a meter", () => {
  const direct = (value: number) => ({ strip: "7", kind: "direct", value, nominal: 0 }) as const;
  const rail = (value: number) => ({ strip: "7", kind: "rail", value, nominal: 16 }) as const;

  it("multiply for each reading that speaks, and leave alone what none speaks of", () => {
    // Twelve times twelve for two leaks: 0.1·144 / (0.1·144 + 0.4 + 0.5 left over).
    const causes = [cause("noisy-device", 0.4), cause("leaky-capacitor", 0.1)];
    const [first] = applyMeterFindings(causes, [direct(0.4), direct(-0.5)]);
    expect(first).toMatchObject({ cause: "leaky-capacitor", probability: 0.94 });
    expect(first.evidence).toHaveLength(2);
    expect(first.against).toBeUndefined();
    // 13 V are no leak's, and no word against one either; a rail says nothing of it.
    for (const finding of [direct(13), rail(16), rail(2)]) {
      const leak = applyMeterFindings(causes, [finding]).find(
        (one) => one.cause === "leaky-capacitor",
      );
      expect(leak, `${finding.value} V`).toMatchObject({ probability: 0.1, evidence: [] });
      expect(leak?.against).toBeUndefined();
    }
  });

  it("are 99 in a hundred at most, and none where no probability was given", () => {
    const [sure] = applyMeterFindings([cause("leaky-capacitor", 1)], [direct(0.4)]);
    expect(sure.probability).toBe(0.99);
    const { probability: _, ...unknown } = cause("leaky-capacitor", 1);
    const [own] = applyMeterFindings([unknown], [direct(0.4)]);
    expect(own.probability).toBeUndefined();
    expect(own.evidence).toHaveLength(1);
  });

  it("name a supply once, however often it was measured, before what follows from it", () => {
    const found = applyMeterFindings([cause("noisy-device", 0.6)], [phantom(31), phantom(30)]);
    expect(found.map((one) => [one.cause, one.probability])).toEqual([
      ["phantom-supply-off", 0.97],
      ["noisy-device", 0.6],
    ]);
  });

  it("are of the voltage's own bounds: a leak below 1 V, a stage from 1 V on, either sign", () => {
    const of = (value: number) => findPointedCause(direct(value))?.id;
    expect([0.02, 0.021, -0.021, 0.99, 1, -1].map(of)).toEqual([
      undefined,
      "leaky-capacitor",
      "leaky-capacitor",
      "leaky-capacitor",
      "op-amp-latched",
      "op-amp-latched",
    ]);
    expect(findPointedCause(direct(0.4), "settles")).toBeUndefined();
    expect(findPointedCause(phantom(31), "settles")?.id).toBe("phantom-supply-off");
    expect(findPointedCause(phantom(53))?.id).toBe("phantom-supply-high");
    // A rail that reads too low by its size, whatever its sign.
    expect(findPointedCause({ ...rail(-12), nominal: -16 })?.id).toBe(
      findPointedCause(rail(12))?.id,
    );
  });

  it("explain nothing by a reading that is in order", () => {
    expect(findExplainingCause("no-signal", [direct(0)])).toBeUndefined();
    expect(findExplainingCause("no-signal", [direct(0), direct(9)])?.cause).toBe("op-amp-latched");
  });

  it("name each supply that is out, beside what was named already", () => {
    const both = applyMeterFindings([], [phantom(31), rail(12)]).map((one) => one.cause);
    expect(both).toEqual(["phantom-supply-off", "supply-rail-off"]);
    // What settles a cause is no odds for it as well, and an unknown cause has none.
    const known = [cause("phantom-supply-off", 0.5), cause("of-another-version", 0.2)];
    expect(applyMeterFindings(known, [phantom(31)]).slice(1)).toEqual(known);
  });

  it("add what hides behind another once, and only to what has a probability", () => {
    const listed = [cause("no-signal", 0.6), cause("op-amp-latched", 0.1), cause("open-leg", 0.1)];
    const found = applyMeterFindings(listed, [direct(-13)]);
    // 0.1 · 12 against 0.6, 0.1 and the 0.2 left over.
    expect(found.map((one) => [one.cause, one.probability])).toEqual([
      ["op-amp-latched", 0.57],
      ["no-signal", 0.29],
      ["open-leg", 0.05],
    ]);
    const { probability: _, ...unknown } = cause("no-signal", 1);
    expect(applyMeterFindings([unknown], [direct(-13)])).toEqual([unknown]);
  });

  it("explain a dead stage by volts at an output, and nothing by a leak", () => {
    expect(findExplainingCause("no-signal", [direct(0.4), direct(9)])?.cause).toBe(
      "op-amp-latched",
    );
    expect(findExplainingCause("no-signal", [direct(0.4)])).toBeUndefined();
    expect(findExplainingCause("low-cut-left-in", [direct(9)])).toBeUndefined();
    expect(findExplainingCause("no-signal", [])).toBeUndefined();
  });
});
