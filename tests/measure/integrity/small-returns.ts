import type { ReturnAudio } from "../../../src/measure/return-audio.js";
import { gaussian } from "../../helpers/noise.js";

/** What plays from one second of a small return to another, at a time since it began. */
export interface Played {
  readonly kind: string;
  readonly name: string;
  readonly startS: number;
  readonly lengthS: number;
  readonly sound?: (seconds: number) => number;
}

export interface SmallReturn {
  readonly rate: number;
  /** Samples before the signal's first. */
  readonly origin?: number;
  /** Standard deviation of its noise. */
  readonly noise?: number;
  /** Samples put in at seconds of the signal, negative: left out. */
  readonly slips?: readonly { readonly atS: number; readonly samples: number }[];
  /** Samples per second by the markers, if not the rate. */
  readonly clock?: number;
}

/** A sine of a frequency that begins with its segment. */
export const sine =
  (hz: number, amplitude = 0.5) =>
  (seconds: number) =>
    amplitude * Math.sin(2 * Math.PI * hz * seconds);

/** A return of a few segments, each with the keys of its kind. */
export function smallReturn(segments: readonly Played[], options: SmallReturn): ReturnAudio {
  const { rate, origin = 0, noise = 0, slips = [], clock = rate } = options;
  const last = segments[segments.length - 1];
  const more = slips.reduce((sum, { samples }) => sum + Math.abs(samples), 0);
  const length = Math.ceil(origin + (last.startS + last.lengthS + 0.01) * rate) + more;
  const next = gaussian(5);
  const samples = Float64Array.from({ length }, (_, n) => {
    let seconds = (n - origin) / rate;
    for (const slip of slips) if (seconds >= slip.atS) seconds -= slip.samples / rate;
    const playing = segments.find(
      ({ startS, lengthS }) => seconds >= startS && seconds < startS + lengthS,
    );
    const sound = playing?.sound?.(seconds - playing.startS) ?? 0;
    return sound + (noise > 0 ? noise * next() : 0);
  });
  const table = {
    profile: "quick",
    nominalDbfs: -18,
    lengthS: last.startS + last.lengthS,
    segments,
  };
  return { samples, origin, clock, sampleRate: rate, table, mainsHz: 50 } as never;
}
