import type { Curves, Reading, Readings } from "../types.js";

/** An input of the interface, measured by its loopback. */
export interface InputCalibration {
  /** Channel of the captures, from 0. */
  readonly channel: number;
  /** Number of loopback returns it was made from. */
  readonly returns: number;
  /** Level at the input that comes back as 0 dBFS, dBu. */
  readonly fullScale: Reading;
  /** The interface's own readings, levels in dBFS. */
  readonly readings: Readings;
  readonly curves: Curves;
}

/** Quantisation steps of a round and its loopback, full scale 1; 0 if negligible. */
export interface UnlikeWords {
  readonly heardStep: number;
  readonly ownStep: number;
  readonly sampleRate: number;
}

/** Data to calibrate a path's measurement. */
export interface PathCalibration {
  /** The input that recorded the path. */
  readonly input: InputCalibration;
  /** The input that recorded the other side of a stereo bus. */
  readonly partner?: InputCalibration;
  /** Level at the path's socket while the signal played at its nominal level, dBu. */
  readonly socketDbu: number;
  /** Its expanded uncertainty (95 %), decibels. */
  readonly socketDb: number;
  /** Source resistance at the path's input during the silence, ohms; undefined if not known. */
  readonly sourceOhm?: number;
  /** Set if loopback and round have different word lengths. */
  readonly words?: UnlikeWords;
}
