import { describe, expect, it } from "vitest";
import { compareRounds } from "../../src/history/compare/compare.js";
import { computeCommonShift } from "../../src/history/compare/shift.js";
import type { PathComparison } from "../../src/history/compare/types.js";
import type { Round, RoundFinding } from "../../src/history/types.js";
import { createRng, gaussian } from "../../src/simulate/rng.js";
import { reading, response } from "../helpers/families.js";
import { family, path, round } from "./rounds-of.js";

const rng = createRng("two rounds");
/** What a hand and a day do to twelve siblings, decibels. */
const hand = Array.from({ length: 24 }, () => 0.1 * gaussian(rng));
const hand2 = Array.from({ length: 24 }, () => 0.1 * gaussian(rng));

function of(comparison: { readonly paths: readonly PathComparison[] }, name: string) {
  const found = comparison.paths.find((one) => one.path === name);
  if (found === undefined) throw new Error(`no ${name}`);
  return found;
}

function change(
  comparison: { readonly paths: readonly PathComparison[] },
  name: string,
  id: string,
) {
  const found = of(comparison, name).readings.find((one) => one.reading === id);
  if (found === undefined) throw new Error(`no ${id} on ${name}`);
  return found;
}

function finding(id: string, deviation: number): RoundFinding {
  const common = { against: "siblings", unit: "dB", severity: "service", words: id } as const;
  return { reading: id, value: deviation, expected: 0, deviation, score: 20, ...common };
}

const noisy = {
  cause: "noisy-input-device",
  name: "noisy input device",
  kind: "fault",
  evidence: [],
  confirmBy: "",
} as const;

describe("what a whole family did", () => {
  it("is found where half of it was renewed, as what the other half did", () => {
    // Twelve that moved by 0.2 and twelve that fell by 20, as after new capacitors.
    const differences = hand.map((x, k) => 0.2 + x / 10 - (k < 12 ? 20 : 0));
    const shift = computeCommonShift(differences, 0.05);
    expect(shift?.median).toBeCloseTo(0.2, 1);
    expect(shift?.scale).toBeLessThan(0.1);
  });

  it("is the plain median of siblings that belong together", () => {
    const differences = [0.9, 1.1, 1, 1.05, 0.95];
    expect(computeCommonShift(differences, 0.1)?.median).toBe(1);
  });

  it("is not known of two siblings", () => {
    expect(computeCommonShift([1, 1], 0.1)).toBeUndefined();
  });

  it("is said once for two families at about one frequency, and twice where these are far apart", () => {
    // Mic loses 3 dB in the bass; line the same there, or at the top.
    const both = (lossAt: (input: string) => (hz: number) => number, jitter: readonly number[]) =>
      ["mic", "line"].flatMap((input) =>
        family(
          12,
          (k) => ({
            curves: { response: response((hz) => lossAt(input)(hz) + (jitter[k] * hz) / 2e5) },
          }),
          input,
        ),
      );
    const bass = (hz: number) => (hz < 40 ? -3 : 0);
    const top = (hz: number) => (hz > 12_000 ? -3 : 0);
    const shifts = (ofLine: (hz: number) => number) =>
      compareRounds(
        round(
          "2031-01-01",
          both((input) => (input === "mic" ? bass : ofLine), hand2),
        ),
        round(
          "2030-01-01",
          both(() => () => 0, hand),
        ),
      ).shifts.map(({ families, reading: id }) => [id, ...families]);
    expect(shifts(bass)).toEqual([["response", "mic", "line"]]);
    expect(shifts(top)).toEqual([
      ["response", "mic"],
      ["response", "line"],
    ]);
  });

  it("is said once and taken out of every path's own change", () => {
    const then = round(
      "2030-01-01",
      family(12, (k) => ({
        readings: {
          level: reading(-18 + hand[k], "dBFS"),
          noise: reading(-90 + hand[k], "dBFS", 0.1),
        },
      })),
    );
    const now = round(
      "2031-01-01",
      family(12, (k) => ({
        readings: {
          level: reading(-21 + hand2[k], "dBFS"),
          noise: reading(-93 + hand2[k], "dBFS", 0.1),
        },
      })),
    );
    const comparison = compareRounds(now, then);
    expect(comparison.shifts.map(({ reading: id, paths }) => [id, paths])).toEqual([
      ["level", 12],
      ["noise", 12],
    ]);
    // Hands differ by 0.14 dB from year to year; twelve of them by 0.05 dB.
    expect(comparison.shifts[0].shift).toBeCloseTo(-3, 0);
    expect(comparison.paths.every(({ state }) => state === "steady")).toBe(true);
    expect(change(comparison, "5/mic", "level").own).toBeCloseTo(hand2[4] - hand[4], 0);
    expect(change(comparison, "5/mic", "level").unit).toBe("dB");
  });

  it("is said once for two families that did the same, apart for two that did not", () => {
    const both = (shift: number, other: number) => [
      ...family(6, (k) => ({ readings: { level: reading(-18 + shift + hand[k] / 10, "dBFS") } })),
      ...family(
        6,
        (k) => ({ readings: { level: reading(-18 + other + hand2[k] / 10, "dBFS") } }),
        "line",
      ),
    ];
    const then = round("2030-01-01", both(0, 0));
    const same = compareRounds(round("2031-01-01", both(-3, -3)), then);
    expect(same.shifts.map(({ families }) => families)).toEqual([["mic", "line"]]);
    const apart = compareRounds(round("2031-01-01", both(-3, 4)), then);
    expect(apart.shifts.map(({ families }) => families)).toEqual([["mic"], ["line"]]);
  });
});

