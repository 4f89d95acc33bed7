import { describe, expect, it, test } from "vitest";
import { findCause } from "../../src/diagnose/causes.js";
import type { PathEvidence } from "../../src/diagnose/path-evidence.js";
import {
  isHeardBeside,
  listSilentSideCauses,
  listUnheardCauses,
} from "../../src/diagnose/unheard-causes.js";
import type { EmptyCaptureNoise, LoudSound } from "../../src/rank/family-stats.js";
import { evidence, featuresOf } from "../helpers/path-evidence.js";

// Bounds are those that the comments of the program state, tried at them and just beside them; odds of
// 0.35 to 0.65 for a patch are multiplied by what a silence says: 12 times, a twelfth, 1.5 times.

const heard = { code: "digital-silence" } as const;
const named = (silence?: EmptyCaptureNoise, inputDbu?: number) =>
  listUnheardCauses(evidence({}, { inputDbu }), heard, silence);
const noise = (aboveSiblingsDb: number, siblingsAboveQuietestDb?: number): EmptyCaptureNoise => ({
  aboveSiblingsDb,
  ...(siblingsAboveQuietestDb === undefined ? {} : { siblingsAboveQuietestDb }),
});

const even = [
  ["no-signal", 0.65],
  ["nothing-patched", 0.35],
];
/** 12 · 0.35/0.65 to one is 0.866. */
const alive = [
  ["nothing-patched", 0.87],
  ["no-signal", 0.13],
];
/** 0.35/0.65/12 to one is 0.043. */
const dead = [
  ["no-signal", 0.96],
  ["nothing-patched", 0.04],
];
/** 1.5 · 0.35/0.65 to one is 0.447. */
const hint = [
  ["no-signal", 0.55],
  ["nothing-patched", 0.45],
];

test.each([
  ["nothing known of its noise", undefined, undefined, even],
  ["6 dB below its siblings", noise(-6, 0), undefined, even],
  ["more than that", noise(-6.1, 0), undefined, dead],
  ["more than that, without another family", noise(-6.1), -60, dead],
  ["3 dB above its siblings", noise(3, 0), undefined, even],
  ["more than that, louder than any dead stage", noise(3.1, 0), undefined, alive],
  ["siblings that add less than 4 dB", noise(0, 3.9), undefined, even],
  ["siblings that add 4 dB, as loud", noise(0, 4), undefined, alive],
  ["nearer to the siblings", noise(-1.9, 4), undefined, alive],
  ["half way down", noise(-2, 4), undefined, dead],
  ["half way down of more", noise(-4.9, 10), undefined, alive],
  ["further down", noise(-5.1, 10), undefined, dead],
  ["no other family, and no level at the socket", noise(0), undefined, even],
  ["a source of high gain, as loud", noise(0), -31, hint],
  ["nearer than half of 6 dB", noise(-2.9), -31, hint],
  ["no nearer", noise(-3), -31, even],
  ["a source at −30 dBu", noise(0), -30, even],
] as const)("a silence with %s", (_, silence, inputDbu, expected) => {
  expect(named(silence, inputDbu).map((one) => [one.cause, one.probability])).toEqual(expected);
});

describe("what a silence says", () => {
  const lines = (silence?: EmptyCaptureNoise, inputDbu?: number) =>
    Object.fromEntries(
      named(silence, inputDbu).map(({ cause, evidence: own, against }) => [
        cause,
        { own, against },
      ]),
    );
  const seen = { code: "no-return", heard };

  it("stands for one cause and against the other", () => {
    const below = { code: "noise-below-siblings", byDb: 7 };
    expect(lines(noise(-7, 0))).toEqual({
      "no-signal": { own: [seen, below], against: undefined },
      "nothing-patched": { own: [seen], against: [below] },
    });
    const above = { code: "noise-above-siblings", byDb: 5 };
    expect(lines(noise(5, 0))).toEqual({
      "no-signal": { own: [seen], against: [above] },
      "nothing-patched": { own: [seen, above], against: undefined },
    });
    const alike = { code: "noise-as-siblings" };
    expect(lines(noise(0), -40)["nothing-patched"].own).toEqual([seen, alike]);
    expect(lines(noise(-1, 9))["nothing-patched"].own).toEqual([seen, alike]);
    expect(lines(noise(-5, 9))["no-signal"].own).toEqual([
      seen,
      { code: "noise-below-siblings", byDb: 5 },
    ]);
  });

  it("is nothing where the odds beforehand stand", () => {
    for (const one of named(noise(0, 1))) {
      expect(one.evidence).toEqual([seen]);
      expect(one).not.toHaveProperty("against");
    }
  });
});

