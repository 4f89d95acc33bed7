import type { Complex, GatedSpectrum, SweepReference } from "../dsp/deconvolution.js";
import type { PowerSpectrum } from "../dsp/welch.js";
import type { SweepSegment } from "../signal/types.js";
import type { SilenceAnalysis } from "./silence-analysis.js";
import type { MainsRest } from "./sweep-mains.js";

/** One harmonic at one frequency of the fundamental, as ratios to what was sent. */
export interface HarmonicPoint {
  /** |H|² as measured, noise included. */
  readonly power: number;
  /** Mean of the noise's |H|². */
  readonly noise: number;
  /** |H|² that may come from the neighbours' responses. */
  readonly leakage: number;
  /** Expanded uncertainty of the method, as a share of the power. */
  readonly method: number;
}

/** One harmonic, read from the response to the sweep. */
export interface HarmonicCurve {
  readonly order: number;
  /** At the frequencies of `buildHarmonicGrid`, rising. */
  readonly points: readonly HarmonicPoint[];
}

/** A gated response, and the same through a gate half as long for comparison. */
export interface SweepGate extends GatedSpectrum {
  /** Used up to here, hertz. */
  readonly toHz: number;
  readonly half: GatedSpectrum;
}

/** A path's response to the sweep. */
export interface SweepAnalysis {
  readonly sweep: SweepSegment;
  /** For rising frequencies. */
  readonly gates: readonly SweepGate[];
  /** From the second on. */
  readonly harmonics: readonly HarmonicCurve[];
  readonly shaping: (hz: number) => Complex;
  readonly reference: SweepReference;
  /** Of the silence, as heard. */
  readonly noise: PowerSpectrum | undefined;
  /** The same separated into mains lines and the rest. */
  readonly quiet: Pick<SilenceAnalysis, "lines" | "spectrum"> | undefined;
  /** Residue of the mains lines that were removed. */
  readonly mainsRest: readonly MainsRest[];
}
