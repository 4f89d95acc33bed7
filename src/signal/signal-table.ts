import { defaultControls } from "../desk/controls.js";
import { buildMoves } from "./moves.js";
import type { Move, Profile, Segment, SignalBand, SignalTable } from "./types.js";

/** Raised whenever a capture of the old signal could no longer be read by the new table. */
export const signalVersion = 1;

/** The same for the controls pass, which since version 2 has a window for each control. */
const controlsVersion = 2;

/** Version of a profile's definition. */
export function getProfileVersion(profile: Profile): number {
  return profile === "controls" ? controlsVersion : signalVersion;
}

export const profiles: readonly Profile[] = ["quick", "standard", "full", "controls"];
export const bands: readonly SignalBand[] = ["base", "wide"];

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

const sweepEdges: Readonly<Record<SignalBand, { fromHz: number; toHz: number }>> = {
  base: { fromHz: 5, toHz: 21_000 },
  wide: { fromHz: 5, toHz: 42_000 },
};

/** Which band a signal at this sample rate uses. */
export function chooseBand(sampleRate: number): SignalBand {
  return sampleRate >= 88_200 ? "wide" : "base";
}

/** Spacing of a marker's two chirps for a kind of signal, seconds. */
export function computeMarkerSpacing(profile: Profile, band: SignalBand): number {
  // The spacings of index 3 were those of the controls pass of version 1, before its windows.
  const kind = profile === "controls" ? 4 : profiles.indexOf(profile);
  const code = kind * bands.length + bands.indexOf(band);
  return round(spacingBaseS + spacingStepS * code);
}

/**
 * How the moving of one control goes: counted in by three pips, moved under the tone and on in the
 * silence, ended by a pip, put back in what is left. The pips lie below the markers' chirps (440 Hz
 * against 500 Hz and up), last longer than a click and have the tones' flanks; where they lie is
 * known, so that nothing is read there.
 */
const pip = { frequencyHz: 440, lengthS: 0.12, spacingS: 0.5, belowNominalDb: 6 } as const;
export const controlWindow = {
  countInS: 1.5,
  toneS: 6,
  silenceS: 6,
  endS: 0.5,
  backS: 2.45,
} as const;
const unmoved = { silenceS: 3, toneS: 10 } as const;
const gapS = 0.05;

/** Seconds that one control adds to the controls pass. */
const perControlS =
  controlWindow.countInS +
  controlWindow.toneS +
  gapS +
  controlWindow.silenceS +
  controlWindow.endS +
  controlWindow.backS;

/** Seconds from one marker to the other of a controls pass with so many windows. */
export function computeControlsSpanS(windows: number): number {
  return round(markerS + unmoved.silenceS + unmoved.toneS + gapS + windows * perControlS);
}

/** How many windows a controls pass has whose markers lie so far apart, at least 1. */
export function countControlWindows(spanS: number): number {
  return Math.max(1, Math.round((spanS - computeControlsSpanS(0)) / perControlS));
}

/**
 * The segment table of a profile and band.
 *
 * @param moves for the controls pass: what is moved, in this order
 */
export function buildSignalTable(
  profile: Profile,
  band: SignalBand,
  moves: readonly Move[] = buildMoves(defaultControls),
): SignalTable {
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
    build.silence(unmoved.silenceS).tone("tone-1k", 1000, 0, unmoved.toneS).gap(gapS);
    for (const [k, move] of moves.entries()) build.moving(k + 1, move);
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
    readonly band: SignalBand,
  ) {}

  gap(seconds: number): this {
    this.#atS = round(this.#atS + seconds);
    return this;
  }

  marker(which: "start" | "end"): this {
    const spacingS = computeMarkerSpacing(this.profile, this.band);
    return this.#add({
      kind: "marker",
      name: `marker-${which}`,
      which,
      spacingS,
      levelDbfs: nominalDbfs,
      ...this.#span(markerS),
    });
  }

  silence(seconds: number, name = "silence", move?: Move): this {
    return this.#add({ kind: "silence", name, ...this.#span(seconds), ...(move ? { move } : {}) });
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

  tone(
    name: string,
    frequencyHz: number,
    aboveNominalDb: number,
    seconds: number,
    move?: Move,
  ): this {
    return this.#add({
      kind: "tone",
      name,
      frequencyHz,
      levelDbfs: nominalDbfs + aboveNominalDb,
      ...this.#span(seconds),
      ...(move ? { move } : {}),
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

  moving(number: number, move: Move): this {
    this.pips(`pips-${number}`, 3, controlWindow.countInS);
    this.tone(`tone-${number}`, 1000, 0, controlWindow.toneS, move).gap(gapS);
    this.silence(controlWindow.silenceS, `silence-${number}`, move);
    return this.pips(`end-${number}`, 1, controlWindow.endS).gap(controlWindow.backS);
  }

  pips(name: string, count: number, seconds: number): this {
    return this.#add({
      kind: "pips",
      name,
      frequencyHz: pip.frequencyHz,
      count,
      spacingS: pip.spacingS,
      pipS: pip.lengthS,
      levelDbfs: nominalDbfs - pip.belowNominalDb,
      ...this.#span(seconds),
    });
  }

  table(): SignalTable {
    const { profile, band } = this;
    return {
      version: getProfileVersion(profile),
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
