import type { PassForm, PassPlan, PlannedPass, PlannedPlay } from "../../desk/passes.js";
import { computeTurnStartS } from "../../signal/pass-signal.js";
import type { SignalReturn } from "../types.js";

/** A recording of passes. */
export interface PassFile {
  readonly file: string;
  readonly sampleRate: number;
  readonly channels: number;
  readonly frames: number;
  /** Channels of digital silence. */
  readonly emptyChannels: readonly number[];
  /** Channels identical to an earlier one, with that one; not those of digital silence. */
  readonly copiedChannels?: ReadonlyMap<number, number>;
}

/** Seconds; for clock differences and the player's timing. */
export const slackS = 0.25;

/** Returns that were played from one patch. */
export interface HeardPass {
  readonly file: string;
  readonly returns: SignalReturn[];
  /** Sample frame at which the pass begins, for each form that it may have. */
  starts: ReadonlyMap<PassForm, number>;
}

/** A recorded pass, and its counterpart in the plan. */
export interface NumberedPass {
  readonly pass: HeardPass;
  /** Undefined if the plan does not have it. */
  readonly planned?: PlannedPass;
  /** Passes of the plan that were skipped because they play none of the outputs heard. */
  readonly skipped: readonly PlannedPass[];
  /** Set if its channels show that it is not the next of the plan but another. */
  readonly isMoved?: true;
}

/**
 * The passes in recordings, in the order of the files, matched to the plan. Leakage into the
 * channel of another path does not count as a return.
 *
 * @param turnS length of one output's signal, seconds
 * @example
 * hearPasses([], [], { passes: [], left: [] }, () => 5); // []
 */
export function hearPasses(
  returns: readonly SignalReturn[],
  files: readonly PassFile[],
  { passes: planned }: PassPlan,
  turnS: (one: SignalReturn) => number,
): readonly NumberedPass[] {
  const passes = files.flatMap((file) => splitPasses(returns, file, turnS, planned));
  return numberPasses(passes, planned, files).map((one) =>
    one.planned !== undefined && isMultichannel(one.planned)
      ? { ...one, pass: withoutTraces(one.pass) }
      : one,
  );
}

const forms: readonly PassForm[] = ["turns", "together", "at-once"];

/** The passes in a file: a new one begins when an output repeats, or plays outside its turn. */
function splitPasses(
  returns: readonly SignalReturn[],
  { file, sampleRate }: PassFile,
  turnS: (one: SignalReturn) => number,
  planned: readonly PlannedPass[],
): readonly HeardPass[] {
  const own = returns
    .filter((one) => one.file === file)
    .sort((a, b) => a.startSample - b.startSample);
  const passes: HeardPass[] = [];
  for (const one of own) {
    const output = one.output ?? 1;
    const starts = new Map(
      forms.map((form) => [
        form,
        one.startSample - computeTurnStartS(form, output, turnS(one)) * sampleRate,
      ]),
    );
    const last = passes.at(-1);
    const fits = last === undefined ? [] : formsOf(last, starts, sampleRate);
    const isNew = !last?.returns.some((r) => r.output === output && r.channel === one.channel);
    if (last !== undefined && fits.length > 0 && isNew && isOneBank(last, output, planned)) {
      last.returns.push(one);
      last.starts = new Map(fits.map((form) => [form, last.starts.get(form) ?? 0]));
    } else passes.push({ file, returns: [one], starts });
  }
  return passes;
}

/**
 * Whether an output can be in one pass with those before it; an output that no pass plays can be in
 * any.
 */
function isOneBank(
  { returns }: HeardPass,
  output: number,
  planned: readonly PlannedPass[],
): boolean {
  const own = planned.filter(({ outputs }) => outputs.includes(output));
  if (own.length === 0) return true;
  return own.some(({ outputs }) => returns.every((one) => outputs.includes(one.output ?? 1)));
}

/** The forms in which a return may belong to a pass. */
function formsOf(
  pass: HeardPass,
  starts: ReadonlyMap<PassForm, number>,
  sampleRate: number,
): readonly PassForm[] {
  return [...pass.starts].flatMap(([form, at]) =>
    Math.abs((starts.get(form) ?? Number.NaN) - at) < slackS * sampleRate ? [form] : [],
  );
}

/**
 * Numbers passes by file name, `pass 3.wav`, or else in order, skipping those that play none of the
 * outputs heard; after the last the plan starts again, as takes. If the channels are those of
 * another pass and not of the next, it is that one.
 */
