import type { Doubt } from "../../doubt.js";
import type { RecordingInfo, SignalReturn } from "../types.js";
import type { LoneMarker } from "./incomplete-returns.js";

/** Amplitude ratio. A return this far below others on its channel is crosstalk. */
const traceShare = 0.03;
/** The same relative to the median of all outputs, if its channel has no other return. */
const weakShare = 0.003;
/** A marker with this correlation is not crosstalk in a channel with its own signal. */
const crowdedLikeness = 0.3;
/**
 * Seconds; markers of simultaneous outputs are within this of each other, at the beginning or the
 * end.
 */
const besideS = 0.7;

function isBeside(atS: number, lengthS: number): boolean {
  return atS < besideS || atS > lengthS - besideS;
}

/**
 * Amplitude ratio; further below the loudest channel of its output it is not a leg of a splitter.
 */
const legShare = 0.01;
/**
 * Amplitude ratio; outputs on one channel are mixed if the weaker is at least this share of the
 * stronger.
 */
const mixedShare = 0.05;

/**
 * Removes returns that cannot be separated: different outputs overlapping on one channel, e.g. when
 * outputs that play at once were recorded on one channel.
 *
 * @param lone markers without a partner
 * @returns the remaining returns, and the channels on which some were mixed
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const { returns } = findReturns(reader);
 * // No marker of another output lies over it.
 * dropMixedReturns(returns, [], reader.info.sampleRate).mixed; // []
 * reader.close();
 */
export function dropMixedReturns(
  returns: readonly SignalReturn[],
  lone: readonly LoneMarker[],
  sampleRate: number,
): {
  readonly returns: readonly SignalReturn[];
  readonly mixed: readonly number[];
} {
  const isCrowded = ({ channel, startSample, lengthSamples }: SignalReturn) =>
    lone.some(({ channel: other, marker }) => {
      if (other !== channel || marker.likeness < crowdedLikeness) return false;
      const at = marker.at - startSample;
      return at > 0 && at < lengthSamples && isBeside(at / sampleRate, lengthSamples / sampleRate);
    });
  // Far below the loudest it is crosstalk from one or several, in a silent channel.
  const loudest = Math.max(0, ...returns.map(({ gain }) => gain));
  const isMixed = (one: SignalReturn) =>
    one.output !== undefined &&
    one.gain > traceShare * loudest &&
    (isCrowded(one) ||
      returns.some(
        (other) =>
          other !== one &&
          other.channel === one.channel &&
          other.output !== one.output &&
          Math.abs(other.startSample - one.startSample) < other.lengthSamples / 2 &&
          other.gain > mixedShare * one.gain,
      ));
  const mixed = returns.filter(isMixed);
  // When many overlap, the start of one may be paired with the end of another: it belongs to no
  // output, and if all of a turn are like that, it has no other return.
  const isCrossed = (one: SignalReturn) =>
    one.slipSamples !== undefined &&
    mixed.some(
      ({ channel, startSample, lengthSamples }) =>
        channel === one.channel &&
        (one.output === undefined || Math.abs(startSample - one.startSample) < lengthSamples / 2),
    );
  // The weaker of two is mixed too, however weak.
  return {
    returns: returns.filter((one) => !mixed.includes(one) && !isCrossed(one)),
    mixed: [...new Set(mixed.map(({ channel }) => channel))],
  };
}

/**
 * Returns of a pass whose paths come back on separate channels: for each output the channel that
 * carries it. Its signal in other channels is crosstalk; these are listed if they hold nothing
 * else.
 *
 * @param groups simultaneous returns
 *
 * @returns in order of time, then by channel
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const [one] = findReturns(reader).returns;
 * const group = [{ ...one, output: 1 }, { ...one, output: 1, channel: 1, gain: one.gain / 1000 }];
 * splitOutputReturns([group], { ...reader.info, channels: 2 }).map(({ channel }) => channel); // [0]
 * reader.close();
 */
export function splitOutputReturns(
  groups: readonly (readonly SignalReturn[])[],
  info: RecordingInfo,
): readonly SignalReturn[] {
  const own = groups.map((group) => {
    const loudest = new Map<number, SignalReturn>();
    for (const one of group) {
      const before = loudest.get(one.output ?? 0);
      if (before === undefined || one.gain > before.gain) loudest.set(one.output ?? 0, one);
    }
    return [...loudest.values()].map((one) => {
      const legs = group.filter(
        (other) => other !== one && other.output === one.output && other.gain > legShare * one.gain,
      );
      return legs.length === 0 ? one : { ...one, legs };
    });
  });
  const all = own.flat();
  const gains = all.map(({ gain }) => gain).sort((a, b) => a - b);
  const middle = gains[Math.floor(gains.length / 2)] ?? 0;
  const isTrace = ({ channel, output, gain }: SignalReturn) =>
    gain < weakShare * middle ||
    all.some(
      (other) =>
        other.channel === channel && other.output !== output && gain < traceShare * other.gain,
    );
  return own.flatMap((group) => {
    const kept = group.filter((one) => !isTrace(one));
    const driven = new Set(kept.map(({ channel }) => channel));
    return kept
      .map((one) => {
        const undriven = listUndriven(one.channel, driven, info.channels);
        return undriven.length > 0 ? { ...one, undriven } : one;
      })
      .sort((a, b) => a.channel - b.channel);
  });
}

/** Channels that hold crosstalk of this return only. */
function listUndriven(channel: number, driven: ReadonlySet<number>, channels: number): number[] {
  if (driven.size === 1) {
    return Array.from({ length: channels }, (_, k) => k).filter((k) => k !== channel);
  }
  return [channel - 1, channel + 1].filter((beside) => {
    const beyond = beside + (beside - channel);
    return beside >= 0 && beside < channels && !driven.has(beside) && !driven.has(beyond);
  });
}

/**
 * Doubt that outputs which played at once were recorded on one channel.
 *
 * @example
 * mixedDoubt({ file: "a.wav", channels: 2 }, [1]).code; // "outputs-mixed"
 */
export function mixedDoubt({ file, channels }: RecordingInfo, mixed: readonly number[]): Doubt {
  return { code: "outputs-mixed", file, channels: mixed, of: channels };
}
