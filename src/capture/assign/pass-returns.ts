import type { PassPlan, PlannedPass, PlannedPlay } from "../../desk/passes.js";
import { listOpenTogether } from "../../desk/passes.js";
import type { Doubt } from "../../doubt.js";
import type { NothingBack, NotMeasured } from "../../not-measured.js";
import { computeTurnStartS } from "../../signal/pass-signal.js";
import type { Assignment, IncompleteReturn, SignalReturn } from "../types.js";
import {
  countMisses,
  findHighestChannel,
  type HeardPass,
  hearPasses,
  isMultichannel,
  isSameChannel,
  type NumberedPass,
  type PassFile,
  readPassNumber,
  slackS,
} from "./heard-passes.js";

/** Returns of passes with their paths. */
export interface PassAssignment {
  readonly assignments: readonly Assignment[];
  /** Paths whose output played while recording, but which returned nothing. */
  readonly silent: readonly { readonly path: string; readonly heard: NothingBack }[];
  /** Paths that could not be judged because of a fault in the patch or recording. */
  readonly spoilt: ReadonlyMap<string, NotMeasured>;
  /**
   * By path, all paths whose strips were open on its recording channel; only itself if it had its
   * own channel.
   */
  readonly open: ReadonlyMap<string, readonly string[]>;
  /** Numbers in the plan of the passes recorded, in that order. */
  readonly heard: readonly number[];
  readonly unassigned: readonly SignalReturn[];
  readonly doubts: readonly Doubt[];
}

/**
 * Assigns the returns of passes to paths: its markers give the output, time and file the pass, and
 * the plan the path. If the plan expects each path on its own channel and one comes back on
 * another's, the two were swapped at the outputs or at the recorder. It cannot be known which, so
 * neither is judged.
 *
 * @param returns that name an output, in the order in which the files were given
 * @param cuts incomplete returns of the same files
 * @param turnS length of one output's signal, seconds
 * @param named recording channels in the desk file, with or without a path of the plan
 * @example
 * const { assignments, heard } = assignPassReturns([], [], { form: "turns", passes: [] }, [], () => 5);
 * assignments; // []
 * heard; // []
 */
