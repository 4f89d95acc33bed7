import type { OpenDanger } from "./notebook/open-dangers.js";

/** Information to read before playing a steady tone. */
export interface ToneSheet {
  readonly frequencyHz: number;
  /** A full-scale sine is 0 (AES17). */
  readonly levelDbfs: number;
  /** Level of the test signal's tones, dBFS. */
  readonly nominalDbfs: number;
  readonly minutes: number;
  readonly sampleRate: number;
  readonly format: string;
  /** Level at the socket of each input with the interface set as for the test signal, dBu. */
  readonly sockets: readonly { readonly input: string; readonly dbu: number }[];
  /** Dangers in open notes, for which the power must stay off; absent if none. */
  readonly dangers?: readonly OpenDanger[];
  readonly cautions: readonly string[];
}
