import type { Band, Profile, Segment, SignalTable } from "./table.js";

/** Raised whenever a capture of the old signal could no longer be read by the new table. */
export const signalVersion = 1;

export const profiles: readonly Profile[] = ["quick", "standard", "full", "controls"];
export const bands: readonly Band[] = ["base", "wide"];

/** Sample rates the signal is written at; AES5 and its multiples. */
export const sampleRates: readonly number[] = [44100, 48000, 88200, 96000, 176400, 192000];

/**
 * Level of sweep, tones and markers. 18 dB below full scale leaves room for the level steps up
 * to clipping of a desk with headroom in the low twenties of dBu, fed from an interface whose
 * full scale lies there too (common practice).
 */
export const nominalDbfs = -18;

/** One chirp of a marker. */
export const chirp = { fromHz: 500, toHz: 10_000, lengthS: 0.15 } as const;

/** Chirps lie this far apart, plus a step for each kind of signal: the spacing is its name. */
const spacingBaseS = 0.17;
const spacingStepS = 0.01;
const markerS = 0.5;

/** Raised-cosine flanks of every tone; long enough that no click spreads into the bands measured. */
export const toneFadeS = 0.01;

const sweepEdges: Readonly<Record<Band, { fromHz: number; toHz: number }>> = {
  base: { fromHz: 5, toHz: 21_000 },
  wide: { fromHz: 5, toHz: 42_000 },
};

/** Which band a signal at this sample rate uses. */
export function bandFor(sampleRate: number): Band {
  return sampleRate >= 88_200 ? "wide" : "base";
}

/** Spacing of a marker's two chirps for a kind of signal, seconds. */
export function markerSpacing(profile: Profile, band: Band): number {
  const code = profiles.indexOf(profile) * bands.length + bands.indexOf(band);
  return round(spacingBaseS + spacingStepS * code);
}

/** The segment table of a profile and band. */
export function signalTable(profile: Profile, band: Band): SignalTable {
  const build = new TableBuilder(profile, band);
  build.gap(0.1).marker("start");
  if (profile === "quick") {
    build.silence(1.2).sweep(1, 1.85, 0.25).tone("tone-1k", 1000, 0, 0.7).gap(0.05);
    build.steps("steps-1k", 1000, 0.35, [12]).gap(0.05);
  } else if (profile === "standard") {
    build.silence(2.2).sweep(2, 3.65, 0.25).tone("tone-1k", 1000, 0, 1.0).gap(0.05);
    build.tone("tone-100", 100, 0, 1.0).gap(0.05).twin("twin", 19_000, 20_000, 0, 0.7).gap(0.05);
    build.steps("steps-1k", 1000, 0.2, standardSteps).gap(0.05);
  } else if (profile === "full") {
    build.silence(6.0).sweep(6, 10.9, 0.4).tone("tone-1k", 1000, 0, 3.0).gap(0.05);
    build.tone("tone-100", 100, 0, 3.0).gap(0.05).twin("twin", 19_000, 20_000, 0, 2.0).gap(0.05);
    build.steps("steps-1k", 1000, 0.35, fullSteps).gap(0.05);
  } else {
    build.silence(3.0).tone("tone-1k", 1000, 0, 40.0).gap(0.05);
    build.silence(40.0, "silence-controls").gap(0.05);
  }
  return build.marker("end").gap(0.1).table();
}

/** Decibels against nominal; the last is 1 dB below full scale. */
const standardSteps: readonly number[] = [-60, -40, -20, 0, 6, 10, 12, 14, 17];
const fullSteps: readonly number[] = [
  -80, -70, -60, -50, -40, -30, -20, -10, 0, 3, 6, 8, 10, 12, 13, 14, 15, 16, 17,
];

class TableBuilder {
  readonly #segments: Segment[] = [];
  #atS = 0;

  constructor(
    readonly profile: Profile,
    readonly band: Band,
  ) {}

  gap(seconds: number): this {
    this.#atS = round(this.#atS + seconds);
    return this;
  }

  marker(which: "start" | "end"): this {
    const spacingS = markerSpacing(this.profile, this.band);
    return this.#add({
      kind: "marker",
      name: `marker-${which}`,
      which,
      spacingS,
      levelDbfs: nominalDbfs,
      ...this.#span(markerS),
    });
  }

  silence(seconds: number, name = "silence"): this {
    return this.#add({ kind: "silence", name, ...this.#span(seconds) });
  }

  /** `turns` is f1·L: an integer, so that every harmonic's response is in phase with the first. */
  sweep(turns: number, mostS: number, tailS: number): this {
    const { fromHz, toHz } = sweepEdges[this.band];
    const rateS = turns / fromHz;
    const sweepS = rateS * Math.log(toHz / fromHz);
    return this.#add({
      kind: "sweep",
      name: "sweep",
      fromHz,
      toHz,
      rateS,
      sweepS,
      levelDbfs: nominalDbfs,
      ...this.#span(mostS + tailS),
    });
  }

  tone(name: string, frequencyHz: number, aboveNominalDb: number, seconds: number): this {
    return this.#add({
      kind: "tone",
      name,
      frequencyHz,
      levelDbfs: nominalDbfs + aboveNominalDb,
      ...this.#span(seconds),
    });
  }

  twin(name: string, lowHz: number, highHz: number, aboveNominalDb: number, seconds: number): this {
    return this.#add({
      kind: "twin",
      name,
      lowHz,
      highHz,
      levelDbfs: nominalDbfs + aboveNominalDb,
      ...this.#span(seconds),
    });
  }

  steps(name: string, frequencyHz: number, stepS: number, aboveNominalDb: readonly number[]): this {
    const levelsDbfs = aboveNominalDb.map((db) => nominalDbfs + db);
    return this.#add({
      kind: "steps",
      name,
      frequencyHz,
      stepS,
      levelsDbfs,
      ...this.#span(stepS * levelsDbfs.length),
    });
  }

  table(): SignalTable {
    const { profile, band } = this;
    return {
      version: signalVersion,
      profile,
      band,
      lengthS: this.#atS,
      nominalDbfs,
      segments: this.#segments,
    };
  }

  #span(seconds: number): { startS: number; lengthS: number } {
    const startS = this.#atS;
    this.#atS = round(this.#atS + seconds);
    return { startS, lengthS: round(seconds) };
  }

  #add(segment: Segment): this {
    this.#segments.push(segment);
    return this;
  }
}

/** Times are whole milliseconds; sums must not drift from them by rounding. */
function round(seconds: number): number {
  return Math.round(seconds * 1e6) / 1e6;
}
