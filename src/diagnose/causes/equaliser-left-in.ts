import { inUse } from "../bench.js";
import {
  type DeviationRange,
  formatDb,
  formatHz,
  type PredictedCause,
  predictHissRanges,
} from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { findLargestCurveScore } from "../path-evidence.js";
import { computeNoiseRise, computeNoiseSlope, fitBell, fitShelf } from "../shapes.js";
import { buildSwitchBench } from "../switch-bench.js";

/**
 * No equaliser of a desk lifts or cuts by more, decibels (common practice: 12 to 18); what falls on
 * and on is a capacitor's.
 */
const mostDb = 24;
/** Nor has it a middle or a corner outside the band that is heard, hertz. */
const bandHz = [15, 25_000] as const;
/**
 * The level at 1 kHz is known from the shape to this, and to this share of its height, decibels: less
 * where so many times what it does to 1 kHz is less than its height, as then its foot alone lies there.
 */
const leastDoubtDb = 0.5;
const doubtShare = 0.15;
const timesFoot = 5;
/**
 * The middle of an equaliser's bass shelf lies above this: one below it is rare, and nats that it costs
 * (common practice, a guess). What levels out down there is a stage that is left with a gain of one.
 */
const leastShelfHz = 35;
const deepShelfNats = -4;
/** What hiss a shape lifts or cuts is known to this, decibels. */
const hissDb = 1;
/** Nor is the noise's slope better known, decibels per octave. */
const leastSlope = 0.5;

const shapeKinds = ["low-shelf", "high-shelf", "bell"] as const;
type ShapeKind = (typeof shapeKinds)[number];
const shapeNames: Readonly<Record<ShapeKind, string>> = {
  "low-shelf": "shelf at the low end",
  "high-shelf": "shelf at the high end",
  bell: "bell",
};

const says = {
  shape: ({
    kind,
    db,
    hz,
  }: {
    readonly kind: ShapeKind;
    readonly db: number;
    readonly hz: number;
  }) => `response ${formatDb(db)}, a ${shapeNames[kind]} near ${formatHz(hz)}`,
} satisfies EvidenceWords;
const seen = createEvidence("equaliser-left-in", says);

/** An equaliser lifts or cuts by shelves and bells; no ageing part lifts, or dips and recovers. */
export const equaliserLeftIn: PredictedCause<"equaliser-left-in"> = {
  id: "equaliser-left-in",
  name: "equaliser left in or off centre",
  word: "EQ in",
  kind: "setting",
  shownBy: ["round", "use"],
  seat: ["equaliser"],
  prior: 0.1,
  answers: { equaliser: 0.95, "other-input": 0.2 },
  settle: inUse(
    "switch the equaliser out, centre its controls and record this path again",
    undefined,
    ["recording set-up"],
  ),
  tryNow: "is the equaliser switched in?",
  confusedWith: [
    {
      cause: "high-loss",
      check: "switch the equaliser out: a loss that stays points to a contact, a cable or a driver",
    },
    {
      cause: "dried-gain-leg-capacitor",
      check: "switch the equaliser out: a thin low end that stays points to a capacitor",
    },
    {
      cause: "equaliser-band-faulty",
      check: "move the band's controls: an equaliser left in responds, a dead band does not",
    },
  ],
  bench: buildSwitchBench("the equaliser's switch"),
  says,
  predict(path) {
    const { response } = path;
    if (!response || Math.abs(findLargestCurveScore(path, 20, 20_000)) < 3.5) return undefined;
    const shelves = [fitShelf(response, "low"), fitShelf(response, "high")];
    const bell = fitBell(response);
    const fits = [...shelves, bell];
    const within = fits.filter(
      ({ db, hz }) => Math.abs(db) <= mostDb && hz >= bandHz[0] && hz <= bandHz[1],
    );
    if (within.length === 0) return undefined;
    const fit = within.reduce((a, b) => (b.restDb < a.restDb ? b : a));
    const best = fits.indexOf(fit);
    if (Math.abs(fit.db) < 0.8) return undefined;
    const size = Math.abs(fit.db);
    // What the shape does to 1 kHz, all levels are read at; a wide one shows its height roughly.
    const doubt = leastDoubtDb + doubtShare * Math.min(size, timesFoot * Math.abs(fit.at1kDb));
    const slope = computeNoiseSlope(fit.shape);
    const noise = path.usual?.curves.noise;
    const rise = computeNoiseRise(
      (hz) => fit.shape(hz) + fit.at1kDb,
      noise && { x: noise.x, db: noise.points.map((one) => one?.median) },
    );
    const along: DeviationRange = fit.db > 0 ? [-1, size + 1] : [-size - 1, 1];
    return {
      moves: {
        // what is lifted lifts its noise, what is cut cuts it
        ...predictHissRanges(along),
        // hiss by what of its spectrum lies under the shape
        hiss: [Math.min(0, rise) - hissDb, Math.max(0, rise) + hissDb],
        hum: along,
        humOdd: along,
        humEven: along,
        // what comes from before it is bent as the signal is, what comes from behind it is not
        noiseSlope: [Math.min(0, slope) - leastSlope, Math.max(0, slope) + leastSlope],
        thd: [-size - 1, size + 1],
        thd100: [-size - 1, size + 1],
        thdHot: [-size - 3, size + 3],
        imd: [-2 * size - 1, 2 * size + 1],
        gain: [fit.at1kDb - doubt, fit.at1kDb + doubt],
        headroom: [-size - 1, size + 1],
        compression: [-size, 0.3],
      },
      response: fit.shape,
      fitted: best === 2 ? 3 : 2,
      ...(best === 0 && fit.hz * 10 ** (fit.db / 40) < leastShelfHz ? { sign: deepShelfNats } : {}),
      evidence: [seen("shape", { kind: shapeKinds[best], db: fit.db, hz: fit.hz })],
    };
  },
};
