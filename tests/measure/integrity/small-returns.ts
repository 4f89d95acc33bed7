import type { ReturnAudio } from "../../../src/measure/return-audio.js";
import { gaussian } from "../../helpers/noise.js";
import { makeSamples } from "../../helpers/samples.js";

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

let known = new Float64Array(0);
/** The same noise for every return, of a deviation of 1. */
function normals(length: number): Float64Array {
  if (known.length < length) {
    const next = gaussian(5);
    known = makeSamples(length, () => next());
  }
  return known;
}

/** A return of a few segments, each with the keys of its kind. */
export function smallReturn(segments: readonly Played[], options: SmallReturn): ReturnAudio {
  const { rate, origin = 0, noise = 0, slips = [], clock = rate } = options;
  const last = segments[segments.length - 1];
  const more = slips.reduce((sum, { samples }) => sum + Math.abs(samples), 0);
  const length = Math.ceil(origin + (last.startS + last.lengthS + 0.01) * rate) + more;
  const normal = noise > 0 ? normals(length) : undefined;
  let playing: Played | undefined;
  const samples = makeSamples(length, (n) => {
    let seconds = (n - origin) / rate;
    for (const slip of slips) if (seconds >= slip.atS) seconds -= slip.samples / rate;
    const plays = ({ startS, lengthS }: Played) => seconds >= startS && seconds < startS + lengthS;
    if (playing === undefined || !plays(playing)) playing = segments.find(plays);
    const sound = playing?.sound?.(seconds - playing.startS) ?? 0;
    return normal === undefined ? sound : sound + noise * normal[n];
  });
  const table = {
    profile: "quick",
    nominalDbfs: -18,
    lengthS: last.startS + last.lengthS,
    segments,
  };
  return { samples, origin, clock, sampleRate: rate, table, mainsHz: 50 } as never;
}