describe("one path's change", () => {
  const quiet = (k: number, year: readonly number[]) => ({
    readings: { noise: reading(-90 + year[k], "dBFS", 0.1), gain: reading(year[k], "dB", 0.001) },
  });

  it("is real beyond uncertainty and siblings' scatter, and not within", () => {
    const then = round(
      "2030-01-01",
      family(12, (k) => quiet(k, hand)),
    );
    const now = round(
      "2031-01-01",
      family(12, (k) =>
        quiet(
          k,
          hand2.map((x, i) => (i === 3 ? x + 2 : i === 5 ? x + 0.3 : x)),
        ),
      ),
    );
    const comparison = compareRounds(now, then);
    expect(change(comparison, "4/mic", "noise")).toMatchObject({ real: true, course: "worse" });
    expect(change(comparison, "6/mic", "noise").real).toBe(false);
    expect(of(comparison, "4/mic").state).toBe("drift");
  });

  it("is not real for any of a healthy desk of 72 paths, in forty pairs of rounds", () => {
    let real = 0;
    for (let run = 0; run < 40; run++) {
      const draw = createRng(`healthy ${run}`);
      const year = () =>
        ["mic", "line", "tape"].flatMap((input) =>
          family(
            24,
            () => ({
              readings: {
                noise: reading(-90 + 0.3 * gaussian(draw), "dBFS", 0.2),
                gain: reading(0.1 * gaussian(draw)),
              },
            }),
            input,
          ),
        );
      const comparison = compareRounds(round("2031-01-01", year()), round("2030-01-01", year()));
      real += comparison.paths.flatMap(({ readings }) => readings).filter((one) => one.real).length;
    }
    // 5760 comparisons; the tail of 3.5 standard deviations holds 2.7.
    expect(real).toBeLessThanOrEqual(9);
  });

  it.each([3, 4, 5, 6, 8, 12, 24])("is hardly ever real by chance in a family of %d", (count) => {
    const draw = createRng(`families of ${count}`);
    let real = 0;
    const pairs = Math.round(6000 / count);
    for (let pair = 0; pair < pairs; pair++) {
      const spring = () =>
        family(count, () => ({
          readings: { noise: reading(-90 + 0.35 * gaussian(draw), "dBFS", 0) },
        }));
      const comparison = compareRounds(
        round("2031-01-01", spring()),
        round("2030-01-01", spring()),
      );
      real += comparison.paths.flatMap(({ readings }) => readings).filter((one) => one.real).length;
    }
    // Differences of 0.5 dB, a quarter of the floor: 6000 of them, and 3.5 deviations leave 2.8.
    expect(real).toBeLessThanOrEqual(12);
  });

  it("is compared with its uncertainty alone where siblings are too few", () => {
    const then = round(
      "2030-01-01",
      family(2, () => ({ readings: { noise: reading(-90, "dBFS", 4) } })),
    );
    const now = round("2031-01-01", [
      path("1/mic", { readings: { noise: reading(-85, "dBFS", 4) } }),
      path("2/mic", { readings: { noise: reading(-70, "dBFS", 4) } }),
    ]);
    const comparison = compareRounds(now, then);
    // Two uncertainties of 4 dB make a standard deviation of 2.8 dB: 5 dB are 1.7 of them, 20 are 7.
    expect(change(comparison, "1/mic", "noise").real).toBe(false);
    expect(change(comparison, "2/mic", "noise").real).toBe(true);
    expect(change(comparison, "2/mic", "noise").shift).toBeUndefined();
  });

  it("from a figure that noise hid to one that it does not is at least the difference", () => {
    const hidden = { value: -100, unit: "dB", uncertainty: 0.1, bound: "upper" } as const;
    const then = round(
      "2030-01-01",
      family(5, () => ({ readings: { thd: hidden } })),
    );
    const now = round(
      "2031-01-01",
      family(5, (k) => ({
        readings: { thd: k === 0 ? reading(-80) : k === 1 ? reading(-110) : hidden },
      })),
    );
    const comparison = compareRounds(now, then);
    expect(change(comparison, "1/mic", "thd")).toMatchObject({ real: true, bound: "lower" });
    // Below what noise hid: it may have been there all along.
    expect(change(comparison, "2/mic", "thd")).toMatchObject({ real: false, bound: "lower" });
    expect(of(comparison, "3/mic").notCompared.thd).toEqual({ code: "noise-both-times" });
  });

  it("of a curve is found where neighbours share it, against the siblings' curves", () => {
    const tilt = (hz: number) => -3 / (1 + (hz / 30) ** 2);
    const then = round(
      "2030-01-01",
      family(8, (k) => ({ curves: { response: response((hz) => hand[k] * (hz / 20000)) } })),
    );
    const now = round(
      "2031-01-01",
      family(8, (k) => ({
        curves: {
          response: response(
            (hz) => hand2[k] * (hz / 20000) + 0.2 * tilt(hz) + (k === 2 ? tilt(hz) : 0),
          ),
        },
      })),
    );
    const comparison = compareRounds(now, then);
    const real = comparison.paths.flatMap(({ path: name, curves }) =>
      curves.filter((one) => one.real).map(({ part, course }) => [name, part, course]),
    );
    expect(real).toEqual([["3/mic", "low", "worse"]]);
    const low = of(comparison, "3/mic").curves.find((one) => one.part === "low");
    expect(low?.atHz).toBeLessThan(30);
    // −3 dB / (1 + (20/30)²) at 20 Hz; 1 kHz is the reference.
    expect(low?.own).toBeCloseTo(tilt(20) - tilt(1000), 1);
    expect(comparison.shifts).toMatchObject([{ reading: "response", paths: 8 }]);
  });
});

