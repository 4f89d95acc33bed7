import { commonPractice, inUse, powered, solderingRisk, unplugged } from "../bench.js";
import { anyDeviation, formatDb, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type Evidence, type EvidenceWords } from "../evidence.js";
import { getDeviation } from "../path-evidence.js";

/** A dead stage still lets a little through, by crosstalk and stray capacitance. */
const deadDb = -30;
/** What is left is stray signal: these readings of it follow no rule. */
const loose = [
  "hiss",
  "noiseA",
  "noise",
  "hum",
  "humOdd",
  "humEven",
  "noiseSlope",
  "thd",
  "thd100",
  "thdHot",
  "compression",
  "headroom",
  "linearity",
  "imd",
  "clicks",
  "burstiness",
  "breaks",
  "instability",
  "instability100",
  "dc",
  "polarity",
];

const says = {
  remnant: ({ db }: { readonly db: number }) =>
    `gain ${formatDb(db)} against its siblings: stray signal only`,
} satisfies EvidenceWords;
const seen = createEvidence("no-signal", says);

export const noSignal: PredictedCause<"no-signal"> = {
  id: "no-signal",
  name: "no signal: dead stage or open connection",
  word: "no signal",
  kind: "fault",
  sharedAspect: "dead",
  shownBy: ["round", "use"],
  prior: 0.05,
  answers: { switches: 0.2, insert: 0.25, cable: 0.2, again: 0.1, marks: 0.1, "other-input": 0.6 },
  settle: powered(
    "play the tone and follow it stage by stage from socket to fader, with an insulated probe through a capacitor into a headphone amplifier: the stage where it stops is dead",
    ["listening probe", "tone 1 kHz", "extender"],
  ),
  ready: "contact cleaner, a spare ribbon cable, op amps of the strip's kinds",
  tryNow: "is the plug in, the strip routed and unmuted, the fader up?",
  confusedWith: [
    {
      cause: "nothing-patched",
      check: "patch a source that certainly works, and see whether the strip's own meter moves",
    },
    {
      cause: "op-amp-latched",
      check: "measure DC voltage at the outputs of the op amps: a latched one sits near a rail",
    },
  ],
  bench: {
    steps: [
      inUse(
        "Patch a source that you have just heard on another strip, and listen at the insert send: a signal there clears everything upstream",
        undefined,
        ["source"],
      ),
      unplugged(
        "Press every ribbon and module connector of the strip home, and look for one that is loose, burnt or corroded green",
      ),
      powered(
        "Measure the supply rails at the strip and the DC voltage at the output of each op amp",
        ["multimeter", "extender"],
      ),
    ],
    repair:
      "Clean or replace the connector, or replace the part where the tone stops with the same type.",
    parts: [
      { role: "op amp", count: 1 },
      { role: "ribbon cable", count: 1 },
    ],
    minutes: 40,
    risks: [
      "pull a ribbon by its connector, never by the cable: it breaks at the crimp",
      ...solderingRisk,
    ],
    source: commonPractice,
  },
  notes: [{ symptoms: { dead: 6, dropout: 2, intermittent: 1 } }],
  says,
  predict(path) {
    const lost = getDeviation(path, "gain");
    if (path.unheard === undefined && (lost === undefined || lost > deadDb)) return undefined;
    const moves = Object.fromEntries(loose.map((id) => [id, anyDeviation]));
    const gain = lost ?? 0;
    const response = path.response;
    const evidence: readonly Evidence[] =
      path.unheard === undefined
        ? [seen("remnant", { db: gain })]
        : [{ code: "no-return", heard: path.unheard }];
    return {
      moves: { ...moves, gain: [gain, gain] },
      ...(response ? { response: (hz) => nearestOf(response, hz) } : {}),
      evidence,
    };
  },
};

function nearestOf(
  { x, y }: { readonly x: readonly number[]; readonly y: readonly number[] },
  hz: number,
) {
  const i = x.findIndex((at) => at >= hz);
  return y[i < 0 ? y.length - 1 : i];
}
