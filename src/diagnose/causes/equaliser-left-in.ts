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
 * A desk's equaliser does not boost or cut by more, decibels (common practice: 12 to 18); a fall
 * that does not level out comes from a capacitor.
 */
const mostDb = 24;
/** Nor does it have a centre or corner frequency outside the audible band, hertz. */
const bandHz = [15, 25_000] as const;
/**
 * Uncertainty of the level at 1 kHz as known from the shape: this many decibels plus this share of
 * its height, or of `timesFoot` times its effect at 1 kHz if that is less, since then only its foot
 * is at 1 kHz.
 */
const leastDoubtDb = 0.5;
const doubtShare = 0.15;
const timesFoot = 5;
/**
 * The midpoint of an equaliser's bass shelf is above this frequency; one below it is rare and costs
 * this many nats (common practice, a guess). A shelf that low usually comes from a stage left with
 * a gain of one.
 */
const leastShelfHz = 35;
const deepShelfNats = -4;
/** Uncertainty of how far a shape raises or cuts hiss, decibels. */
const hissDb = 1;
/** The same for the slope of the noise, decibels per octave. */
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

/**
 * An equaliser boosts or cuts with shelves and bells; an ageing part never boosts, or dips and
 * recovers.
 */
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
      check:
        "switch the equaliser out: a treble loss that stays points to a contact, a cable or a driver",
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
    // All levels are read at 1 kHz, where the shape has its effect too; the height of a wide shape
    // is only known roughly.
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
        // a boost raises the noise there, a cut lowers it
        ...predictHissRanges(along),
        // hiss changes by the share of its spectrum under the shape
        hiss: [Math.min(0, rise) - hissDb, Math.max(0, rise) + hissDb],
        hum: along,
        humOdd: along,
        humEven: along,
        // noise from upstream is shaped like the signal, noise from downstream is not
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
