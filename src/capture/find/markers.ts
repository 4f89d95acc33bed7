import { outputSteps } from "../../signal/profiles/constants.js";
import { bands, computeMarkerSpacing, signalProfiles } from "../../signal/signal-table.js";
import type { Profile, SignalBand } from "../../signal/types.js";
import { aroundSamples, type Chirp } from "./chirps.js";

/** Two chirps whose spacing names a kind of signal. */
export interface Marker {
  /** Sample frame of the capture where the marker begins, to about one sample. */
  readonly at: number;
  readonly which: "start" | "end";
  readonly profile: Profile;
  /** Version of the profile. */
  readonly version: number;
  readonly band: SignalBand;
  /** Spacing step that encodes an output of a pass; 0 in a signal for single plays. */
  readonly step: number;
  readonly inverted: boolean;
  /** Normalised correlation of the pair, 0 to 1. */
  readonly likeness: number;
}

/** Seconds; tolerance of a pair's spacing, for clocks and for paths that smear the peaks. */
const spacingSlackS = 0.0012;

/** A controls pass is played from one output: the user moves the controls of one strip. */
const stepsOf = (profile: Profile) =>
  profile === "controls" ? [0] : Array.from({ length: outputSteps }, (_, step) => step);

const spacings = signalProfiles.flatMap(({ profile, version }) =>
  bands.flatMap((band) =>
    stepsOf(profile).map((step) => ({
      profile,
      version,
      band,
      step,
      spacingS: computeMarkerSpacing(profile, band, version, step),
    })),
  ),
);
const widestS = Math.max(...spacings.map((s) => s.spacingS)) + 0.2;

/** Markers made from the chirps of a channel. */
export interface Pairs {
  /** In order of time. */
  readonly markers: readonly Marker[];
  /** Chirps like ours at unknown spacings, sample frames. */
  readonly strange: readonly number[];
}

/**
 * Pairs chirps into markers; of pairs that share a chirp the one with the higher correlation is
 * kept.
 *
 * @example
 * const chirp = (at) => ({ at, likeness: 0.9, shape: new Float64Array(81).fill(1) });
 * // 0.17 s apart: the start of a quick signal.
 * const { markers } = pairChirps([chirp(0), chirp(0.17 * 48_000)], 48_000);
 * markers.map(({ profile, which }) => [profile, which]); // [["quick", "start"]]
 */
export function pairChirps(chirps: readonly Chirp[], sampleRate: number): Pairs {
  const found: { marker: Marker; i: number; j: number }[] = [];
  const odd: { i: number; j: number }[] = [];
  for (let i = 0; i < chirps.length; i++) {
    for (let j = i + 1; j < chirps.length; j++) {
      const gapS = (chirps[j].at - chirps[i].at) / sampleRate;
      if (gapS > widestS) break;
      const kind = spacings.find((s) => Math.abs(s.spacingS - gapS) < spacingSlackS);
      const a = chirps[i].likeness;
      const b = chirps[j].likeness;
      if (!kind) {
        if (Math.abs(a) > 0.6 && Math.abs(b) > 0.6 && gapS > 0.05) odd.push({ i, j });
        continue;
      }
      const marker: Marker = {
        at: chirps[i].at,
        which: sameSign(chirps[i], chirps[j]) ? "start" : "end",
        profile: kind.profile,
        version: kind.version,
        band: kind.band,
        step: kind.step,
        inverted: a < 0,
        likeness: (Math.abs(a) + Math.abs(b)) / 2,
      };
      found.push({ marker, i, j });
    }
  }
  found.sort((p, q) => q.marker.likeness - p.marker.likeness);
  const taken = new Set<number>();
  const markers: Marker[] = [];
  for (const { marker, i, j } of found) {
    if (taken.has(i) || taken.has(j)) continue;
    taken.add(i).add(j);
    markers.push(marker);
  }
  markers.sort((p, q) => p.at - q.at);
  const strange = odd.filter((o) => !taken.has(o.i) && !taken.has(o.j)).map((o) => chirps[o.i].at);
  return { markers, strange };
}

/** Samples over which two shapes are compared, and largest shift between them. */
const heldSamples = 12;
const movedSamples = aroundSamples - heldSamples;
const moveStep = 1 / 4;

/**
 * Whether both chirps of a marker came back with the same polarity. A path may shift the phase by
 * any angle; near 90° a chirp's correlation has two peaks of opposite sign and similar height, and
 * noise decides which one is chosen. But both chirps went through the same path: the sign is taken
 * at the shift where their correlations match best.
 */
function sameSign(first: Chirp, second: Chirp): boolean {
  const products: number[] = [];
  for (let move = -movedSamples; move <= movedSamples; move++) {
    let sum = 0;
    for (let k = -heldSamples; k <= heldSamples; k++) {
      sum += first.shape[aroundSamples + k] * second.shape[aroundSamples + k + move];
    }
    products.push(sum);
  }
  // Also between whole samples: the products are band-limited like the shapes.
  let best = 0;
  for (let at = 0; at < products.length; at += moveStep) {
    let sum = 0;
    for (let k = 0; k < products.length; k++) {
      const x = Math.PI * (at - k);
      sum += x === 0 ? products[k] : (products[k] * Math.sin(x)) / x;
    }
    if (Math.abs(sum) > Math.abs(best)) best = sum;
  }
  return best > 0;
}
