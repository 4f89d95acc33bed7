import { describe, expect, it } from "vitest";
import { applyMeterFindings, findMeterCause } from "../../src/diagnose/meter-findings.js";
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
