import type { Complex, GatedSpectrum, SweepReference } from "../dsp/deconvolution.js";
import type { PowerSpectrum } from "../dsp/welch.js";
import type { SweepSegment } from "../signal/table.js";
import type { Quiet } from "./quiet.js";

/** The response of one harmonic, gated out of the sweep's answer. */
export interface HarmonicGates {
  readonly order: number;
  /** For rising frequencies of the fundamental; each serves up to its `toHz`. */
  readonly zones: readonly {
    readonly toHz: number;
    readonly within: GatedSpectrum;
    /** What the gate sees in its outer part: neighbours that reach in, a tail that is cut off. */
    readonly outer: GatedSpectrum;
  }[];
}

/** A path's answer to the sweep. */
export interface SweepAnswer {
  readonly sweep: SweepSegment;
  /** Gated responses for rising frequencies; each serves up to its `toHz`. */
  readonly gates: readonly (GatedSpectrum & { readonly toHz: number })[];
  /** Gated responses of the harmonics, from the second on. */
  readonly harmonics: readonly HarmonicGates[];
  readonly shaping: (hz: number) => Complex;
  readonly reference: SweepReference;
  /** Of the silence, as heard. */
  readonly noise: PowerSpectrum | undefined;
  /** The same taken apart: lines of the mains and the rest. */
  readonly quiet: Pick<Quiet, "lines" | "spectrum"> | undefined;
}