describe("a path's story", () => {
  const figures = (noise: number) => ({ noise: reading(noise, "dBFS", 0.1) });
  const bad = (noise: number) => ({
    readings: figures(noise),
    findings: [finding("noise", 9)],
    causes: [noisy],
  });
  const good = (noise: number) => ({ readings: figures(noise) });
  const siblings = (first: ReturnType<typeof good>) =>
    family(6, (k) => (k === 0 ? first : good(-90 + hand[k])));
  const story = (then: ReturnType<typeof good>, now: ReturnType<typeof good>) =>
    of(
      compareRounds(round("2031-01-01", siblings(now)), round("2030-01-01", siblings(then))),
      "1/mic",
    );

  it("is a new fault when it stands out now and moved there", () => {
    expect(story(good(-90), bad(-81))).toMatchObject({
      state: "new-fault",
      later: { causeName: "noisy input device" },
    });
  });

  it("is a fault gone when it stood out then and moved away", () => {
    expect(story(bad(-81), good(-90))).toMatchObject({
      state: "fault-gone",
      earlier: { causeName: "noisy input device" },
    });
  });

  it("is the same fault still", () => {
    expect(story(bad(-81), bad(-80.9)).state).toBe("fault-still");
  });

  it("is unsure when it stands out in one round only and never moved", () => {
    expect(story(good(-90), bad(-90.1)).state).toBe("unsure");
  });

  it("of a path that passes nothing any more is a new fault without a single reading", () => {
    const dead = {
      ...good(-90),
      readings: {},
      status: "unusable",
      reason: "silent",
      findings: [finding("return", -1)],
    } as const;
    expect(story(good(-90), dead as never).state).toBe("new-fault");
    expect(story(dead as never, good(-90)).state).toBe("fault-gone");
  });

  it("needs a partner", () => {
    const then = round("2030-01-01", [
      path("1/mic"),
      path("2/mic", { status: "missing" }),
      path("9/mic"),
    ]);
    const now = round("2031-01-01", [path("1/mic"), path("2/mic"), path("3/mic")]);
    const comparison = compareRounds(now, then);
    expect(
      comparison.paths.map(({ path: name, state, noPartner }) => [name, state, noPartner]),
    ).toEqual([
      ["1/mic", "steady", undefined],
      ["2/mic", "no-partner", { code: "not-measured", earlier: { status: "missing" } }],
      ["3/mic", "no-partner", { code: "not-in-earlier" }],
      ["9/mic", "no-partner", { code: "not-in-later" }],
    ]);
  });
});

