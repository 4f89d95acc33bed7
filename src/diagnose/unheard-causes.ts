import { getReadingId } from "../measure/reading-kinds.js";
import type { Unheard } from "../not-measured.js";
import type { EmptyCaptureNoise, LoudSound } from "../rank/family-stats.js";
import type { CauseKind } from "./cause-kind.js";
import { noSignal } from "./causes/no-signal.js";
import { nothingPatched } from "./causes/nothing-patched.js";
import { causeKinds, describeCause } from "./causes.js";
import type { Evidence, EvidenceLine } from "./evidence.js";
import type { PathEvidence } from "./path-evidence.js";
import type { Cause } from "./types.js";

/**
 * Share of silent recordings that are due to patching, not to the desk (common practice, a guess).
 */
const unpatchedShare = 0.35;
/**
 * Odds for one or the other from the noise of a silent recording if it is conclusive, a guess on
 * the careful side.
 */
const telling = 12;
/** Odds if only the level at the socket counts: too weak to reverse the verdict. */
const hinting = 1.5;
/** If siblings add less than this to the quietest family's noise, it shows nothing, decibels. */
const leastAddedDb = 4;
/** Noise this far below the siblings' lacks what they add, decibels. */
const plainlyBelowDb = 6;
/** A dead stage does not give this much more noise than its siblings, decibels. */
const plainlyAboveDb = 3;
/** Sources below this level are amplified so far that the strip's own noise dominates, dBu. */
const highGainDbu = -30;

/**
 * The causes of a capture without a return, the likeliest first: the path is dead, or nothing was patched
 * into it.
 *
 * @param heard why it counts as one without
 * @param silence the noise in it, if any
 * @param loud the sound in it, where that is too loud to be noise
 * @example
 * const path = { unheard: { code: "digital-silence" } };
 * const causes = listUnheardCauses(path, path.unheard);
 * causes.map(({ cause, probability }) => [cause, probability]); // [["no-signal", 0.65], ["nothing-patched", 0.35]]
 */
export function listUnheardCauses(
  path: Pick<PathEvidence, "beside" | "inputDbu">,
  heard: Unheard,
  silence?: EmptyCaptureNoise,
  loud?: LoudSound,
): readonly Cause[] {
  const seen: Evidence = { code: "no-return", heard };
  if (isHeardBeside(path)) return listSilentSideCauses([{ code: "side-silent", heard }]);
  if (loud) return loudCauses(seen, loud);
  const { factor, evidence } = silenceOdds(silence, path.inputDbu);
  const odds = (factor * unpatchedShare) / (1 - unpatchedShare);
  const share = odds / (1 + odds);
  const named = (cause: CauseKind, probability: number, own: boolean, other: boolean): Cause => ({
    ...describeCause(cause),
    probability: Math.round(100 * probability) / 100,
    evidence: [seen, ...(own ? evidence : [])],
    ...(other ? { against: evidence } : {}),
  });
  const patch = named(nothingPatched, share, factor > 1, factor < 1);
  const dead = named(noSignal, 1 - share, factor < 1, factor > 1);
  return share > 0.5 ? [patch, dead] : [dead, patch];
}

const allCauses: readonly CauseKind[] = causeKinds;

/** A side that lost less than this counts as coming through, decibels. */
const throughDb = 20;

/**
 * Whether the other side of a stereo bus comes through.
 *
 * @example
 * const beside = (gain) => ({ heard: true, features: new Map([["gain", { deviation: gain }]]) });
 * isHeardBeside({ beside: beside(-3) }); // true
 * isHeardBeside({ beside: beside(-40) }); // false
 */
export function isHeardBeside({ beside }: Pick<PathEvidence, "beside">): boolean {
  return (
    beside?.heard === true &&
    (beside.features.get(getReadingId("gain"))?.deviation ?? 0) > -throughDb
  );
}