function numberPasses(
  passes: readonly HeardPass[],
  planned: readonly PlannedPass[],
  files: readonly PassFile[],
): readonly NumberedPass[] {
  const times = passes.length / planned.length;
  const isAgain = Number.isInteger(times) && times > 1;
  let next = 0;
  return passes.map((pass): NumberedPass => {
    const number = readPassNumber(pass.file);
    if (number !== undefined && passes.find(({ file }) => file === pass.file) === pass) {
      const at = planned.findIndex((one) => one.number === number);
      if (at < 0) return { pass, skipped: [] };
      next = at + 1;
      return { pass, planned: planned[at], skipped: [] };
    }
    const from = next;
    const at = findFitting(pass, planned, next, isAgain);
    const likely = planned[isAgain ? at % planned.length : at] as PlannedPass | undefined;
    const channels = files.find(({ file }) => file === pass.file)?.channels ?? 0;
    const other = findByChannels(pass, likely, planned, channels);
    if (other !== undefined) {
      next = planned.indexOf(other) + 1;
      return { pass, planned: other, skipped: [], isMoved: true };
    }
    next = at + 1;
    const skipped = planned.slice(from, at);
    return { pass, ...(likely === undefined ? {} : { planned: likely }), skipped };
  });
}

/**
 * The pass number in a file name such as `pass 3.wav`.
 *
 * @example
 * readPassNumber("evening/pass 3.wav"); // 3
 * readPassNumber("compass 3.wav"); // undefined
 */
export function readPassNumber(file: string): number | undefined {
  const named = /(?:^|[^\p{L}])pass[ _-]*(\d{1,3})(?!\d)/iu.exec(file.replace(/^.*[/\\]/s, ""));
  return named === null ? undefined : Number(named[1]);
}

/** The next pass of the plan that plays all outputs heard; simply the next one if none does. */
function findFitting(
  { returns }: HeardPass,
  planned: readonly PlannedPass[],
  next: number,
  isAgain: boolean,
): number {
  const until = isAgain ? next + planned.length : planned.length;
  for (let at = next; at < until; at++) {
    const { outputs } = planned[at % planned.length];
    if (returns.every(({ output = 1 }) => outputs.includes(output))) return at;
  }
  return next;
}

/**
 * Whether two channels hold the same: one, or one recorded twice.
 *
 * @example
 * const file = { file: "a.wav", sampleRate: 48_000, channels: 3, frames: 1, emptyChannels: [] };
 * isSameChannel({ ...file, copiedChannels: new Map([[2, 1]]) }, 1, 2); // true
 * isSameChannel(file, 1, 2); // false
 */
export function isSameChannel({ copiedChannels }: PassFile, one: number, other: number): boolean {
  const first = (channel: number) => copiedChannels?.get(channel) ?? channel;
  return first(one) === first(other);
}

/** Fewer returns do not make a pattern. */
const leastPattern = 2;

/**
 * The only pass of the plan whose outputs come back on the channels heard, if those of the likely
 * pass mostly do not.
 */
function findByChannels(
  pass: HeardPass,
  likely: PlannedPass | undefined,
  planned: readonly PlannedPass[],
  channels: number,
): PlannedPass | undefined {
  if (!planned.some(isMultichannel)) return undefined;
  const { returns } = withoutTraces(pass);
  const misses = likely === undefined ? returns.length : countMisses(returns, likely);
  if (returns.length < leastPattern || 2 * misses <= returns.length) return undefined;
  // With fewer channels than planned, a dropped channel can cause such a shift.
  if (channels <= findHighestChannel(planned)) return undefined;
  // Two on each other's channels were swapped.
  const places = new Set(likely?.plays.map(({ channel }) => channel));
  if (returns.length === 2 && returns.every(({ channel }) => places.has(channel))) return undefined;
  const fits = planned.filter((one) => countMisses(returns, one) === 0);
  return fits.length === 1 ? fits[0] : undefined;
}

/**
 * The highest recording channel that passes come back on, from 0.
 *
 * @example
 * findHighestChannel([]); // 0
 */
export function findHighestChannel(passes: readonly PlannedPass[]): number {
  return Math.max(0, ...passes.flatMap(({ plays }) => plays.map(({ channel = 0 }) => channel)));
}

/**
 * How many returns of a pass came back where a plan's pass has nothing of their output.
 *
 * @example
 * countMisses([], { number: 1, use: "hand", form: "turns", outputs: [], plays: [] }); // 0
 */
export function countMisses(returns: readonly SignalReturn[], { plays }: PlannedPass): number {
  const isAt = (play: PlannedPlay, { output, channel }: SignalReturn) =>
    play.output === output && (play.channel === undefined || play.channel === channel);
  return returns.filter((one) => !plays.some((play) => isAt(play, one))).length;
}

/** Amplitude ratio. A return this far below another on its channel is leakage. */
const traceShare = 0.01;

/** Removes leakage into other channels if each path has its own channel. */
function withoutTraces(pass: HeardPass): HeardPass {
  const returns = pass.returns.filter(
    ({ channel, output, gain }) =>
      !pass.returns.some(
        (other) =>
          other.channel === channel && other.output !== output && gain < traceShare * other.gain,
      ),
  );
  return { ...pass, returns };
}

/**
 * Whether the paths of a pass come back on several channels.
 *
 * @example
 * isMultichannel({ number: 1, use: "hand", form: "turns", outputs: [], plays: [] }); // false
 */
export function isMultichannel({ plays }: PlannedPass): boolean {
  return new Set(plays.map(({ channel }) => channel)).size > 1;
}
