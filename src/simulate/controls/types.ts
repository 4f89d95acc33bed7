/** A pot or fader: a resistive track and the wiper that slides on it. */
export interface VirtualPot {
  readonly kind: "pot";
  /** Where the wiper stands at its mark, 0 to 1 of the travel. */
  readonly markAt: number;
  /** Level at an end of the travel against the mark, decibels; −Infinity for a fader's bottom. */
  readonly lowDb: number;
  readonly highDb: number;
  /**
   * Contact resistance in parts of the load behind the wiper: the mean of a sound track, and how
   * many worn zones there are, their width in parts of the travel and what the resistance there
   * rises to.
   */
  readonly roughness: number;
  readonly wornZones: number;
  readonly zoneWidth: number;
  readonly wornOhmParts: number;
  /** DC voltage at the upper end of the track, volts. */
  readonly directV: number;
}

/** A switch in the signal's way. */
export interface VirtualSwitch {
  readonly kind: "switch";
  /** Level when pressed in, decibels against out; 0 where it does not change the level. */
  readonly inDb: number;
  /** How long it breaks before it makes and bounces, seconds. */
  readonly travelS: number;
  /** How often it lets go in the quarter second after it made, and for how long each time. */
  readonly lapses: number;
  readonly lapseS: number;
  /** Contact resistance of a lapse in parts of the load. */
  readonly lapseOhmParts: number;
}

export type VirtualControl = VirtualPot | VirtualSwitch;
