import { inUse, solderingRisk, unplugged } from "../bench.js";
import { formatDb, formatHz, type PredictedCause, predictLevelRanges } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { getDeviation, isOutlier, type PathEvidence } from "../path-evidence.js";
import { fitRollOffShape } from "../shapes.js";

/**
 * Resistance where there should be none loses level into a low load impedance, and treble into the
 * capacitance of the circuit. Corners above this are not seen.
 */
const highestCornerHz = 60_000;
/** The same if the treble is clearly below siblings that agree closely, however little it lost. */
const highestClearCornerHz = 150_000;
/** Nats in favour: neither a knob nor a pad loses treble along with the level. */
const clearNats = 4;
/** A contact that still passes a signal does not lose more, decibels. */
const mostLostDb = 40;

type Fell = Readonly<Record<"lostDb" | "hz" | "at20kDb", number>>;

const says = {
  "level-and-treble-lost": ({ lostDb, hz, at20kDb }: Fell) =>
    `gain ${formatDb(lostDb)}, and treble falls 6 dB per octave as well, corner near ${formatHz(hz)} (${formatDb(at20kDb)} at 20 kHz): resistance in series ahead of a capacitance`,
} satisfies EvidenceWords;
const seen = createEvidence("added-series-resistance", says);

export const addedSeriesResistance: PredictedCause<"added-series-resistance"> = {
  id: "added-series-resistance",
  name: "added series resistance: oxidised contact, dry joint or open build-out resistor",
  word: "series R",
  kind: "fault",
  shownBy: ["round", "meter", "use"],
  prior: 0.04,
  answers: { switches: 0.4, insert: 0.25, cable: 0.15, again: 0.1, "other-input": 0.4 },
  settle: unplugged(
    "with the desk off, unplugged and discharged, measure the resistance across each contact, joint and build-out resistor of the path, and compare with a sibling: a few hundred ohms more mean a fault",
    undefined,
    ["multimeter"],
  ),
  ready: "contact cleaner, solder, build-out resistors of the desk's value",
  confusedWith: [
    {
      cause: "high-loss",
      check:
        "a round shows this as treble loss: the meter shows whether a contact or the driver does it",
    },
    { cause: "open-leg", check: "an open leg loses 6 dB at all frequencies, and hums" },
  ],
  bench: {
    steps: [
      inUse(
        "Work the switches and the insert of the path a dozen times, then record the path again",
        undefined,
        ["recording set-up"],
      ),
    ],
    repair: "Clean the contact, resolder the joint or replace the resistor, like its neighbours'.",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "resistor", count: 1 },
    ],
    minutes: 30,
    risks: solderingRisk,
    source:
      "corner of a resistance into capacitance: 1/(2πRC), circuit theory; where to look: common practice, no source",
  },
  notes: [{ symptoms: { dull: 3, quiet: 1 } }],
  says,
  predict(path) {
    const lost = getDeviation(path, "gain");
    if (!path.response || lost === undefined || lost < -mostLostDb) return undefined;
    if (!isOutlier(path, "gain", "down")) return undefined;
    const fit = fitRollOffShape(path.response, "high", 1);
    const isClear = losesTreblePlainly(path);
    if (fit.hz > (isClear ? highestClearCornerHz : highestCornerHz)) return undefined;
    const loss = Math.max(0, -fit.shape(20_000));
    const level = predictLevelRanges(lost);
    const down = (id: "hiss" | "noiseA" | "noise") => {
      const [low, high] = level[id] ?? [lost - 1, 1];
      return [low - loss, high] as const;
    };
    return {
      moves: {
        ...level,
        gain: [-mostLostDb, -0.5],
        hiss: down("hiss"),
        noiseA: down("noiseA"),
        noise: down("noise"),
        imd: [2 * lost - 2 * loss - 2, loss + 10],
      },
      response: fit.shape,
      fitted: 1,
      ...(isClear ? { sign: clearNats } : {}),
      evidence: [
        seen("level-and-treble-lost", { lostDb: lost, hz: fit.hz, at20kDb: fit.shape(20_000) }),
      ],
    };
  },
};

/** The treble is compared from here on, hertz. */
const trebleFromHz = 10_000;
/** A fader away from its end stop loses 0.1 dB at 20 kHz by its own resistance (circuit theory). */
const leastLostDb = 0.2;
/** A larger loss shows by its shape. */
const littleLostDb = 1;
/** This many of the siblings' own deviations, which count as at least this, decibels. */
const clearDeviations = 6;
const leastScatterDb = 0.03;

/**
 * Whether all of the treble is below the siblings' by far more than they differ from each other.
 * The path is faulty anyway, so the siblings' actual scatter counts, not the practical threshold.
 */
function losesTreblePlainly({ response }: PathEvidence): boolean {
  if (!response?.siblings) return false;
  const { x, y, uncertainty, siblings } = response;
  const last = x.length - 1;
  if (y[last] > -leastLostDb || y[last] < -littleLostDb || x[last] < 2 * trebleFromHz * 0.9)
    return false;
  return x.every((hz, i) => {
    if (hz < trebleFromHz) return true;
    const own = Math.hypot(Math.max(siblings[i], leastScatterDb), uncertainty[i]);
    // The loss rises with the square of the frequency, and so does the siblings' scatter.
    return y[i] < -clearDeviations * own * (hz / x[last]) ** 2;
  });
}
