/** A level: in dBu, or against the test tone at its nominal level. */
export interface ExpectedLevel {
  readonly value: number;
  readonly unit: "dB" | "dBu";
}

/**
 * What all paths of a sound desk keep to, with one strip open, at the mix output: bounds to judge
 * by what all paths share where there is no earlier round.
 */
export interface Expectations {
  /** Mains lines together, at most. */
  readonly hum: ExpectedLevel;
  /** Noise without the mains, at most. */
  readonly noise: ExpectedLevel;
  /** Within 3 dB of 1 kHz from and to, Hz. */
  readonly band: readonly [fromHz: number, toHz: number];
  /** Total harmonic distortion at the nominal level, at most, dB. */
  readonly distortionDb: number;
  /** The same 12 dB above nominal, at most, dB. */
  readonly overloadDb: number;
  /** Level above nominal at which distortion reaches 1 %, at least, dB. */
  readonly headroomDb: number;
  /** How far inputs that are fed at their nominal levels may come back apart, dB. */
  readonly levelDb: number;
}

/**
 * Cautious on purpose: a desk that is merely old keeps to them, one with a fault in what all paths
 * share may not.
 */
export const defaultExpectations: Expectations = {
  // Common practice, no source: hum 60 dB below the programme is heard in every pause.
  hum: { value: -60, unit: "dB" },
  // Common practice, no source: a mix bus with one strip open lies 80 dB or more below nominal;
  // 4 dB are granted to age and many strips.
  noise: { value: -76, unit: "dB" },
  // Common practice: audio paths reach from 20 Hz to 20 kHz within 3 dB.
  band: [20, 20_000],
  // Common practice, no source: 0.1 %, several times what a worn but working stage gives.
  distortionDb: -60,
  // Overload is reckoned from 1 % (the rated distortion of IEC 60268-3); line stages have more than
  // 12 dB above nominal (common practice).
  overloadDb: -40,
  headroomDb: 12,
  // Common practice, no source: pads and marks together are right within this.
  levelDb: 3,
};