export function assignPassReturns(
  returns: readonly SignalReturn[],
  cuts: readonly IncompleteReturn[],
  plan: PassPlan,
  files: readonly PassFile[],
  turnS: (one: SignalReturn) => number,
  named = 0,
): PassAssignment {
  const doubts: Doubt[] = [];
  const numbered = hearPasses(returns, files, plan, turnS);
  const moved = numbered.flatMap(({ isMoved, pass, planned }) =>
    isMoved && planned ? [{ file: pass.file, pass: planned.number }] : [],
  );
  if (moved.length > 0) doubts.push({ code: "passes-out-of-order", passes: moved });
  const known = numbered.flatMap(({ pass, planned }) => (planned ? [{ pass, planned }] : []));
  const unassigned = numbered.flatMap(({ pass, planned }) => (planned ? [] : pass.returns));
  if (unassigned.length > 0) {
    const { length } = numbered.filter(({ planned }) => planned === undefined);
    doubts.push({ code: "more-passes", passes: length, planned: plan.passes.length });
  }
  const skipped = numbered.flatMap((one) => one.skipped);
  const channelsOf = new Map(files.map(({ file, channels }) => [file, channels]));
  const played = known.flatMap(({ pass, planned }) =>
    // A path on a channel that was not recorded may have played.
    planned.plays.filter(({ channel = 0 }) => channel < (channelsOf.get(pass.file) ?? 0)),
  );
  const mute = listMuteOutputs(known, [...played, ...skipped.flatMap(({ plays }) => plays)]);
  const { passes } = plan;
  const audible = passes.filter(({ plays }) => plays.some(({ output }) => !mute.includes(output)));
  if (isFewer(numbered, audible) && !numbered.every((one) => isTold(one, passes))) {
    const taken = known.map(({ planned }) => planned.number);
    doubts.push({ code: "fewer-passes", passes: numbered.length, planned: passes.length, taken });
  }
  if (mute.length > 1) doubts.push({ code: "outputs-not-heard", outputs: mute });
  const assignments: Assignment[] = [];
  const silent = new Map<string, NothingBack>();
  const spoilt = new Map<string, NotMeasured>();
  const open = new Map<string, readonly string[]>();
  const highest = findHighestChannel(plan.passes);
  const placed = known.flatMap(({ pass, planned }) => {
    const info = files.find(({ file }) => file === pass.file);
    if (info === undefined) return [];
    return [{ pass, planned, info, onOne: isOnOneChannel(pass, planned, info) }];
  });
  const isApart = placed.some(({ onOne }) => !onOne);
  for (const { pass, planned, info, onOne } of placed) {
    if (onOne && isMultichannel(planned)) {
      const { file } = pass;
      const told = { code: "pass-on-one-channel", file, pass: planned.number } as const;
      doubts.push(isApart ? { ...told, isLeftOut: true } : told);
      if (isApart) {
        const why = { code: "mixed-down", pass: planned.number } as const;
        for (const { path } of planned.plays) spoilt.set(path, why);
        continue;
      }
    }
    if (!onOne) doubts.push(...listCopies(planned, info));
    const last = Math.max(highest, named - 1);
    const places = onOne ? undefined : comparePlaces(pass, planned, info, last);
    if (places?.doubt !== undefined) doubts.push(places.doubt);
    const together = onOne ? allOpen(planned) : listOpenTogether(planned);
    for (const [path, own] of together) open.set(path, own);
    const answers = onOne ? pass.returns : withLegs(pass.returns, planned);
    for (const one of answers) {
      const play = findPlay(planned, one, onOne);
      if (play === undefined) {
        unassigned.push(one);
        doubts.push({ code: "output-not-planned", output: one.output ?? 0, pass: planned.number });
        continue;
      }
      const wrong = places?.wrong.get(play.path);
      if (wrong !== undefined) spoilt.set(play.path, wrong);
      else assignments.push({ path: play.path, return: one, by: "output" });
    }
    for (const play of planned.plays) {
      if (answers.some((one) => findPlay(planned, one, onOne) === play)) continue;
      const onMix = { ...play, channel: 0 };
      const lengthS = turnS(pass.returns[0]);
      const turn = { play: onOne ? onMix : play, pass, planned, cuts, lengthS };
      const why =
        places?.dropped !== undefined && play.channel === places.dropped
          ? ({ code: "channel-dropped", channel: play.channel } as const)
          : explainMissing(turn, info, mute, onOne ? 0 : highest);
      if (why.code === "nothing-back") silent.set(play.path, why.heard);
      else spoilt.set(play.path, why);
    }
  }
  // A pass with all outputs silent leaves no return at all.
  for (const { plays } of plan.passes) {
    if (!plays.every(({ output }) => mute.includes(output))) continue;
    for (const { path, output } of plays) spoilt.set(path, { code: "output-mute", output });
  }
  const heardPaths = new Set(assignments.map(({ path }) => path));
  return {
    assignments,
    silent: [...silent]
      .filter(([path]) => !heardPaths.has(path) && !spoilt.has(path))
      .map(([path, heard]) => ({ path, heard })),
    spoilt: new Map([...spoilt].filter(([path]) => !heardPaths.has(path))),
    open,
    heard: known.map(({ planned }) => planned.number),
    unassigned,
    doubts,
  };
}

/** Whether its outputs and channels fit only one pass of the plan. */
function isTold({ pass: { returns } }: NumberedPass, passes: readonly PlannedPass[]): boolean {
  const fitting = passes.filter((one) => countMisses(returns, one) === 0);
  return fitting.length === 1;
}

/** Channels of a pass that are copies of each other. */
function listCopies({ plays }: PlannedPass, { file, copiedChannels }: PassFile): readonly Doubt[] {
  const used = new Set(plays.map(({ channel }) => channel));
  return [...(copiedChannels ?? [])].flatMap(([channel, of]): Doubt[] =>
    used.has(channel) ? [{ code: "channel-copied", file, channel, of }] : [],
  );
}

