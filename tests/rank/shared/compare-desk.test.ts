import { describe, expect, it } from "vitest";
import { defaultExpectations } from "../../../src/desk/expectations.js";
import type { Curve } from "../../../src/measure/types.js";
import {
  compareDesk,
  type DeskReference,
  findBeyondExpectation,
} from "../../../src/rank/shared/compare-desk.js";
import type { PlacedInput } from "../../../src/rank/shared/types.js";
import { type Change, drawDesk } from "../../helpers/shared-desk.js";

// Readings are drawn about a level of −18 dBFS, hiss at −104 and odd lines at −115 (helpers): the
// built-in expectations allow hiss up to −18 − 70 = −88, and mains lines up to −78.

const reference: DeskReference = {
  expectations: defaultExpectations,
  unit: "dBFS",
  referenceDbu: 4,
  nominalDbu: { mic: -40, line: 4 },
};
const inputs = ["mic", "line"];
const draw = (change: Change, seed = 1) => drawDesk(seed, 8, inputs, change);
const judge = (change: Change, earlier?: readonly PlacedInput[]) =>
  compareDesk(draw(change), earlier === undefined ? reference : { ...reference, earlier });

/** A desk whose response falls by so much below 100 Hz. */
const bassy = (lossDb: number, change: Change, seed: number) =>
  draw(change, seed).map((one): PlacedInput => {
    const { measurement } = one;
    if (measurement === undefined) return one;
    const x = [20, 22, 25, 1000];
    const y = x.map((hz) => (hz < 100 ? lossDb : 0));
    const response: Curve = { x, y, uncertainty: x.map(() => 0.01), xUnit: "Hz", yUnit: "dB" };
    return { ...one, measurement: { ...measurement, curves: { response } } };
  });

