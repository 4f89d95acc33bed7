import type { Doubt } from "../../doubt.js";
import type { RecordingInfo, SignalReturn } from "../types.js";
import { splitOutputReturns } from "./outputs.js";

/** Seconds; returns this close in time on several channels are one. */
const togetherS = 0.05;
/**
 * A channel this far below the loudest, as an amplitude ratio, was not driven: its signal is
 * crosstalk. A misadjusted pan leaves more, a neighbouring input far less (common practice, no
 * source).
 */
const drivenShare = 0.1;

/**
 * Merges returns recorded simultaneously on several channels of a capture. Two driven channels are
 * the sides of a stereo bus: the lower one is the return, the other its partner. With more than two
 * the loudest is kept. Channels that were not driven are listed: their signal is crosstalk.
 *
 * @param returns of all channels
 * @returns in order of time, with doubts
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const { returns } = findReturns(reader);
 * const both = returns.flatMap((one) => [one, { ...one, channel: 1 }]);
 * // Two channels that were driven at once are the sides of a stereo bus.
 * mergeChannelReturns(both, { ...reader.info, channels: 2 }).returns[0].partner.channel; // 1
 * reader.close();
 */
export function mergeChannelReturns(returns: readonly SignalReturn[], info: RecordingInfo) {
  const groups = simultaneous(returns, togetherS * info.sampleRate);
  const crowded = groups.some((group) => driven(group).length > 2);
  const doubts: readonly Doubt[] = crowded
    ? [{ code: "more-than-two-channels", file: info.file }]
    : [];
  return { returns: groups.map((group) => oneReturn(group, info.channels)), doubts };
}

/**
 * Returns of a capture in which each channel is the output of a different path. A signal in other
 * channels than the driven one is crosstalk. So is one far weaker than the channel's own return at
 * another time, if that is true for most simultaneous ones: it was the turn of a path that passed
 * nothing. For a return driven alone, the other channels are listed.
 *
 * @param returns of all channels
 * @returns in order of time, at one time in order of channels; with doubts, and the number of turns
 * with nothing but crosstalk
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const [one] = findReturns(reader).returns;
 * const leak = { ...one, channel: 1, gain: one.gain / 1000 };
 * // What is 60 dB weaker at the same time is crosstalk.
 * splitChannelReturns([one, leak], { ...reader.info, channels: 2 }).returns.length; // 1
 * reader.close();
 */
export function splitChannelReturns(returns: readonly SignalReturn[], info: RecordingInfo) {
  const loudest = new Map<number, number>();
  for (const { channel, gain } of returns) {
    loudest.set(channel, Math.max(gain, loudest.get(channel) ?? 0));
  }
  const all = Array.from({ length: info.channels }, (_, channel) => channel);
  const share = ({ channel, gain }: SignalReturn) => gain / (loudest.get(channel) ?? gain);
  const doubts: Doubt[] = [];
  let idleTurns = 0;
  const groups = simultaneous(returns, togetherS * info.sampleRate);
  const named = groups.filter((group) => group.some(({ output }) => output !== undefined));
  const ofPass = splitOutputReturns(named, info);
  const own = groups.flatMap((group) => {
    if (named.includes(group)) return ofPass.filter((one) => isOf(group, one));
    const loud = driven(group);
    const weak = group.filter((one) => share(one) <= drivenShare);
    const nobodys =
      loud.length === 1
        ? loud.every((one) => share(one) <= traceShare)
        : 2 * weak.length >= group.length;
    if (nobodys) {
      doubts.push(crosstalkDoubt(weak, info));
      const rest = group.filter((one) => !weak.includes(one));
      if (rest.length === 0) idleTurns++;
      return byChannel(rest);
    }
    if (loud.length === 1) {
      const undriven = all.filter((channel) => channel !== loud[0].channel);
      return undriven.length > 0 ? [{ ...loud[0], undriven }] : loud;
    }
    return byChannel(group.filter((one) => loud.includes(one) || !weak.includes(one)));
  });
  return { returns: own, doubts, idleTurns };
}

function isOf(group: readonly SignalReturn[], one: SignalReturn): boolean {
  return group.some(
    ({ channel, startSample }) => channel === one.channel && startSample === one.startSample,
  );
}

/**
 * Amplitude ratio. If a channel sounds alone, it is its turn unless it is this far below its level
 * at another time.
 */
const traceShare = 0.01;

function crosstalkDoubt(weak: readonly SignalReturn[], { file, sampleRate }: RecordingInfo): Doubt {
  const channels = byChannel(weak).map(({ channel }) => channel);
  const atS = weak[0].startSample / sampleRate;
  return { code: "taken-for-crosstalk", file, channels, atS };
}

function byChannel(returns: readonly SignalReturn[]): readonly SignalReturn[] {
  return [...returns].sort((a, b) => a.channel - b.channel);
}

function simultaneous(
  returns: readonly SignalReturn[],
  together: number,
): readonly SignalReturn[][] {
  const sorted = [...returns].sort((a, b) => a.startSample - b.startSample);
  const groups: SignalReturn[][] = [];
  for (const one of sorted) {
    const last = groups.at(-1);
    if (last && one.startSample - last[0].startSample <= together) last.push(one);
    else groups.push([one]);
  }
  return groups;
}

function oneReturn(group: readonly SignalReturn[], channels: number): SignalReturn {
  const loud = driven(group);
  const loudest = loud.reduce((a, b) => (b.gain > a.gain ? b : a));
  if (channels === 1 || loud.length > 2) return loudest;
  const undriven = Array.from({ length: channels }, (_, channel) => channel).filter(
    (channel) => !loud.some((one) => one.channel === channel),
  );
  const beside = undriven.length > 0 ? { undriven } : {};
  if (loud.length === 1) return { ...loudest, ...beside };
  const [left, right] = byChannel(loud);
  const slip = left.slipSamples ?? right.slipSamples;
  return {
    ...left,
    ...(slip === undefined ? {} : { slipSamples: slip }),
    partner: { channel: right.channel, gain: right.gain },
    ...beside,
  };
}

function driven(group: readonly SignalReturn[]): readonly SignalReturn[] {
  const most = Math.max(...group.map(({ gain }) => gain));
  return group.filter(({ gain }) => gain > drivenShare * most);
}