/** Whether passes are missing and it is not certain that they are those at the end of the plan. */
function isFewer(numbered: readonly NumberedPass[], passes: readonly PlannedPass[]): boolean {
  const last = passes.at(-1);
  return (
    numbered.length < passes.length &&
    !numbered.some(({ planned }) => planned === last) &&
    numbered.some(({ pass: { file } }) => readPassNumber(file) === undefined)
  );
}

/**
 * Outputs that had turns but were never heard although others were: the fault is not in a strip.
 */
function listMuteOutputs(
  known: readonly { readonly pass: HeardPass; readonly planned: PlannedPass }[],
  played: readonly PlannedPlay[],
): readonly number[] {
  const turns = new Map<number, number>();
  const heard = new Set<number>();
  for (const { output } of played) turns.set(output, (turns.get(output) ?? 0) + 1);
  for (const { pass } of known) {
    for (const { output } of pass.returns) heard.add(output ?? 0);
  }
  const mute = [...turns.keys()].filter((output) => !heard.has(output)).sort((a, b) => a - b);
  const last = Math.max(0, ...heard);
  // All from a certain output on: the player has no more channels. A single one with many turns:
  // the output itself is dead.
  const beyond = mute.filter((output) => output > last);
  const often = mute.filter((output) => (turns.get(output) ?? 0) > 1);
  return mute.filter(
    (output) => (beyond.length > 1 && beyond.includes(output)) || often.includes(output),
  );
}

/** Whether several channels were recorded as one, or the plan has only one. */
function isOnOneChannel(pass: HeardPass, planned: PlannedPass, { channels }: PassFile): boolean {
  if (!isMultichannel(planned)) return true;
  return (
    channels <= 2 &&
    new Set(pass.returns.map(({ channel }) => channel)).size === 1 &&
    pass.returns.length > 1
  );
}

function allOpen({ plays }: PlannedPass): ReadonlyMap<string, readonly string[]> {
  const all = plays.map(({ path }) => path);
  return new Map(all.map((path) => [path, all]));
}

/** The play that a return belongs to; if one output feeds several paths, the one of its channel. */
function findPlay(
  { plays }: PlannedPass,
  { output, channel }: SignalReturn,
  onOne: boolean,
): PlannedPlay | undefined {
  const own = plays.filter((play) => play.output === output);
  if (own.length < 2 || onOne) return own[0];
  return own.find((play) => play.channel === channel);
}

/** Channels on which paths came back, compared with the plan. */
interface ComparedPlaces {
  /** Paths that were not patched as planned, with the reason. */
  readonly wrong: ReadonlyMap<string, NotMeasured>;
  /** The channel missing in the recording; all later ones are one too low. */
  readonly dropped?: number;
  readonly doubt?: Doubt;
}

/** Adds the returns of other legs if the plan has one output feed several paths. */
function withLegs(
  returns: readonly SignalReturn[],
  { plays }: PlannedPass,
): readonly SignalReturn[] {
  return returns.flatMap(({ legs = [], ...one }) => {
    const fed = plays.filter(({ output }) => output === one.output);
    if (fed.length < 2) return [one];
    return [one, ...legs].flatMap((leg) => {
      // The other channels hold their own legs, not crosstalk.
      const { undriven: _, ...alone } = leg;
      return fed.some(({ channel }) => channel === leg.channel) ? [alone] : [];
    });
  });
}

/**
 * Compares the channels of the returns with the plan.
 *
 * @param highest channel of the whole desk: with fewer, the recorder dropped one
 */
