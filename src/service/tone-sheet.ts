import type { OpenDanger } from "./notebook/open-dangers.js";

/** What is to be known before a steady tone is played. */
export interface ToneSheet {
  readonly frequencyHz: number;
  /** A full-scale sine is 0 (AES17). */
  readonly levelDbfs: number;
  /** Level of the test signal's tones, dBFS. */
  readonly nominalDbfs: number;
  readonly minutes: number;
  readonly sampleRate: number;
  readonly format: string;
  /** What reaches the socket of each input where the interface plays as for the test signal, dBu. */
  readonly sockets: readonly { readonly input: string; readonly dbu: number }[];
  /** Dangers that open notes speak of, for which the power stays off; absent where there are none. */
  readonly dangers?: readonly OpenDanger[];
  readonly cautions: readonly string[];
}
