import type { Limit } from "./types.js";

/** A limit that applies unless limits.yaml changes it. */
interface BuiltIn {
  readonly name: string;
  readonly text: string;
  /** Reason for the limit, and source of its value if not from the desk itself. */
  readonly why: string;
  /** Set if it applies only when a check names a baseline. */
  readonly needs?: "baseline";
}

/**
 * Relative ones compare a path with its siblings and need no calibration: they are wide enough for
 * controls set by hand, and narrow enough to fail common faults. The absolute ones are valid for
 * any desk and unit; limits in dBu are for the owner to set. Those relative to a baseline apply
 * only when a check names one, and exclude readings that move with the interface's controls.
 */
const builtIns: readonly BuiltIn[] = [
  {
    name: "gain-alike",
    text: "abs(gain - siblings(gain)) <= 2 dB",
    why: "a control is set by hand to within about 0.5 dB; an open leg costs about 6 dB (common practice)",
  },
  {
    name: "polarity-alike",
    text: "polarity == siblings(polarity)",
    why: "an inverted path cancels when it is mixed with its siblings",
  },
  {
    name: "response-alike",
    text: "abs(response(20 Hz, 20 kHz) - siblings(response(20 Hz, 20 kHz))) <= 1.5 dB",
    why: "identical circuits differ by tenths of a decibel; a dried-out capacitor or a low-cut by several",
  },
  {
    name: "thd-alike",
    text: "thd <= siblings(thd) + 10 dB",
    why: "three times the siblings' distortion; parts of one kind spread less",
  },
  {
    name: "thd100-alike",
    text: "thd100 <= siblings(thd100) + 10 dB",
    why: "an ageing electrolytic distorts low frequencies first",
  },
  {
    name: "thdHot-alike",
    text: "thdHot <= siblings(thdHot) + 10 dB",
    why: "a stage that has lost headroom distorts 12 dB above nominal first",
  },
  {
    name: "thdN-alike",
    text: "thdN <= siblings(thdN) + 6 dB",
    why: "catches noise and spurious tones that appear only with signal",
  },
  {
    name: "noise-alike",
    text: "noise <= siblings(noise) + 6 dB",
    why: "twice the siblings' noise; healthy siblings differ by 2 or 3 dB",
  },
  {
    name: "noiseA-alike",
    text: "noiseA <= siblings(noiseA) + 6 dB",
    why: "the same for hiss, which hum cannot hide",
  },
  {
    name: "hum-alike",
    text: "hum <= siblings(hum) + 15 dB",
    why: "hum differs with a strip's place beside transformer and cables, so its limit is wide",
  },
  {
    name: "overload",
    text: "thdHot <= 1 %",
    why: "overload is counted from 1 %, and a line path has more than 12 dB above nominal (common practice)",
  },
  {
    name: "band",
    text: "response(20 Hz, 20 kHz) >= -3 dB",
    why: "audio paths reach from 20 Hz to 20 kHz within 3 dB (common practice)",
  },
  {
    name: "response-kept",
    text: "abs(response(20 Hz, 20 kHz) - baseline(response(20 Hz, 20 kHz))) <= 1 dB",
    needs: "baseline",
    why: "a response does not depend on levels: a change means a part or a switch",
  },
  {
    name: "polarity-kept",
    text: "polarity == baseline(polarity)",
    needs: "baseline",
    why: "a change of polarity means different wiring or patching",
  },
  {
    name: "thd-kept",
    text: "thd <= baseline(thd) + 10 dB",
    needs: "baseline",
    why: "three times the distortion of the baseline",
  },
  {
    name: "thd100-kept",
    text: "thd100 <= baseline(thd100) + 10 dB",
    needs: "baseline",
    why: "an electrolytic that ages between two rounds shows here first",
  },
  {
    name: "noiseA-kept",
    text: "noiseA - gain <= baseline(noiseA) - baseline(gain) + 3 dB",
    needs: "baseline",
    why: "noise relative to the tone: turning the interface's input up raises both equally",
  },
];

/** The built-in limits; those that need a baseline only when there is one. */
export function listBuiltInLimits(baseline: "named" | "none"): readonly Limit[] {
  return builtIns
    .filter(({ needs }) => baseline === "named" || needs === undefined)
    .map(({ needs: _, ...limit }) => ({
      ...limit,
      from: "built-in",
      where: `built-in limit ${limit.name}`,
    }));
}

export const builtInNames: readonly string[] = builtIns.map(({ name }) => name);