function comparePlaces(
  pass: HeardPass,
  planned: PlannedPass,
  info: PassFile,
  highest: number,
): ComparedPlaces {
  const { file, channels } = info;
  const inOrder = [...pass.returns].sort((a, b) => (a.output ?? 0) - (b.output ?? 0));
  const moved = inOrder.flatMap((one) => {
    // Legs of a splitter have no order.
    if (planned.plays.filter(({ output }) => output === one.output).length > 1) return [];
    const play = findPlay(planned, one, false);
    if (play?.channel === undefined || isSameChannel(info, play.channel, one.channel)) return [];
    return [{ play, expected: play.channel, channel: one.channel }];
  });
  if (moved.length === 0) return { wrong: new Map() };
  const isShifted = moved.every(({ expected, channel }) => channel === expected - 1);
  if (isShifted && channels <= highest) {
    const first = Math.min(...moved.map(({ expected }) => expected));
    const dropped = first - 1;
    // The channels before it are correct; nothing is known about those in between.
    const inPlace = planned.plays.flatMap(({ channel }) =>
      channel !== undefined && channel < first ? [channel] : [],
    );
    const from = Math.max(-1, ...inPlace.filter((channel) => channel < dropped)) + 1;
    const isKnown = from === dropped || inPlace.includes(dropped);
    return {
      wrong: new Map(),
      dropped,
      doubt: {
        code: "channel-dropped",
        file,
        channel: dropped,
        ...(isKnown ? {} : { from }),
      },
    };
  }
  const wrong = new Map(
    moved.map(({ play: { path, output }, expected, channel }): [string, NotMeasured] => [
      path,
      { code: "other-channel", output, channel, expected, pass: planned.number },
    ]),
  );
  return {
    wrong,
    doubt: {
      code: "channels-exchanged",
      file,
      pass: planned.number,
      outputs: moved.map(({ play: { output }, expected, channel }) => ({
        output,
        expected,
        channel,
      })),
    },
  };
}

/** A turn without a whole return. */
interface SilentTurn {
  readonly play: PlannedPlay;
  readonly pass: HeardPass;
  readonly planned: PlannedPass;
  readonly cuts: readonly IncompleteReturn[];
  readonly lengthS: number;
}

/** Amplitude ratio; leakage between channels is far weaker (common practice, no source). */
const joinedShare = 0.5;

/**
 * Why a path of a pass has no return.
 *
 * @param highest channel that the plan uses, from 0
 */
function explainMissing(
  { play, pass, planned, cuts, lengthS }: SilentTurn,
  { file, sampleRate, channels, frames, emptyChannels, copiedChannels }: PassFile,
  mute: readonly number[],
  highest: number,
): NotMeasured {
  const { output, channel = 0 } = play;
  if (mute.includes(output)) return { code: "output-mute", output };
  if (channel >= channels) return { code: "channel-beyond", channel, channels };
  if (emptyChannels.includes(channel)) return { code: "channel-empty", channel };
  const copy = [...(copiedChannels ?? [])].find((pair) => pair.includes(channel));
  if (copy !== undefined && highest > 0) {
    return { code: "channel-copied", channel, of: copy[0] === channel ? copy[1] : copy[0] };
  }
  const other = pass.returns.find(({ gain, legs = [] }) =>
    legs.some((leg) => leg.channel === channel && leg.gain > joinedShare * gain),
  );
  if (other?.output !== undefined && highest > 0 && other.channel !== channel) {
    return { code: "channel-of-other", channel, output: other.output };
  }
  const form = pass.starts.has(planned.form) ? planned.form : [...pass.starts.keys()][0];
  const start =
    (pass.starts.get(form) ?? 0) + computeTurnStartS(form, output, lengthS) * sampleRate;
  if (start < 0 || start + lengthS * sampleRate > frames + slackS * sampleRate) {
    return { code: "turn-missing", output, pass: planned.number };
  }
  const isCut = cuts.some(
    (cut) => cut.file === file && Math.abs(cut.startSample - start) < sampleRate,
  );
  const atS = start / sampleRate;
  if (isCut) return { code: "turn-incomplete", atS };
  // Nothing shows which channel is missing: it may be this one.
  if (channels <= highest) return { code: "channel-missing", channels, planned: highest + 1 };
  return { code: "nothing-back", heard: { code: "silent-turn", output, atS } };
}
