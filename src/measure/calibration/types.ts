import type { Curves, Reading, Readings } from "../types.js";

/** One input of the interface as its loopback showed it. */
export interface InputCalibration {
  /** Channel of the captures, from 0. */
  readonly channel: number;
  /** How many returns of the loopback it was made from. */
  readonly returns: number;
  /** Level at the input that comes back as 0 dBFS, dBu. */
  readonly fullScale: Reading;
  /** The interface's own readings, levels in dBFS. */
  readonly readings: Readings;
  readonly curves: Curves;
}

/** Steps of the words that a round and its loopback were written in, full scale 1; 0 where none counts. */
export interface UnlikeWords {
  readonly heardStep: number;
  readonly ownStep: number;
  readonly sampleRate: number;
}

/** What a path's measurement is calibrated with. */
export interface PathCalibration {
  /** The input that recorded the path. */
  readonly input: InputCalibration;
  /** The input that recorded the other side of a stereo bus. */
  readonly partner?: InputCalibration;
  /** Level at the path's socket while the signal played at its nominal level, dBu. */
  readonly socketDbu: number;
  /** Its expanded uncertainty (95 %), decibels. */
  readonly socketDb: number;
  /** What terminates the path's input during the silence, ohms; undefined when not known. */
  readonly sourceOhm?: number;
  /** Where loopback and round were written in unlike words; undefined where they were not. */
  readonly words?: UnlikeWords;
}