describe("compareDesk", () => {
  it("says nothing about healthy desks", () => {
    for (let seed = 0; seed < 50; seed++) {
      expect(
        compareDesk(
          draw(() => ({}), seed),
          reference,
        ),
      ).toEqual([]);
    }
  });

  it("says of a raised floor that it is a steady tone, and where, if it is one", () => {
    // Half the power is the least: 10·lg 2 = 3.01 dB below all of it.
    const whistling = (belowDb: number, hz: (strip: number) => number) =>
      draw(() => ({ hiss: 24, noise: 24 })).map((path): PlacedInput => {
        const own = path.measurement?.readings ?? {};
        const readings = {
          ...own,
          strayTone: { ...own.hiss, value: own.hiss.value - belowDb },
          strayToneHz: { value: hz(Number(path.strip)), unit: "Hz", uncertainty: 0.05 },
        };
        return { ...path, measurement: { readings, absent: {}, curves: {} } };
      });
    const told = (paths: readonly PlacedInput[]) => {
      const findings = compareDesk(paths, reference).flatMap((one) => one.findings);
      const ofHiss = findings.filter(({ reading }) => reading === "hiss");
      return [...new Set(ofHiss.map(({ toneHz }) => toneHz))];
    };
    expect(told(whistling(2.9, (strip) => 8000 + strip))).toEqual([8004.5]);
    expect(told(whistling(3.1, (strip) => 8000 + strip))).toEqual([undefined]);
    expect(told(whistling(1, (strip) => 1000 * strip))).toEqual([undefined]);
    expect(told(whistling(1, () => 30_000))).toEqual([undefined]);
    expect(told(draw(() => ({ hiss: 24, noise: 24 })))).toEqual([undefined]);
    const [alone] = whistling(1, () => 8000);
    expect(findBeyondExpectation(alone, reference)[0]).toMatchObject({ toneHz: 8000 });
  });

  it("takes the gains of a calibrated desk for what its inputs amplify", () => {
    // −18 dBFS stands for +4 dBu: 22 dB on all levels; a microphone's gain is 4 + 40 = 44 dB.
    const calibrated = (lowDb: number) =>
      compareDesk(
        draw(({ input }): Record<string, number> => {
          const off = input === "line" ? -lowDb : 0;
          const gain = (input === "mic" ? 44 : 0) + off;
          return { level: 22 + off, gain, hiss: 22, noise: 22, humOdd: 22, humEven: 22 };
        }),
        { ...reference, unit: "dBu" },
      );
    expect(calibrated(0)).toEqual([]);
    expect(calibrated(5)).toMatchObject([
      { part: { kind: "input", name: "line" }, aspect: "level", against: "expectation" },
    ]);
  });

  it("tells hum 80 dB up and noise 25 dB up on all paths of a first round", () => {
    const [hum] = judge(() => ({ humOdd: 80, noise: 70 }));
    expect(hum).toMatchObject({ part: { kind: "mains" }, against: "expectation" });
    expect(hum.paths).toHaveLength(16);
    expect(hum.probability).toBeGreaterThan(0.95);
    const [noise] = judge(({ input }) => ({ hiss: input === "mic" ? 19 : 25, noise: 25 }));
    expect(noise).toMatchObject({ part: { kind: "master" }, aspect: "noise", severity: "service" });
  });

  it("says of a change since an earlier round that it is beyond what is expected too", () => {
    const [hum] = judge(
      () => ({ humOdd: 80, noise: 70 }),
      draw(() => ({}), 2),
    );
    expect(hum).toMatchObject({ against: "baseline", beyondExpectation: true });
    const [risen] = judge(
      () => ({ hiss: 9, noise: 9 }),
      draw(() => ({}), 2),
    );
    expect(risen.against).toBe("baseline");
    expect(risen.beyondExpectation).toBeUndefined();
  });

  it("takes an input that is dead for just that: no noise comes of a tone that is lost", () => {
    const faults = judge(
      ({ input }): Record<string, number> =>
        input === "mic" ? { gain: -75, level: -75, thd: 40, thdHot: 40 } : {},
    );
    expect(faults).toMatchObject([{ part: { kind: "input", name: "mic" }, aspect: "dead" }]);
  });

  it("tells an input that comes back the other way up than the others", () => {
    const turned = draw(() => ({})).map((one): PlacedInput => {
      const { measurement } = one;
      if (measurement === undefined) return one;
      const value = one.input === "mic" ? -1 : 1;
      const polarity = { value, unit: "", uncertainty: 0 };
      const readings = { ...measurement.readings, polarity };
      return { ...one, measurement: { ...measurement, readings } };
    });
    expect(compareDesk(turned, reference)).toMatchObject([
      { part: { kind: "input", name: "mic" }, aspect: "polarity", severity: "service" },
    ]);
  });

  it("takes the one of three inputs that is upright for the odd one, and not the two others", () => {
    const of: Readonly<Record<string, number>> = { mic: -1, line: -1, tape: 1 };
    const turned = drawDesk(1, 8, ["mic", "line", "tape"]).map((one): PlacedInput => {
      const { measurement } = one;
      if (measurement === undefined) return one;
      const polarity = { value: of[one.input], unit: "", uncertainty: 0 };
      const readings = { ...measurement.readings, polarity };
      return { ...one, measurement: { ...measurement, readings } };
    });
    const nominalDbu = { ...reference.nominalDbu, tape: 4 };
    const faults = compareDesk(turned, { ...reference, nominalDbu });
    expect(faults.filter(({ aspect }) => aspect === "polarity")).toMatchObject([
      { part: { kind: "input", name: "tape" }, findings: [{ value: 1, expected: -1 }] },
    ]);
  });

  it("takes the band to end where the response is down by 3 dB", () => {
    // The level that limits an effective frequency range in IEC 60268-3, from memory.
    expect(
      compareDesk(
        bassy(-2, () => ({}), 1),
        reference,
      ),
    ).toEqual([]);
    const [fault, ...others] = compareDesk(
      bassy(-6, () => ({}), 1),
      reference,
    );
    expect(others).toEqual([]);
    expect(fault.aspect).toBe("bass");
    expect(fault.findings[0]).toMatchObject({ reading: "response", value: -6, expected: -3 });
  });

  it("keeps a loss of bass a fault of its own beside noise that rises by more", () => {
    const now = bassy(-6, ({ input }) => ({ hiss: input === "mic" ? 19 : 25, noise: 25 }), 1);
    const earlier = bassy(-0.5, () => ({}), 2);
    const faults = compareDesk(now, { ...reference, earlier });
    expect(faults.map(({ aspect }) => aspect).sort()).toEqual(["bass", "noise"]);
  });

  it("takes no figure that only a few paths of a family have for the family's", () => {
    // Three of eight reach clipping within what was played; the others do not clip at all.
    const some = draw(() => ({})).map((one): PlacedInput => {
      const { measurement } = one;
      if (measurement === undefined || Number(one.strip) > 3) return one;
      const headroom = { value: 5, unit: "dB", uncertainty: 0.2 };
      const readings = { ...measurement.readings, headroom };
      return { ...one, measurement: { ...measurement, readings } };
    });
    expect(compareDesk(some, reference)).toEqual([]);
  });

  it("keeps one fault of all inputs one, beyond what is expected and changed since", () => {
    const bass: Change = () => ({});
    const withLoss = (paths: readonly PlacedInput[], lossDb: number) =>
      paths.map((one, k): PlacedInput => {
        const { measurement } = one;
        if (measurement === undefined) return one;
        const x = [20, 22, 25, 1000];
        // The mic input has lost a little of its own for years.
        const own = one.input === "mic" ? -1.2 : 0;
        const y = x.map((hz) => (hz < 100 ? lossDb + own + 0.01 * (k % 3) : 0));
        const response: Curve = { x, y, uncertainty: x.map(() => 0.01), xUnit: "Hz", yUnit: "dB" };
        return { ...one, measurement: { ...measurement, curves: { response } } };
      });
    const earlier = withLoss(draw(bass, 2), -0.5);
    const faults = compareDesk(withLoss(draw(bass), -5.8), { ...reference, earlier });
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatchObject({ part: { kind: "master" }, aspect: "bass" });
  });
});
