import { describe, expect, it } from "vitest";
import { diagnosePath } from "../../src/diagnose/diagnose.js";
import {
  createBell,
  createLowShelf,
  fitBell,
  fitRollOffShape,
  fitShelf,
} from "../../src/diagnose/shapes.js";
import type { Measurement } from "../../src/measure/types.js";
import { computeFamilyStats, groupFamilies } from "../../src/rank/family-stats.js";
import { rankPaths } from "../../src/rank/rank.js";
import { formatEvidence } from "../../src/report/evidence/format-evidence.js";
import { family, measurement, reading, response } from "../helpers/families.js";

// Expected values: closed forms of the circuits named in each test.

/** Names the causes of one odd path among eleven healthy ones. */
function causesOf(odd: Measurement, healthy: Measurement) {
  const inputs = family([odd, ...Array.from({ length: 11 }, () => healthy)]);
  const ranked = rankPaths(inputs);
  const siblings = groupFamilies(inputs).get("mic") ?? [];
  return diagnosePath(inputs[0], ranked[0], { usual: computeFamilyStats(siblings) }).map(
    (c) => c.cause,
  );
}

const highPass = (corner: number, order: number) => (hz: number) =>
  -10 * Math.log10(1 + (corner / hz) ** (2 * order));

function differenceOf(db: (hz: number) => number) {
  const { x, y } = response(db);
  return { x, y, spread: x.map(() => 0.15) };
}

const healthyReadings = {
  gain: reading(0),
  noise: reading(-105, "dBFS", 0.1),
  noiseA: reading(-108, "dBFS", 0.1),
  hum: reading(-120, "dBFS", 1),
  thd: reading(-90),
  thd100: reading(-90),
  thdHot: reading(-80),
  compression: reading(0),
  polarity: reading(1, "", 0),
};
const flat = { response: response(highPass(3, 1)) };
const healthy = measurement(healthyReadings, flat);
const odd = (changes: Partial<typeof healthyReadings>, curve = flat.response) =>
  measurement({ ...healthyReadings, ...changes }, { response: curve });

describe("fitRollOff", () => {
  it("finds the corner of high-passes of first, second and third order, and fits its own order best", () => {
    for (const order of [1, 2, 3]) {
      for (const corner of [15, 40, 80, 150]) {
        const curve = differenceOf(highPass(corner, order));
        const rests = [1, 2, 3].map((n) => fitRollOffShape(curve, "low", n).restDb);
        expect(rests.indexOf(Math.min(...rests)) + 1, `order ${order} at ${corner} Hz`).toBe(order);
        expect(fitRollOffShape(curve, "low", order).hz / corner).toBeCloseTo(1, 2);
      }
    }
  });

  it("finds the corner of a shunt capacitance", () => {
    const curve = differenceOf((hz) => -10 * Math.log10(1 + (hz / 7000) ** 2));
    expect(fitRollOffShape(curve, "high", 1).hz / 7000).toBeCloseTo(1, 1);
  });
});

describe("fitShelf and fitBell", () => {
  it("find height and place of an equaliser's curves", () => {
    const shelf = fitShelf(differenceOf(createLowShelf(120, 6)), "low");
    expect(shelf.db).toBeCloseTo(6, 0);
    expect(shelf.hz / 120).toBeCloseTo(1, 1);
    const found = fitBell(differenceOf(createBell(2500, 1.2, -4)));
    expect(found.db).toBeCloseTo(-4, 0);
    expect(found.hz / 2500).toBeCloseTo(1, 1);
    expect(found.restDb).toBeLessThan(0.15);
  });
});