describe("two rounds", () => {
  const then = round(
    "2030-01-01",
    family(3, () => ({ readings: { level: reading(-18, "dBFS"), thd: reading(-80) } })),
  );
  const now = (more: Partial<Round>, unit = "dBFS") =>
    round(
      "2031-01-01",
      family(3, () => ({ readings: { level: reading(-18, unit), thd: reading(-80) } })),
      more,
    );

  it.each([
    ["itself", then, "cannot be its own baseline"],
    [
      "of another desk",
      { ...then, desk: { id: "desk-small", name: "Small desk", mainsHz: 50 } },
      'of the desk "Small desk" (id desk-small)',
    ],
    ["that is later", { ...then, id: "2032-01-01-01" }, "is later than round 2031-01-01-01"],
  ])("are refused when the baseline is %s", (_, baseline, message) => {
    const desk = { ...then.desk, id: "desk-big" };
    const later = baseline === then ? then : now({ desk });
    expect(() => compareRounds(later, baseline)).toThrow(message);
  });

  it("of one desk are compared whatever its name was, and before it had an id", () => {
    const renamed = now({ desk: { ...then.desk, id: "desk-big", name: "The Quillmere desk" } });
    expect(compareRounds(renamed, then).paths).toHaveLength(3);
  });

  it("of which one is calibrated are compared in dBFS, by its own calibration", () => {
    // 0 dBFS is 22 dBu at this input: −18 dBFS are 4 dBu.
    const input = { channel: 0, returns: 1, fullScale: reading(22, "dBu", 0.2) };
    const calibration = { sha256: "00", inputs: [{ ...input, readings: {}, curves: {} }] };
    const take = { file: "a.wav", channel: 0, startSample: 0, driftPpm: 0 };
    const measured = now({ calibration: calibration as never }, "dBu");
    const later: Round = {
      ...measured,
      paths: measured.paths.map((path) => ({
        ...path,
        take,
        readings: {
          ...path.readings,
          level: { ...reading(4.5, "dBu", Math.hypot(0.1, 0.2)), common: 0.2 },
          gain: reading(0.5, "dB"),
        },
      })),
    };
    const { conditions, paths } = compareRounds(later, then);
    expect(conditions).toEqual([{ code: "one-calibrated", round: later.id }]);
    const [level] = paths[0].readings;
    expect(level).toMatchObject({ reading: "level", unit: "dB" });
    // 4.5 dBu − 22 dB = −17.5 dBFS, half a decibel above −18.
    expect(level.difference).toBeCloseTo(0.5, 9);
    expect(level.later.value).toBeCloseTo(-17.5, 9);
    // Without the calibration's share 0.1 is left.
    expect(level.later.uncertainty).toBeCloseTo(0.1, 9);
  });

  it("of which one is calibrated leave out what is near the interface's own noise or distortion", () => {
    const take = { file: "a.wav", channel: 0, startSample: 0, driftPpm: 0 };
    const withOwn = (own: number): Round => {
      const input = { channel: 0, returns: 1, fullScale: reading(22, "dBu", 0.2) };
      const inputs = [{ ...input, readings: { thd: reading(own, "dB") }, curves: {} }];
      const measured = now({ calibration: { sha256: "00", inputs } as never }, "dBu");
      return { ...measured, paths: measured.paths.map((path) => ({ ...path, take })) };
    };
    // Voltages of unknown phase 20 dB apart change a sum by 20·lg(1.1) = 0.8 dB.
    const thd = then.paths[0].readings.thd.value;
    const [far, near] = [withOwn(thd - 21), withOwn(thd - 19)].map(
      (later) => compareRounds(later, then).paths[0],
    );
    expect(far.readings.map((one) => one.reading)).toContain("thd");
    expect(near.readings.map((one) => one.reading)).not.toContain("thd");
    expect(near.notCompared.thd).toEqual({ code: "interface-share" });
  });

  it("of dBFS and dBu have no levels in common through an input that is not calibrated", () => {
    const calibrated = now({ calibration: { sha256: "00", inputs: [] } as never }, "dBu");
    const { conditions, paths } = compareRounds(calibrated, then);
    expect(conditions).toHaveLength(1);
    expect(paths[0].notCompared).toEqual({
      level: { code: "other-unit", earlier: "dBFS", later: "dBu" },
    });
    expect(paths[0].readings.map((one) => one.reading)).toEqual(["thd"]);
  });

  it("of two profiles, rates and mains say what is not compared", () => {
    const signal = {
      ...then.signal,
      profile: "quick",
      sampleRate: 96000,
      band: "wide",
      nominalDbfs: -12,
    };
    const other = now({ signal, desk: { name: "Big desk", mainsHz: 60 } });
    const { conditions, paths } = compareRounds(other, then);
    expect(conditions).toHaveLength(4);
    expect(paths[0].notCompared.thd).toEqual({ code: "other-level" });
  });
});

