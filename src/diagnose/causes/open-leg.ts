import { commonPractice, inUse, solderingRisk, unplugged } from "../bench.js";
import {
  formatDb,
  type PredictedCause,
  predictHissRanges,
  predictHumMixing,
  predictHumRanges,
  predictLevelRanges,
} from "../cause-kind.js";
import { createEvidence, type Evidence, type EvidenceWords } from "../evidence.js";
import { grossHumDb, linesNats, readHumLines } from "../hum-lines.js";
import {
  getDeviation,
  isOutlier,
  isTelling,
  mostEvenBesideOdd,
  type PathEvidence,
} from "../path-evidence.js";

/**
 * With one leg open, what the cable picks up on both legs is no longer cancelled. The loss depends
 * on source and input (circuit theory): half the voltage, 6.02 dB, if each leg carries half of it;
 * 12.04 dB in a difference stage of four equal resistors, whose open side drags the other down with
 * it; nothing if the source drives only one leg and the other opened; everything if that one
 * opened, which then counts as no signal. Loading of the legs moves these figures by half a
 * decibel.
 *
 * Hiss: a bridging input has the noise of its own resistors once the source is gone. The noise of a
 * difference stage already includes its four resistors, and its noise gain falls from 2 to 1 at
 * most.
 */
const forms = [
  { id: "half", lossDb: [-6.7, -5.3], hissDb: [-2, 12] },
  { id: "quarter", lossDb: [-12.8, -11.3], hissDb: [-7, 2] },
  { id: "none", lossDb: [-0.5, 0.5], hissDb: [-2, 12], onlyHum: true },
] as const;
type Form = (typeof forms)[number];
const formWords: Readonly<Record<Form["id"], string>> = {
  half: "half the voltage, one leg of two",
  quarter: "a quarter of the voltage, one leg of a difference stage",
  none: "no loss: the leg that the source does not drive",
};
/** A form still matches this far outside its range, decibels. */
const besideDb = { wide: 1.5, narrow: 0 } as const;
/** A balanced input cancels at least this much of what both legs pick up, decibels. */
const cancelledDb = 15;

const says = {
  "level-lost": ({ db, form }: { readonly db: number; readonly form: Form["id"] }) =>
    `gain ${formatDb(db)} at all frequencies: ${formWords[form]}`,
  hums: ({ db }: { readonly db: number }) =>
    `hum ${formatDb(db)}: what the cable picks up no longer cancels`,
} satisfies EvidenceWords;
const seen = createEvidence("open-leg", says);

export const openLeg: PredictedCause<"open-leg"> = {
  id: "open-leg",
  name: "one leg of the balanced input open",
  word: "open leg",
  kind: "fault",
  shownBy: ["round", "use"],
  seat: ["socket", "input stage"],
  prior: 0.05,
  answers: { cable: 0.4, switches: 0.15, "other-input": 0.97 },
  settle: inUse(
    "swap the cable with a sibling's and record again: if the level is still 6 dB low, the open leg is in the socket or in the strip",
    undefined,
    ["recording set-up", "good cable"],
  ),
  ready: "a known good cable, solder for the socket, the input's series resistors",
  tryNow: "is the plug fully in? Push it home, or try another cable",
  confusedWith: [
    {
      cause: "gain-off",
      check:
        "change nothing but the cable: the level recovers if the cable was open; an open leg also hums",
    },
    {
      cause: "pad-in",
      check:
        "an open leg loses 6 or 12 dB and hums; press the pad switch twice: a pad moves the level",
    },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance from pin 2 and from pin 3 of the socket to the input stage: the two legs must read the same",
        undefined,
        ["multimeter"],
      ),
      unplugged(
        "Look at the solder joints of the socket, the ribbon's contact and the series resistors of both legs",
      ),
    ],
    repair: "Resolder the joint, clean the contact or replace the open resistor.",
    parts: [
      { role: "socket", count: 1 },
      { role: "resistor", count: 2 },
    ],
    minutes: 25,
    risks: solderingRisk,
    source: commonPractice,
  },
  notes: [{ symptoms: { quiet: 3, hum: 1, thin: 1 } }],
  says,
  predict(path) {
    const lost = getDeviation(path, "gain");
    if (lost === undefined) return undefined;
    const form = forms.find((one) => {
      const { lossDb: range } = one;
      const beside = "onlyHum" in one ? besideDb.narrow : besideDb.wide;
      return lost >= range[0] - beside && lost <= range[1] + beside;
    });
    if (!form) return undefined;
    const { lossDb, hissDb } = form;
    const evidence: Evidence[] = [seen("level-lost", { db: lost, form: form.id })];
    const hum = getDeviation(path, "humOdd") ?? getDeviation(path, "hum");
    // The reading of all mains harmonics together also includes the even ones of a supply.
    const hums = isOutlier(path, path.features.has("humOdd") ? "humOdd" : "hum", "up");
    const { isWeighted = false } = readHumLines(path) ?? {};
    // Without a loss of level only strong hum shows it, and an open shield looks the same.
    if ("onlyHum" in form && !(hums && (hum ?? 0) > cancelledDb)) return undefined;
    const isHeard = hums || isWeighted;
    if (hum !== undefined && isHeard) {
      evidence.push(seen("hums", { db: hum }));
    }
    return {
      moves: {
        ...predictLevelRanges(lost),
        gain: lossDb,
        // noise from upstream of the loss falls with it, the stage's own noise does not
        ...predictHissRanges(hissDb),
        noise: [isHeard ? 1 : -3, hums || (hum ?? cancelledDb) > hissDb[1] ? 90 : hissDb[1]],
        ...predictHumRanges([isHeard ? 1 : -3, 90], [-3, Math.min(80, mostEvenBesideOdd(path))]),
        ...(hum !== undefined && hum > grossHumDb ? predictHumMixing() : {}),
      },
      fitted: "onlyHum" in form ? 2 : countCoincidences(path, isHeard, hum),
      ...(isWeighted && !hums ? { sign: linesNats } : {}),
      evidence,
    };
  },
};

/**
 * Half the voltage without hum is a coincidence. It is less of one if no hum could be read, since a
 * cable in no field picks up none, and hardly one if there is much hum, but the siblings' hum
 * scatters too widely for it to stand out.
 */
function countCoincidences(path: PathEvidence, hums: boolean, hum: number | undefined): number {
  if (hums) return 0;
  if (hum !== undefined && hum > cancelledDb) return 0.5;
  return isTelling(path, "humOdd") || isTelling(path, "hum") ? 2 : 1;
}
