import type { Doubt } from "../../doubt.js";
import type { RecordingInfo, SignalReturn } from "../types.js";
import type { LoneMarker } from "./incomplete-returns.js";

/** A return this far below what its channel gives elsewhere, as an amplitude ratio, is a trace. */
const traceShare = 0.03;
/** The same against the middle of all outputs, where its channel gave nothing else. */
const weakShare = 0.003;
/** A marker this like ours is no crosstalk in a channel that has a signal of its own. */
const crowdedLikeness = 0.3;
/** Where another output's marker lies that plays at once: at the beginning or the end, seconds. */
const besideS = 0.7;

function isBeside(atS: number, lengthS: number): boolean {
  return atS < besideS || atS > lengthS - besideS;
}

/** What is further below the loudest channel of its output is no leg of a splitter. */
const legShare = 0.01;
/** Outputs on one channel are mixed where the weaker is within this of the stronger. */
const mixedShare = 0.05;

/**
 * Takes out what cannot be told apart: returns of different outputs that lie over each other on one
 * channel, as where outputs that play at once were recorded as one.
 *
 * @param lone markers without a partner
 * @returns the other returns, and the channels on which some were mixed
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
  // What is far below the loudest is crosstalk of one or of several, in a channel that was silent.
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
  // Of many that lie over each other the start of one goes with the end of another: it answers no
  // output, and where all of a turn are so, no other return of that turn was found.
  const isCrossed = (one: SignalReturn) =>
    one.slipSamples !== undefined &&
    mixed.some(
      ({ channel, startSample, lengthSamples }) =>
        channel === one.channel &&
        (one.output === undefined || Math.abs(startSample - one.startSample) < lengthSamples / 2),
    );
  // The weaker of two is mixed too, however weak: it is what is left of another's.
  return {
    returns: returns.filter((one) => !mixed.includes(one) && !isCrossed(one)),
    mixed: [...new Set(mixed.map(({ channel }) => channel))],
  };
}

/**
 * Returns of a pass whose paths come back on channels of their own: of each output the channel that
 * holds it, whichever that is. What other channels hold of it is crosstalk; they are named where they
 * hold nothing else.
 *
 * @param groups returns that were heard at once
 * @returns in the order of time, at one time by channel
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

/** Channels that hold this return's crosstalk and nobody else's. */
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
 * That outputs which played at once were recorded as one.
 *
 * @example
 * mixedDoubt({ file: "a.wav", channels: 2 }, [1]).code; // "outputs-mixed"
 */
export function mixedDoubt({ file, channels }: RecordingInfo, mixed: readonly number[]): Doubt {
  return { code: "outputs-mixed", file, channels: mixed, of: channels };
}
