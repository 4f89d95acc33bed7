import { dbToAmplitude, powerToDb } from "../dsp/decibels.js";
import type { JudgedSum } from "../rank/sums.js";

/** Result of a play with some strips of the group open. */
export interface HalvingPlay {
  readonly open: readonly string[];
  /** Level, decibels; for clicks 10·lg of the rate. */
  readonly levelDb: number;
}

/** A search for the strip in a group that has too much of something. */
export interface Halving {
  readonly group: readonly string[];
  /** As powers, or as amplitudes of unknown phase, like hum. */
  readonly adds: "power" | "phase";
  /** Level with all strips open. */
  readonly allDb: number;
  /** Level expected if all were healthy. */
  readonly expectedDb: number;
}

export type HalvingStep =
  /** Open these, mute the others of the group and play again. */
  | { readonly do: "play"; readonly open: readonly string[]; readonly most: number }
  /** It is this strip: its own play shows it. */
  | { readonly do: "found"; readonly strip: string }
  /** No single strip explains the plays. */
  | { readonly do: "unclear"; readonly why: "none" | "several" };

/** The state of the search. */
export interface HalvingResult {
  /** Id of the round in which the group's sum was too high. */
  readonly round: string;
  readonly sum: JudgedSum;
  /** Number on the sheet of the pass in which they play together; absent if it is not planned. */
  readonly pass?: number;
  /** Number of sums of the round that are too high. */
  readonly of: number;
  readonly plays: readonly HalvingPlay[];
  readonly step: HalvingStep;
}

/** Nats; strips that explain the plays this much worse than another are excluded: one in twenty. */
const outNats = 3;

/** Decibels r.m.s.; plays fit a strip if predicted and measured levels are this close. */
const fitsDb = 1.5;
/** Decibels; strips that fit equally well within this cannot be distinguished yet. */
const alikeDb = 0.3;
/** Trial values for the share of the bus in the sum of healthy strips. */
const busShares = Array.from({ length: 21 }, (_, k) => k / 20);

/**
 * Chooses the next play so that the strip is found with the fewest plays: each halves the suspects.
 * A bus of power B and n strips of power e give B + n·e, and a faulty one X more. B + n·e and X are
 * known from the whole group; the bus's share of the first is fitted. For each strip, the levels it
 * predicts for the plays so far are compared with those measured. Readings that add by phase are
 * weighed by likelihood instead: healthy strips add up to anything between zero and all in phase.
 *
 * At most ⌈log₂ n⌉ halvings and one play of the strip alone.
 *
 * @param plays so far, in any order
 */
export function planHalving(halving: Halving, plays: readonly HalvingPlay[]): HalvingStep {
  const { group } = halving;
  const found =
    halving.adds === "phase" ? weighPhases(halving, plays) : weighPowers(halving, plays);
  if ("why" in found) return { do: "unclear", why: found.why };
  const { suspects } = found;
  const [first] = suspects;
  if (suspects.length === 1) {
    const isSeen = plays.some(({ open }) => open.length === 1 && open[0] === first);
    if (isSeen || group.length === 1) return { do: "found", strip: first };
    return { do: "play", open: [first], most: 1 };
  }
  const half = Math.ceil(suspects.length / 2);
  const halves = [
    suspects.slice(0, half),
    // After an undecided play, split the suspects differently.
    suspects.filter((_, k) => k % 2 === 0),
    suspects.slice(half),
    ...suspects.map((strip) => [strip]),
  ];
  const open = halves.find((own) => !plays.some((play) => play.open.join() === own.join()));
  if (open === undefined) return { do: "unclear", why: "several" };
  return { do: "play", open, most: countMostPlays(suspects.length) };
}

/** Suspects, or why no strip is one. */
type Weighed =
  | { readonly suspects: readonly string[] }
  | { readonly why: Extract<HalvingStep, { do: "unclear" }>["why"] };

function weighPowers(halving: Halving, plays: readonly HalvingPlay[]): Weighed {
  const { group } = halving;
  const offs = new Map(group.map((strip) => [strip, misfit(halving, plays, strip)]));
  const least = Math.min(...offs.values());
  if (least > fitsDb) {
    return { why: misfit(halving, plays, undefined) < fitsDb ? "none" : "several" };
  }
  return { suspects: group.filter((strip) => (offs.get(strip) ?? least) - least < alikeDb) };
}

function weighPhases(halving: Halving, plays: readonly HalvingPlay[]): Weighed {
  const { group } = halving;
  const nats = new Map(group.map((strip) => [strip, weighStrip(halving, plays, strip)]));
  const most = Math.max(...nats.values());
  const suspects = group.filter((strip) => (nats.get(strip) ?? most) > most - outNats);
  if (plays.length === 0) return { suspects };
  const none = weighStrip(halving, plays, undefined);
  if (none > most + outNats) return { why: "none" };
  const isSeen = suspects.length === 1 && plays.some(({ open }) => open.join() === suspects[0]);
  // If still undecided after this many plays, more will not help.
  if (!isSeen && plays.length >= countMostPlays(group.length)) {
    return { why: none > most - outNats ? "none" : "several" };
  }
  if (isSeen && plays.some((play) => isLoudWithout(halving, play, suspects[0]))) {
    return { why: "several" };
  }
  return isSeen && none > most ? { why: "none" } : { suspects };
}

