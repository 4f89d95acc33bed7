import { getReadingId } from "../../measure/reading-kinds.js";
import type { LevelBreakMark } from "../../measure/types.js";
import { cleanerRisk, commonPractice, inUse, unplugged } from "../bench.js";
import { computeHotRise, isSmoothBend } from "../bend-law.js";
import {
  anyDeviation,
  type DeviationRange,
  formatDb,
  formatHz,
  type PredictedCause,
  predictHissRanges,
  predictHumRanges,
} from "../cause-kind.js";
import { createEvidence, type Evidence, type EvidenceWords } from "../evidence.js";
import { breakNats, listBreaks, summarizeBreaks, waverNats } from "../level-breaks.js";
import {
  findBrokenStep,
  findLevelJumps,
  findSweepBreak,
  getDeviation,
  hasFlutter,
  isBursty,
  isEvenHiss,
  isOutlier,
  mostEvenBesideOdd,
  type PathEvidence,
  swallowsSmall,
} from "../path-evidence.js";

/** Louder crackle does not come from a contact, decibels. */
const mostCrackleDb = 60;
/**
 * An unsteady contact that lets hum in adds sidebands no stronger than the hum, with this margin,
 * decibels.
 */
const besideHumDb = 3;

/** A steady film loses no more of a signal at nominal level, decibels. */
const filmLostDb = 3;
/**
 * The loss in a film is inversely proportional to the swing: 17 dB above nominal a seventh of it is
 * left, so the gain rises by six sevenths of the loss at nominal. Up to twice the rise plus this is
 * allowed, decibels.
 */
const timesRise = 2;
const leastFilmDb = 0.5;
/** Level steps that reach this far above nominal show that, decibels. */
const enoughDb = 12;
/**
 * Per decibel of level break a contact may lose this many decibels, and never more than
 * `mostLostDb`.
 */
const breakShare = 2;
const mostLostDb = 12;

/**
 * Most by which a film distorts large signals if its distortion of smaller ones was not read,
 * decibels.
 */
const mostHotDb = 25;

/**
 * An unsteady contact makes harmonics at any level, up to this much more 12 dB above nominal,
 * decibels.
 */
const mostRiseDb = 3;

/**
 * A film's harmonics fall as the level rises. Harmonics that rise by the law of their order come
 * from another part, and a contact adds no more than this to them, decibels (a guess).
 */
const besideBendDb = 3;

/** A contact's resistance may drift by this much between tones without a jump, decibels. */
const driftDb = 2;

const says = {
  unsteady: () => "the level is not steady",
  "breaks-in-sweep": ({ db, fromHz, toHz }: Readonly<Record<"db" | "fromHz" | "toHz", number>>) =>
    `the level breaks by ${formatDb(db)} while the sweep passes from ${formatHz(fromHz)} to ${formatHz(toHz)}, flat between steep edges`,
  "breaks-in-steps": ({ db }: { readonly db: number }) =>
    `the level breaks and recovers while a tone rises in steps: ${formatDb(db)}`,
  "small-swallowed": () => "small signals vanish where large ones pass",
  "falls-with-level": ({ nominalDb, hotDb }: Readonly<Record<"nominalDb" | "hotDb", number>>) =>
    `distortion falls with level: ${formatDb(nominalDb)} at nominal, ${formatDb(hotDb)} 12 dB above`,
} satisfies EvidenceWords;
const seen = createEvidence("dirty-contact", says);

/**
 * An oxide film between metals: a resistance that drifts, and a threshold that small signals hardly
 * cross, so that distortion falls as the level rises.
 */