/**
 * The causes of one silent side of a stereo bus whose other side comes through, the likeliest first.
 *
 * @param found what shows it
 * @example
 * listSilentSideCauses([])[0].cause; // "send-or-pan-faulty"
 */
export function listSilentSideCauses(found: readonly EvidenceLine[]): readonly Cause[] {
  const evidence: readonly EvidenceLine[] = [...found, { code: "other-side-through" }];
  return shareOut(allCauses, ({ silentSideShare }) => silentSideShare, evidence);
}

/** Highest crest factors: a constant or a full-scale square wave has 0 dB, a sine 3.01 dB. */
const stuckCrestDb = 0.3;
const toneCrestDb = 3.5;
/** Programme does not have a larger share of samples at full scale. */
const drivenShare = 0.02;

/** Sound too loud to be noise: neither a dead path nor one without a source. */
function loudCauses(seen: Evidence, { levelDbfs, crestDb, clippedShare }: LoudSound) {
  const kind =
    crestDb < stuckCrestDb
      ? "stuck"
      : clippedShare > drivenShare
        ? "driven"
        : crestDb < toneCrestDb
          ? "tone"
          : "programme";
  const evidence: readonly Evidence[] = [
    seen,
    { code: "louder-than-noise", levelDbfs },
    { code: "loud-sound", sound: kind, clippedShare },
  ];
  // Of two equally likely causes, the one for which this is the most typical sound comes first.
  const isMostly = ({ loudShares = {} }: CauseKind) =>
    loudShares[kind] === Math.max(...Object.values(loudShares));
  const inOrder = allCauses.toSorted((a, b) => Number(isMostly(b)) - Number(isMostly(a)));
  return shareOut(inOrder, ({ loudShares }) => loudShares?.[kind], evidence);
}

/** The causes that have a share, the likeliest first. */
function shareOut(
  causes: readonly CauseKind[],
  shareOf: (cause: CauseKind) => number | undefined,
  evidence: readonly EvidenceLine[],
): readonly Cause[] {
  return causes
    .flatMap((cause) => {
      const probability = shareOf(cause);
      return probability === undefined ? [] : [{ cause, probability }];
    })
    .sort((a, b) => b.probability - a.probability)
    .map(({ cause, probability }) => ({ ...describeCause(cause), probability, evidence }));
}

/**
 * Odds that the stage is alive, from the noise of a silent recording. What its siblings add to the
 * noise of the quietest family comes from their stages, not from the bus or the interface, so a
 * live stage adds it too. Without another family, a stage of high gain is known to add most of it.
 */
function silenceOdds(
  silence: EmptyCaptureNoise | undefined,
  inputDbu: number | undefined,
): { factor: number; evidence: readonly Evidence[] } {
  if (!silence) return { factor: 1, evidence: [] };
  const { aboveSiblingsDb, siblingsAboveQuietestDb } = silence;
  const alive: readonly Evidence[] = [{ code: "noise-as-siblings" }];
  const dead: readonly Evidence[] = [{ code: "noise-below-siblings", byDb: -aboveSiblingsDb }];
  if (aboveSiblingsDb < -plainlyBelowDb) return { factor: 1 / telling, evidence: dead };
  if (aboveSiblingsDb > plainlyAboveDb) {
    return {
      factor: telling,
      evidence: [{ code: "noise-above-siblings", byDb: aboveSiblingsDb }],
    };
  }
  if (siblingsAboveQuietestDb === undefined) {
    const amplified = inputDbu !== undefined && inputDbu < highGainDbu;
    const alike = aboveSiblingsDb > -plainlyBelowDb / 2;
    return amplified && alike ? { factor: hinting, evidence: alive } : { factor: 1, evidence: [] };
  }
  if (siblingsAboveQuietestDb < leastAddedDb) return { factor: 1, evidence: [] };
  return aboveSiblingsDb > -siblingsAboveQuietestDb / 2
    ? { factor: telling, evidence: alive }
    : { factor: 1 / telling, evidence: dead };
}