describe("repeated takes", () => {
  const take = (number: number, value: number) => ({
    file: "take.wav",
    channel: 0,
    startSample: 0,
    driftPpm: 0,
    number,
    status: "measured" as const,
    readings: { noise: reading(value, "dBFS", 0.1) },
  });

  it("that scatter make a difference of that size no real one", () => {
    // A contact that gives 6 dB more noise at one moment than at another.
    const steady = family(6, (k) => ({ readings: { noise: reading(-90 + hand[k], "dBFS", 0.1) } }));
    const later = family(6, (k) => ({
      readings: { noise: reading(-90 + hand2[k] + (k === 0 ? 5 : 0), "dBFS", 0.1) },
      ...(k === 0 ? { otherTakes: [take(1, -91), take(2, -84)] } : {}),
    }));
    const alone = later.map(({ otherTakes: _, ...rest }) => rest);
    const then = round("2030-01-01", steady);
    expect(change(compareRounds(round("2031-01-01", alone), then), "1/mic", "noise").real).toBe(
      true,
    );
    expect(change(compareRounds(round("2031-01-01", later), then), "1/mic", "noise").real).toBe(
      false,
    );
  });
});

describe("a partial round", () => {
  it("is compared by the paths that it was asked for, and says what became of a fault", () => {
    const bad = {
      readings: { noise: reading(-81, "dBFS", 0.1) },
      findings: [finding("noise", 9)],
      causes: [noisy],
    };
    const then = round(
      "2030-01-01",
      family(6, (k) => (k === 0 ? bad : { readings: { noise: reading(-90, "dBFS", 0.1) } })),
    );
    const again = (noise: number) =>
      compareRounds(
        round("2030-01-02", [path("1/mic", { readings: { noise: reading(noise, "dBFS", 0.1) } })], {
          partial: { wanted: ["1/mic"] },
        }),
        then,
      );
    expect(again(-90).paths.map(({ path: name, state }) => [name, state])).toEqual([
      ["1/mic", "fault-gone"],
    ]);
    expect(again(-80.9).paths[0].state).toBe("fault-still");
    // Worse than before is not repaired, even where no sibling says so.
    expect(again(-70).paths[0].state).toBe("fault-still");
    expect(again(-90).conditions).toMatchObject([{ code: "partial", paths: 1 }]);
  });
});