export const dirtyContact: PredictedCause<"dirty-contact"> = {
  id: "dirty-contact",
  name: "dirty switch or normalling jack contact",
  word: "contact",
  kind: "fault",
  shownBy: ["round", "controls pass", "use"],
  prior: 0.06,
  // Share for a contact in the routing to that side: common practice, a guess.
  silentSideShare: 0.15,
  answers: {
    switches: 0.75,
    cable: 0.35,
    again: 0.3,
    insert: 0.3,
    pad: 0.2,
    controls: 0.5,
    "gain-worked": 0.1,
    "other-input": 0.7,
  },
  idles: ["low-cut", "pad"],
  settle: inUse(
    "work the switch or plug a dozen times and record again; wiggle the plug while the tone plays",
    undefined,
    ["recording set-up", "tone 1 kHz"],
  ),
  ready: "contact cleaner, a burnishing strip",
  tryNow: "turn the plug and work the switches of this path a few times",
  confusedWith: [
    {
      cause: "worn-gain-control",
      check:
        "turn the control while the tone plays: if only that makes it crackle, it is the control",
    },
    {
      cause: "crossover-distortion",
      check:
        "work switch and plug a dozen times: distortion that comes and goes comes from a contact",
    },
    {
      cause: "dry-joint",
      check:
        "tap the front of the strip: a dry joint reacts to tapping, a dirty contact to being worked",
    },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance across the closed contacts of the input's switch, jack and connectors: each must read as its sibling's does, and stay steady while it is moved",
        undefined,
        ["multimeter"],
      ),
    ],
    repair: "Clean or burnish the contact; replace the switch if cleaning does not last.",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "switch", count: 1 },
    ],
    minutes: 25,
    risks: cleanerRisk,
    source: commonPractice,
  },
  notes: [
    {
      controls: ["polarity", "pad", "low-cut", "solo", "routing", "input-switch"],
      otherwise: 6,
      sure: ["crackle", "scratch"],
    },
    { controls: ["mute"], symptoms: { crackle: 6, stuck: 7, intermittent: 6 }, otherwise: 3 },
    { controls: ["socket", "direct-out"], otherwise: 6 },
    { controls: ["insert"], otherwise: 3 },
    {
      symptoms: {
        crackle: 4,
        dropout: 5,
        intermittent: 5,
        unsteady: 5,
        quiet: 2.5,
        dead: 2,
        pop: 2,
        distorted: 1.8,
        scratch: 1,
      },
    },
  ],
  says,
  predict(path) {
    const jumps = findLevelJumps(path);
    const breaks = listBreaks(path.measurement?.marks);
    const broken = findBrokenStep(path);
    const swept = jumps === undefined ? findSweepBreak(path) : undefined;
    const wavers = isOutlier(path, "instability", "up") || isOutlier(path, "instability100", "up");
    const shaky =
      jumps !== undefined ||
      breaks.length > 0 ||
      broken !== undefined ||
      swept !== undefined ||
      wavers ||
      isOutlier(path, "clicks", "up") ||
      isBursty(path);
    const nominal = getDeviation(path, "thd");
    const hot = getDeviation(path, "thdHot") ?? 0;
    // A film's threshold swallows small signals before it distorts large ones.
    const falls = nominal !== undefined && isOutlier(path, "thd", "up") && nominal > hot + 3;
    const swallows = !falls && swallowsSmall(path);
    if (!shaky && !falls && !swallows) return undefined;
    // In one leg of a balanced input its resistance lets in what the cable picks up on both legs; a
    // steady film only loses level, and little of a large signal. What a cable picks up has odd
    // mains harmonics; even ones alone come from a supply.
    const trembles = shaky || hasFlutter(path);
    const most = trembles && !isEvenHiss(path) ? mostCrackleDb : 1;
    const noise: DeviationRange = [-30, Math.min(most, mostHiss(path))];
    // A large loss comes with breaks as deep: the resistance of a bad contact is never steady.
    const deepest = Math.max(
      jumps ?? 0,
      Math.abs(broken ?? 0),
      Math.abs(swept?.db ?? 0),
      ...breaks.map(({ levelDb }) => Math.abs(levelDb)),
    );
    // A film loses less of a larger swing: distortion that grows with level does not come from a
    // film.
    const risen = Math.max(0, (computeHotRise(path) ?? 0) - mostRiseDb);
    const isBent = isSmoothBend(path) === true && isOutlier(path, "thdHot", "up");
    const mostHot =
      nominal === undefined ? mostHotDb - 2 : Math.max(2, Math.min(nominal - 2, hot - risen));
    const film = mostFilmDb(path);
    const lost = trembles ? Math.min(mostLostDb, Math.max(film, breakShare * deepest)) : film;
    const hum = most;
    const evidence: Evidence[] = [];
    if (breaks.length > 0) evidence.push(summarizeBreaks(breaks));
    else if (trembles) evidence.push(seen("unsteady"));
    if (swept) {
      const { db, fromHz, toHz } = swept;
      evidence.push(seen("breaks-in-sweep", { db, fromHz, toHz }));
    }
    if (broken !== undefined) evidence.push(seen("breaks-in-steps", { db: broken }));
    if (swallows) evidence.push(seen("small-swallowed"));
    if (falls) evidence.push(seen("falls-with-level", { nominalDb: nominal, hotDb: hot }));
    return {
      moves: {
        gain: [-lost, 0.5],
        // If it is unsteady and distorts small signals most, its film is what distorts them.
        thd: isBent ? [0, besideBendDb] : falls && trembles ? [3, 80] : [0, 80],
        thd100: falls && trembles ? [3, 80] : [0, 80],
        instability100: [0, 200],
        thdHot: [-1, isBent ? besideBendDb : mostHot],
        imd: [0, 60],
        linearity: broken === undefined && breaks.length === 0 ? [-60, 2] : [-60, 60],
        compression: [-3, 8],
        instability: [0, 200],
        clicks: [0, 200],
        burstiness: [0, 60],
        breaks: [0, 200],
        ...predictHissRanges(noise),
        ...predictHumRanges([-30, hum], [-30, Math.min(hum, mostEvenBesideOdd(path))]),
        noiseSlope: trembles ? [-12, 6] : [-2, 2],
        dc: anyDeviation,
      },
      wander: jumps ?? Math.max(driftDb, Math.abs(swept?.db ?? 0), deepestInSweep(breaks)),
      ...(broken !== undefined || swept || breaks.length > 0 ? { sign: breakNats } : {}),
      ...(wavers && breaks.length === 0 ? { sign: waverNats } : {}),
      evidence,
    };
  },
};