describe("loud sound in place of a return", () => {
  const loud = (crestDb: number, clippedShare: number) => {
    const sound: LoudSound = { levelDbfs: -3, crestDb, clippedShare };
    return listUnheardCauses(evidence({}), heard, noise(-9, 0), sound);
  };
  const soundOf = (crestDb: number, clippedShare: number) =>
    loud(crestDb, clippedShare)[0].evidence.flatMap((one) =>
      typeof one !== "string" && one.code === "loud-sound" ? one.sound : [],
    );

  it.each([
    [0.29, 1, "stuck"],
    [0.3, 0.021, "driven"],
    [0.3, 0.02, "tone"],
    [3.49, 0, "tone"],
    [3.5, 0, "programme"],
    [3.5, 0.021, "driven"],
  ])("with a crest factor of %d dB and %d of it at full scale is %s", (crest, share, kind) => {
    expect(soundOf(crest, share)).toEqual([kind]);
  });

  it("has the causes that may give it, by their share, and says how loud it is", () => {
    for (const [crest, kind] of [
      [0, "stuck"],
      [3, "tone"],
      [12, "programme"],
    ] as const) {
      const causes = loud(crest, 0);
      const shares = causes.map(({ probability }) => probability as number);
      expect(shares).toEqual(shares.toSorted((a, b) => b - a));
      for (const { cause, probability } of causes) {
        expect(findCause(cause)?.loudShares?.[kind]).toBe(probability);
      }
      expect(causes[0].evidence).toEqual([
        { code: "no-return", heard },
        { code: "louder-than-noise", levelDbfs: -3 },
        { code: "loud-sound", sound: kind, clippedShare: 0 },
      ]);
    }
  });
});

describe("a silent side of a stereo bus", () => {
  const beside = (gain: number | undefined, isHeard = true): Pick<PathEvidence, "beside"> => ({
    beside: {
      heard: isHeard,
      features: featuresOf(gain === undefined ? {} : { gain }),
      response: undefined,
    },
  });

  it("lies beside one that lost less than 20 dB", () => {
    expect([-20, -19.9, 5, undefined].map((db) => isHeardBeside(beside(db)))).toEqual([
      false,
      true,
      true,
      true,
    ]);
    expect(isHeardBeside(beside(0, false))).toBe(false);
    expect(isHeardBeside({})).toBe(false);
  });

  it("has what lies behind the pan, whatever else was heard", () => {
    const lines = [{ code: "side-silent", heard }, { code: "other-side-through" }];
    const causes = listUnheardCauses(evidence({}, beside(0)), heard, noise(-9, 0), {
      levelDbfs: -3,
      crestDb: 0,
      clippedShare: 1,
    });
    // Common practice: half of them the pan or the leg to that side, a quarter a control off its mark.
    expect(causes.map((one) => [one.cause, one.probability])).toEqual([
      ["send-or-pan-faulty", 0.5],
      ["gain-off", 0.25],
      ["dirty-contact", 0.15],
    ]);
    for (const one of causes) expect(one.evidence).toEqual(lines);
    expect(listSilentSideCauses([])[0].evidence).toEqual([{ code: "other-side-through" }]);
  });
});