/**
 * Whether a play is too loud for healthy strips, although this one was not among them: one strip does
 * not explain it then. The resultant of healthy strips exceeds r with probability exp(−r²/σ²).
 */
function isLoudWithout(
  { expectedDb }: Halving,
  { open, levelDb }: HalvingPlay,
  strip: string,
): boolean {
  // All healthy strips and the bus, at the highest trial level: fewer give less.
  const sound = (Math.max(...soundScales) * dbToAmplitude(expectedDb)) ** 2;
  return !open.includes(strip) && dbToAmplitude(levelDb) ** 2 / sound > Math.log(1 / byChance);
}

/** One play in a thousand, as a convention. */
const byChance = 0.001;

/** Trial levels of healthy strips, relative to the expected level, which is itself a guess. */
const soundScales = [0.5, 0.71, 1, 1.41, 2];
/** Standard deviation of the natural logarithm of that scale. */
const soundScatter = 0.5;
/** Finer steps of the bus's share do not matter beside unknown phases. */
const fewBusShares = [0, 0.2, 0.4, 0.6, 0.8, 1];
/**
 * Trial amplitudes of the faulty strip, relative to the whole group: the others add to it or cancel
 * part of it.
 */
const faultyScales = Array.from({ length: 25 }, (_, k) => dbToAmplitude(k / 2 - 6));
/** Repeatability of a level, as a share of its amplitude. */
const repeats = 0.1;

/**
 * Log-likelihood of the plays if a strip, or none, were faulty, maximised over the fault, the share
 * of the bus and the level of healthy strips.
 *
 * Healthy strips add up to a resultant whose amplitude r has Rayleigh's density 2r/σ² ·
 * exp(−r²/σ²), σ² the sum of their powers (Phil. Mag. 10, 73, 1880). With a strong strip of
 * amplitude F beside them it is normal about F with variance σ²/2 (S. O. Rice, Bell Syst. Tech. J.
 * 24, 46, 1945, for large F).
 */
export function weighStrip(
  { group, allDb, expectedDb }: Halving,
  plays: readonly HalvingPlay[],
  faulty: string | undefined,
): number {
  const all = dbToAmplitude(allDb);
  const heard = [
    { open: group.length, has: faulty !== undefined, r: all },
    ...plays.map(({ open, levelDb }) => ({
      open: open.length,
      has: faulty !== undefined && open.includes(faulty),
      r: dbToAmplitude(levelDb),
    })),
  ];
  let best = Number.NEGATIVE_INFINITY;
  for (const scale of soundScales) {
    const sound = (scale * dbToAmplitude(expectedDb)) ** 2;
    for (const share of fewBusShares) {
      for (const times of faulty === undefined ? [1] : faultyScales) {
        let nats = -0.5 * (Math.log(scale) / soundScatter) ** 2;
        for (const { open, has, r } of heard) {
          const power = sound * (share + ((1 - share) * open) / group.length);
          if (has) {
            const strong = times * all;
            const variance = power / 2 + (repeats * strong) ** 2;
            nats -= (r - strong) ** 2 / (2 * variance) + 0.5 * Math.log(2 * Math.PI * variance);
          } else {
            nats += Math.log((2 * r) / power) - r ** 2 / power;
          }
        }
        best = Math.max(best, nats);
      }
    }
  }
  return best;
}

/**
 * Most further plays needed to find one of this many strips.
 *
 * @example
 * countMostPlays(8); // 4
 */
export function countMostPlays(strips: number): number {
  return Math.ceil(Math.log2(strips)) + 1;
}

/** Misfit of the plays if the strip, or none, were faulty, dB r.m.s. */
function misfit(
  { group, allDb, expectedDb }: Halving,
  plays: readonly HalvingPlay[],
  faulty: string | undefined,
): number {
  const sound = dbToAmplitude(expectedDb) ** 2;
  const excess = Math.max(0, dbToAmplitude(allDb) ** 2 - sound);
  let best = plays.length === 0 ? 0 : Number.POSITIVE_INFINITY;
  for (const share of busShares) {
    let sum = 0;
    for (const { open, levelDb } of plays) {
      const strips = (open.length / group.length) * (1 - share) * sound;
      const own = faulty !== undefined && open.includes(faulty) ? excess : 0;
      const given = share * sound + strips + own;
      sum += (powerToDb(Math.max(given, 1e-30)) - levelDb) ** 2;
    }
    if (plays.length > 0) best = Math.min(best, Math.sqrt(sum / plays.length));
  }
  return best;
}
