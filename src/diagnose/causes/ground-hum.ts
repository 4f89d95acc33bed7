import { commonPractice, inUse, unplugged } from "../bench.js";
import {
  formatDb,
  formatHz,
  type PredictedCause,
  predictHissRanges,
  predictHumMixing,
  predictHumRanges,
} from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { grossHumDb, linesNats, readHumLines } from "../hum-lines.js";
import { combNats, findMainsComb, predictCombMixing } from "../mains-comb.js";
import { measureShield, shieldRisk } from "../shield-check.js";

const says = {
  "odd-lines": ({ oddDb, evenDb }: Readonly<Record<"oddDb" | "evenDb", number>>) =>
    `mains and its odd multiples ${formatDb(oddDb)}${evenDb > 0 ? `, even ones ${formatDb(evenDb)}` : ", even ones like its siblings'"}`,
  comb: ({ db, toHz }: Readonly<Record<"db" | "toHz", number>>) =>
    `odd multiples of the mains up to ${formatHz(toHz)} ${formatDb(db)}: short pulses, typical of a dimmer or a switching supply`,
} satisfies EvidenceWords;
const seen = createEvidence("ground-hum", says);

/** Magnetic fields and shield currents are at the mains frequency and its odd multiples. */
export const groundHum: PredictedCause<"ground-hum"> = {
  id: "ground-hum",
  name: "open shield or ground: mains hum",
  word: "hum",
  kind: "fault",
  sharedAspect: "hum-odd",
  shownBy: ["round", "use"],
  prior: 0.07,
  answers: { cable: 0.45, switches: 0.1, "other-input": 0.9 },
  settle: inUse(
    "swap the cable with a sibling's and record again: hum that moves with it points to the cable's shield, hum that stays to the socket's or the strip's ground",
    undefined,
    ["recording set-up", "good cable"],
  ),
  ready: "a known good cable, ground braid, solder for the socket",
  tryNow: "try another cable, and the interface's ground lift if it has one",
  confusedWith: [
    {
      cause: "supply-ripple",
      check:
        "listen to the pitch: hum at the mains frequency comes from a field or a ground, hum an octave up from the supply",
    },
    { cause: "open-leg", check: "an open leg loses 6 dB as well" },
  ],
  bench: {
    steps: [
      measureShield,
      unplugged("Look at the ground screws and the braid, and tighten what is loose"),
    ],
    repair: "Resolder the joint or replace the braid.",
    parts: [{ role: "socket", count: 1 }],
    minutes: 25,
    risks: shieldRisk,
    source: commonPractice,
  },
  notes: [{ symptoms: { hum: 6, buzz: 5 } }],
  says,
  predict(path) {
    const lines = readHumLines(path);
    // A comb can be present although the siblings' strong first harmonic hides it in the sum.
    const comb = findMainsComb(path, "odd");
    if (lines === undefined || (lines.oddDb < 1.5 && !comb)) return undefined;
    const { oddDb: odd, evenDb: even, isClear, isMostNoise, isWeighted } = lines;
    if (!isMostNoise && !isWeighted && !isClear && !comb) return undefined;
    return {
      moves: {
        ...predictHissRanges([-1, 2]),
        ...(odd > grossHumDb || even > grossHumDb ? predictHumMixing() : {}),
        ...predictHumRanges([comb ? -1 : 1, 70], [-2, Math.max(2, odd - 4)]),
        // If the noise shows the hum, the noise must have risen.
        noise: [isMostNoise && !isClear ? 1 : -1, 80],
        noiseA: [-1, 40],
        ...(comb && predictCombMixing()),
      },
      ...(comb ? { sign: combNats } : isWeighted && !isClear ? { sign: linesNats } : {}),
      evidence: [
        seen("odd-lines", { oddDb: odd, evenDb: even }),
        ...(comb ? [seen("comb", { db: comb.db, toHz: comb.toHz })] : []),
      ],
    };
  },
};
