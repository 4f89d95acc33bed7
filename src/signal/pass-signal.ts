import type { PassForm } from "../desk/passes.js";
import { DeskroundError } from "../errors.js";
import { mostOutputs } from "./outputs.js";
import { round } from "./profiles/table-builder.js";
import { buildSignalTable } from "./signal-table.js";
import type { Profile, SignalBand, SignalTable } from "./types.js";

export type { PassForm };

/** The signal for several outputs, played from one multichannel file. */
export interface PassSignal {
  readonly form: PassForm;
  /** One per channel of the file, in order; undefined for a channel that stays silent. */
  readonly outputs: readonly (PassTurn | undefined)[];
  /** Seconds. */
  readonly lengthS: number;
}

/** The turn of one output. */
export interface PassTurn {
  /** From 1. */
  readonly output: number;
  readonly table: SignalTable;
  /** When its signal begins, seconds from the file's first sample. */
  readonly startS: number;
}

/** Pause between two turns, in which ringing and thumps of the desk die away (common practice). */
export const settleS = 1;

/**
 * Every third output plays at once in the simultaneous form: in its three turns each channel is silent
 * while its neighbour on one side plays, then while the one on the other side does.
 */
export const channelsApart = 3;

/**
 * Outputs that play at once begin this far apart, so that on a single channel, e.g. of a recording
 * mixed to mono, they can still be recognised as several.
 */
const staggerS = 0.00625;

/**
 * When an output's signal begins, seconds from when that of the first of all outputs would. It does
 * not depend on which of them play, so a recording alone shows whose turn was silent.
 *
 * @param output from 1
 * @param lengthS of one output's signal
 * @example
 * computeTurnStartS("turns", 1, 6); // 0
 * computeTurnStartS("turns", 2, 6) >= 6; // true
 */
export function computeTurnStartS(form: PassForm, output: number, lengthS: number): number {
  const k = output - 1;
  const turns = { turns: mostOutputs, together: channelsApart, "at-once": 1 }[form];
  const turn = k % turns;
  const beside = Math.floor(k / turns);
  return round(turn * (lengthS + settleS) + beside * staggerS);
}

/**
 * The signal of a pass.
 *
 * @param used for each channel of the file, whether that output plays
 * @throws DeskroundError `usage` for no output, more outputs than markers can distinguish, or a controls pass
 * @example
 * buildPassSignal("quick", "base", [true, true], "turns").outputs.length; // 2
 */
export function buildPassSignal(
  profile: Profile,
  band: SignalBand,
  used: readonly boolean[],
  form: PassForm,
): PassSignal {
  if (profile === "controls") {
    throw new DeskroundError(
      "usage",
      "A controls pass is played by one output: a hand moves the controls of one strip at a time.",
      "Leave --outputs out.",
    );
  }
  if (used.length > mostOutputs || !used.includes(true)) {
    throw new DeskroundError(
      "usage",
      `A pass of ${used.length} outputs cannot be written: their markers tell 1 to ${mostOutputs} outputs apart.`,
      `Use up to ${mostOutputs} of them in a pass.`,
    );
  }
  const { lengthS } = buildSignalTable(profile, band);
  const starts = used.map((_, k) => computeTurnStartS(form, k + 1, lengthS));
  const firstS = Math.min(...starts.filter((_, k) => used[k]));
  const outputs = used.map((isUsed, k): PassTurn | undefined => {
    if (!isUsed) return undefined;
    const output = k + 1;
    const table = buildSignalTable(profile, band, undefined, undefined, output);
    return { output, table, startS: round(starts[k] - firstS) };
  });
  const ends = outputs.map((turn) => (turn ? turn.startS + turn.table.lengthS : 0));
  return { form, outputs, lengthS: round(Math.max(...ends)) };
}