describe("diagnosePath", () => {
  it("names nothing for a healthy path", () => {
    expect(causesOf(healthy, healthy)).toEqual([]);
  });

  it("tells a dried capacitor (first order) from a low-cut left in (second and third order)", () => {
    const dried = odd({ thd100: reading(-70) }, response(highPass(45, 1)));
    expect(causesOf(dried, healthy)[0]).toBe("dried-coupling-capacitor");
    expect(causesOf(odd({}, response(highPass(80, 2))), healthy)[0]).toBe("low-cut-left-in");
    expect(causesOf(odd({}, response(highPass(80, 3))), healthy)[0]).toBe("low-cut-left-in");
    // Two equal poles without an amplifier, each 1/√(1 + (fc/f)²); and a filter with a slight peak,
    // Q = 1: f⁴/((f² − fc²)² + f²·fc²).
    for (const corner of [40, 80, 160]) {
      const passive = (hz: number) => 2 * highPass(corner, 1)(hz);
      const peaked = (hz: number) =>
        10 * Math.log10(hz ** 4 / ((hz ** 2 - corner ** 2) ** 2 + (hz * corner) ** 2));
      for (const shape of [passive, peaked]) {
        expect(causesOf(odd({}, response(shape)), healthy)[0]).toBe("low-cut-left-in");
      }
    }
  });

  it.each([1000, 1500, 2500, 4000, 7000])(
    "knows an all but open capacitor by its 6 dB per octave wherever its corner is, at %i Hz",
    (cornerHz) => {
      // closed form: |H| of one capacitor; the response is relative to 1 kHz, where the gain is read
      const fall = highPass(cornerHz, 1);
      const thin = odd(
        { gain: reading(fall(1000)) },
        response((hz) => fall(hz) - fall(1000)),
      );
      expect(causesOf(thin, healthy)[0]).toBe("dried-coupling-capacitor");
    },
  );

  it("takes a shelf of 15 dB for an equaliser's, and none that falls on and on", () => {
    const shelf = odd({}, response(createLowShelf(200, -15)));
    expect(causesOf(shelf, healthy)).toContain("equaliser-left-in");
    const endless = odd({}, response(createLowShelf(700, -60)));
    expect(causesOf(endless, healthy)[0]).not.toBe("equaliser-left-in");
  });

  it("tells an open leg (half the voltage, hum) from a control off its mark", () => {
    const open = odd({
      gain: reading(-6.02),
      hum: reading(-85, "dBFS"),
      noise: reading(-85, "dBFS"),
    });
    expect(causesOf(open, healthy)[0]).toBe("open-leg");
    expect(causesOf(odd({ gain: reading(-2.5) }), healthy)[0]).toBe("gain-off");
    expect(causesOf(odd({ gain: reading(3) }), healthy)[0]).toBe("gain-off");
  });

  it("holds a bound of the hum among bounds neither for nor against an open leg", () => {
    // physics: a cable in no field gathers no hum on either leg; 0.3 dB between two bounds is chance
    const most = (value: number) => ({ ...reading(value, "dBFS", 6), bound: "upper" as const });
    const unheard = measurement({ ...healthyReadings, hum: most(-128) }, flat);
    for (const aside of [-0.3, 0.3]) {
      const open = odd({ gain: reading(-6.02), hum: most(-128 + aside) });
      expect(causesOf(open, unheard)[0], `${aside} dB`).toBe("open-leg");
    }
    // siblings whose hum is heard would have it too: the field is there
    const none = odd({ gain: reading(-6.02), hum: most(-128) });
    expect(causesOf(none, healthy)[0]).toBe("gain-off");
  });

  it("tells an equaliser (a lift, or a dip that recovers) from a loss", () => {
    const lifted = (db: number) => (hz: number) => highPass(3, 1)(hz) + createBell(3000, 1, db)(hz);
    expect(causesOf(odd({}, response(lifted(5))), healthy)[0]).toBe("equaliser-left-in");
    expect(causesOf(odd({}, response(lifted(-5))), healthy)[0]).toBe("equaliser-left-in");
    const loss = (hz: number) => highPass(3, 1)(hz) - 10 * Math.log10(1 + (hz / 8000) ** 2);
    expect(causesOf(odd({}, response(loss)), healthy)[0]).toBe("high-loss");
  });

  it("tells a capacitor that carries volts from one in the leg of a stage of high gain", () => {
    const inputs = family([
      odd({}, response(highPass(45, 1))),
      ...Array.from({ length: 11 }, () => healthy),
    ]);
    const siblings = groupFamilies(inputs).get("mic") ?? [];
    const causes = diagnosePath(inputs[0], rankPaths(inputs)[0], {
      usual: computeFamilyStats(siblings),
      inputDbu: -40,
    });
    expect(causes[0].cause).toBe("dried-gain-leg-capacitor");
  });

  it("takes a fall past any line stage's gain for a coupling capacitor, bent or not", () => {
    // Circuit theory: a gain leg's fall ends at a gain of one, that of a capacitor in series never.
    const inputs = family([
      odd({}, response(highPass(150, 1))),
      ...Array.from({ length: 11 }, () => healthy),
    ]);
    const siblings = groupFamilies(inputs).get("mic") ?? [];
    const usual = computeFamilyStats(siblings);
    const causes = diagnosePath(inputs[0], rankPaths(inputs)[0], { usual, inputDbu: 4 });
    expect(causes[0].cause).toBe("dried-coupling-capacitor");
    expect(causes.map(({ cause }) => cause)).not.toContain("dried-gain-leg-capacitor");
  });

  it("names two causes at once", () => {
    const both = odd(
      { noise: reading(-92, "dBFS"), noiseA: reading(-94, "dBFS"), thd100: reading(-65) },
      response(highPass(60, 1)),
    );
    const causes = causesOf(both, healthy);
    expect(causes.slice(0, 2).sort()).toEqual(["dried-coupling-capacitor", "noisy-device"]);
  });

  it("gives probabilities that add up to one at most, and says none of these where nothing fits", () => {
    const odds = odd(
      {
        gain: reading(9),
        thd: reading(-20),
        hum: reading(-60, "dBFS"),
        noiseA: reading(-70, "dBFS"),
      },
      response((hz) => 3 * Math.sin(5 * Math.log(hz))),
    );
    const inputs = family([odds, ...Array.from({ length: 11 }, () => healthy)]);
    const siblings = groupFamilies(inputs).get("mic") ?? [];
    const causes = diagnosePath(inputs[0], rankPaths(inputs)[0], {
      usual: computeFamilyStats(siblings),
    });
    expect(causes[0].cause).toBe("none-of-these");
    const sum = causes.reduce((total, c) => total + (c.probability ?? 0), 0);
    expect(sum).toBeLessThan(1.02);
  });

  it("tells hiss from hum by how much of the noise is mains", () => {
    const hiss = odd({ noise: reading(-94, "dBFS"), noiseA: reading(-97, "dBFS") });
    expect(causesOf(hiss, healthy)[0]).toBe("noisy-device");
    const hum = odd({
      noise: reading(-90, "dBFS"),
      noiseA: reading(-104, "dBFS"),
      hum: reading(-90.1, "dBFS", 0.1),
    });
    expect(causesOf(hum, healthy)[0]).toBe("ground-hum");
  });

  it("knows a gap by the small signals that it swallows, where siblings' distortion scatters", () => {
    // A gap of ±d takes (4/π)·d/a of a sine of peak a ≫ d, and all of one with a < d.
    const stage = (thdDb: number, lostDb: number) =>
      measurement(
        {
          ...healthyReadings,
          thd: reading(thdDb),
          thd100: reading(thdDb),
          linearity: reading(lostDb, "dB", 0.05),
        },
        flat,
      );
    const siblings = [-72, -73, -68, -69, -70, -73, -67, -69, -71, -66].map((db, k) =>
      stage(db, 0.01 * (k % 3)),
    );
    const inputs = family([stage(-64, -20), ...siblings]);
    const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
    const causes = diagnosePath(inputs[0], rankPaths(inputs)[0], { usual });
    // A film that holds still does the same.
    expect(causes.slice(0, 2).map(({ cause }) => cause)).toContain("crossover-distortion");
    expect(causes.map(({ cause }) => cause)).toContain("dirty-contact");
  });

  it.each([
    ["noiseA", 30],
    ["noise468", 26],
  ] as const)(
    "takes %s without hiss for mains where siblings scatter too widely to tell",
    (id, lessDb) => {
      // Powers add: so much hum beside the hiss, which A-weighting lets through 30 dB lower at 50 Hz
      // (IEC 61672-1, table 3), the broadcast weighting 26 dB lower (ITU-R BS.468-4, table 1).
      const { noiseA: _, ...others } = healthyReadings;
      const beside = (hissDb: number, humDb: number) =>
        10 * Math.log10(10 ** (hissDb / 10) + 10 ** (humDb / 10));
      const hummed = (humDb: number) =>
        measurement(
          {
            ...others,
            hiss: reading(-108, "dBFS", 0.1),
            noise: reading(beside(-105, humDb), "dBFS", 0.3),
            [id]: reading(beside(-108, humDb - lessDb), "dBFS", 0.1),
            hum: reading(humDb, "dBFS", 0.3),
            humOdd: reading(humDb, "dBFS", 0.3),
          },
          flat,
        );
      const siblings = [-120, -96, -112, -88, -104, -92, -116, -100, -94].map(hummed);
      const inputs = family([hummed(-66), ...siblings]);
      const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
      const [first] = diagnosePath(inputs[0], rankPaths(inputs)[0], { usual });
      expect(first.cause).toBe("ground-hum");
    },
  );

  it("tells a steady tone in the silence from hiss, however much it adds to the noise", () => {
    const bound = { bound: "upper", limitedBy: "noise" } as const;
    const quiet = {
      ...healthyReadings,
      hiss: reading(-105, "dBFS", 0.1),
      strayTone: { ...reading(-118, "dBFS", 6), ...bound },
    };
    const whistling = {
      ...quiet,
      noise: reading(-60, "dBFS"),
      noiseA: reading(-66, "dBFS"),
      hiss: reading(-60, "dBFS"),
      strayTone: reading(-60, "dBFS"),
      strayToneHz: reading(15_625, "Hz"),
    };
    const named = causesOf(measurement(whistling, flat), measurement(quiet, flat));
    expect(named.slice(0, 2).sort()).toEqual(["oscillation", "picked-up-tone"]);
    expect(named).not.toContain("noisy-device");
    // Hiss that hides no more than before is a device's still.
    const hissing = { ...quiet, noise: reading(-94, "dBFS"), hiss: reading(-94, "dBFS") };
    expect(causesOf(measurement(hissing, flat), measurement(quiet, flat))[0]).toBe("noisy-device");
  });

  it("sees a noisy device by its spectrum, where a shared tone hides what readings would say", () => {
    const bands = Array.from({ length: 30 }, (_, k) => 25 * 2 ** (k / 3));
    const spectrum = (db: number) => ({
      x: bands,
      y: bands.map(() => db),
      uncertainty: bands.map(() => 0.3),
      xUnit: "Hz" as const,
      yUnit: "dBFS" as const,
    });
    const { noise: _, noiseA: __, hum: ___, ...rest } = healthyReadings;
    const of = (db: number) => measurement(rest, { ...flat, noise: spectrum(db) });
    expect(causesOf(of(-100), of(-110))[0]).toBe("noisy-device");
  });

  it("names early clipping, reversed polarity and a dead path", () => {
    expect(causesOf(odd({ thdHot: reading(-30), compression: reading(-1) }), healthy)[0]).toBe(
      "early-clipping",
    );
    expect(causesOf(odd({ polarity: reading(-1, "", 0) }), healthy)[0]).toBe("polarity-reversed");
    expect(causesOf(odd({ gain: reading(-70) }), healthy)).toEqual(["no-signal"]);
    const rankedDead = rankPaths([
      { path: "1/mic", family: "mic", unheard: { code: "digital-silence" } as const },
    ])[0];
    const dead = diagnosePath(
      { path: "1/mic", family: "mic", unheard: { code: "digital-silence" } as const },
      rankedDead,
      {
        usual: undefined,
      },
    );
    expect(dead.map((c) => c.cause)).toEqual(["no-signal", "nothing-patched"]);
  });

  describe("tells a smooth bend from clipping by how distortion goes with level", () => {
    // A second harmonic is a·A/2 of the fundamental, a third a·A²/4 (power series, textbook); a clipped
    // sine has none beneath its threshold, and beyond it all at once.
    const siblings = measurement({ ...healthyReadings, headroom: reading(17) }, flat);
    const bent = (law: (aboveDb: number) => number, squeezed = 0) => ({
      ...measurement(
        {
          ...healthyReadings,
          thd: reading(law(0)),
          thd100: reading(law(0)),
          thdHot: reading(law(12)),
          compression: reading(squeezed),
          headroom: reading(9),
        },
        flat,
      ),
      steps: [0, 6, 10, 12, 14].map((aboveNominalDb) => ({
        aboveNominalDb,
        gainDb: 0,
        uncertainty: 0.01,
        distortionDb: law(aboveNominalDb),
      })),
    });
    it.each([
      ["a second harmonic", bent((db) => -60 + db), "smooth-distortion"],
      ["a third harmonic", bent((db) => -70 + 2 * db), "smooth-distortion"],
      ["halves of unlike gain", bent(() => -50), "smooth-distortion"],
      ["a threshold at +8 dB", bent((db) => (db < 8 ? -89 : -40 + 4 * (db - 8))), "early-clipping"],
      ["a threshold beneath nominal", bent((db) => -20 + 0.5 * db, -5), "early-clipping"],
    ])("%s", (_, path, cause) => {
      expect(causesOf(path, siblings)[0]).toBe(cause);
    });

    it("halves of unlike gain may be a stage that oscillates on one of them, the more so as it hisses", () => {
      const halves = bent(() => -50);
      expect(causesOf(halves, siblings).slice(0, 2)).toContain("oscillation");
      const hissing = (db: number, path: Measurement) => ({
        ...path,
        readings: { ...path.readings, hiss: reading(-105 + db, "dBFS", 0.1) },
      });
      const stirred = causesOf(hissing(3, halves), hissing(0, siblings));
      expect(stirred.slice(0, 2)).toEqual(["oscillation", "smooth-distortion"]);
      // What grows with level as a second harmonic does is none.
      expect(
        causesOf(
          bent((db) => -60 + db),
          siblings,
        ),
      ).not.toContain("oscillation");
    });
  });

  it("does not call noise that comes in bursts a device's", () => {
    const quiet = {
      ...healthyReadings,
      hiss: reading(-105, "dBFS", 0.1),
      noiseSlope: reading(0, "dB/octave", 0.3),
      clicks: reading(0, "/s", 0.33),
      burstiness: reading(0, "dB", 0.06),
    };
    const loud = {
      noise: reading(-95, "dBFS"),
      noiseA: reading(-98, "dBFS"),
      hiss: reading(-95, "dBFS"),
    };
    const named = (changes: object) =>
      causesOf(measurement({ ...quiet, ...loud, ...changes }, flat), measurement(quiet, flat));
    expect(named({})[0]).toBe("noisy-device");
    const crackling = named({ burstiness: reading(8), clicks: reading(9, "/s", 0.3) });
    expect(crackling[0]).toBe("leaky-capacitor");
    expect(crackling).toContain("dirty-contact");
  });

  it("does not hold against a cause what its own physics gives", () => {
    const inputs = family([
      odd({ thdHot: reading(-30), compression: reading(-3.2) }),
      ...Array.from({ length: 11 }, () => healthy),
    ]);
    const siblings = groupFamilies(inputs).get("mic") ?? [];
    const [first] = diagnosePath(inputs[0], rankPaths(inputs)[0], {
      usual: computeFamilyStats(siblings),
    });
    expect(first.cause).toBe("early-clipping");
    expect(first.against).toBeUndefined();
  });

  it("tells a dead path from one that nothing was patched into by the noise of its stage", () => {
    const unheard = (aboveSiblingsDb: number, siblingsAboveQuietestDb: number) => {
      const silence = { aboveSiblingsDb, siblingsAboveQuietestDb };
      const silent = {
        path: "12/mic",
        family: "mic",
        unheard: { code: "digital-silence" } as const,
        silence,
      };
      const inputs = [...family(Array.from({ length: 11 }, () => healthy)), silent];
      const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
      return diagnosePath(silent, rankPaths(inputs)[11], { usual });
    };
    const alive = unheard(1, 12);
    expect(alive[0]).toMatchObject({ cause: "nothing-patched", kind: "patch" });
    expect(alive[0].evidence.map(formatEvidence)).toContainEqual(
      expect.stringMatching(/stage works/),
    );
    const dead = unheard(-11, 12);
    expect(dead[0].cause).toBe("no-signal");
    expect(dead[0].probability).toBeGreaterThan(0.9);
    // A dead stage does not hiss more than a live one whose source is low.
    expect(unheard(7, 0)[0].cause).toBe("nothing-patched");
    // What makes the siblings' noise does not come through, whichever family is the quietest.
    expect(unheard(-9, 0)[0].probability).toBeGreaterThan(0.9);
    // Where the bus drowns what the stage adds, silence tells nothing: the odds beforehand stand.
    expect(unheard(0, 1).map((c) => [c.cause, c.probability])).toEqual([
      ["no-signal", 0.65],
      ["nothing-patched", 0.35],
    ]);
  });

  it("names what gives loud sound in place of a return, the likeliest first", () => {
    const loud = (crestDb: number, clippedShare: number) => {
      const instead = {
        path: "12/mic",
        family: "mic",
        unheard: { code: "digital-silence" } as const,
        loud: { levelDbfs: -3, crestDb, clippedShare },
      };
      const inputs = [...family(Array.from({ length: 11 }, () => healthy)), instead];
      const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
      return diagnosePath(instead, rankPaths(inputs)[11], { usual }).map(({ cause }) => cause);
    };
    // Crest factors: a constant 0 dB, a sine 3.01 dB, programme some 12 dB and more (common practice).
    expect(loud(0, 1)).toEqual(["stuck-recorder", "op-amp-latched", "oscillation"]);
    expect(loud(3.01, 0)).toEqual(["feedback-howl", "oscillation", "wrong-file"]);
    expect(loud(1.5, 0.3)).toEqual([
      "oscillation",
      "feedback-howl",
      "stuck-recorder",
      "wrong-file",
    ]);
    expect(loud(14, 0)).toEqual(["wrong-file", "oscillation", "feedback-howl"]);
  });
});
