import type { ReturnAudio } from "../../src/measure/return-audio.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import type { Profile } from "../../src/signal/types.js";

/**
 * A return of which only the silence is filled: what is not asked for need not be rendered.
 *
 * @param sample value at a time in seconds of the silence, full scale ±1
 */
export function quietReturn(
  sample: (seconds: number) => number,
  { profile = "standard", sampleRate = 48_000, mainsHz = 50 }: QuietOptions = {},
): ReturnAudio {
  const table = buildSignalTable(profile, "base");
  const silence = table.segments.find((s) => s.kind === "silence");
  if (!silence) throw new RangeError("a profile without silence");
  const samples = new Float64Array(Math.ceil((silence.startS + silence.lengthS) * sampleRate) + 1);
  const first = Math.round(silence.startS * sampleRate);
  for (let n = first; n < samples.length; n++) samples[n] = sample((n - first) / sampleRate);
  return { samples, origin: 0, clock: sampleRate, sampleRate, table, mainsHz };
}

export interface QuietOptions {
  readonly profile?: Profile;
  readonly sampleRate?: number;
  readonly mainsHz?: number;
}