/**
 * The most that a film can lose at nominal level, by how far the gain rises above nominal,
 * decibels.
 */
function mostFilmDb({ measurement }: PathEvidence): number {
  const above = (measurement?.steps ?? []).filter(({ aboveNominalDb }) => aboveNominalDb > 0);
  if (!above.some(({ aboveNominalDb }) => aboveNominalDb >= enoughDb)) return filmLostDb;
  const rise = Math.max(0, ...above.map(({ gainDb, uncertainty }) => gainDb + uncertainty));
  return Math.min(filmLostDb, leastFilmDb + timesRise * rise);
}

/**
 * The most by which a contact raises the hiss, decibels. Crackle comes in bursts; without bursts it
 * can only be sidebands of modulated hum, which have no more power than the hum.
 */
function mostHiss(path: PathEvidence): number {
  const burstinessId = getReadingId("burstiness");
  if (!path.features.has(burstinessId) || isBursty(path) || isOutlier(path, "clicks", "up")) {
    return mostCrackleDb;
  }
  const hissId = getReadingId("hiss");
  const deviation = getDeviation(path, hissId);
  const hiss = path.measurement?.readings[hissId];
  const hum = path.measurement?.readings[getReadingId("odd-hum")];
  if (deviation === undefined || !hiss || !hum) return mostCrackleDb;
  return Math.max(1, deviation - (hiss.value - hum.value) + besideHumDb);
}

function deepestInSweep(breaks: readonly LevelBreakMark[]): number {
  const own = breaks.flatMap(({ segment, levelDb }) =>
    segment === "sweep" ? [Math.abs(levelDb)] : [],
  );
  return Math.max(0, ...own);
}
