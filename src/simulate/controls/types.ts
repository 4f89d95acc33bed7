/** A pot or fader: a resistive track and the wiper that slides on it. */
export interface VirtualPot {
  readonly kind: "pot";
  /** Position of the wiper at its mark, 0 to 1 of the travel. */
  readonly markAt: number;
  /**
   * Level at an end of the travel relative to the mark, decibels; −Infinity for a fader's bottom.
   */
  readonly lowDb: number;
  readonly highDb: number;
  /**
   * Contact resistance as a fraction of the load after the wiper: the mean of a good track, the
   * number of worn zones, their width as a fraction of the travel, and the resistance they rise to.
   */
  readonly roughness: number;
  readonly wornZones: number;
  readonly zoneWidth: number;
  readonly wornOhmParts: number;
  /** DC voltage at the upper end of the track, volts. */
  readonly directV: number;
}

/** A switch in the signal path. */
export interface VirtualSwitch {
  readonly kind: "switch";
  /** Level when in, relative to out, decibels; 0 if it does not change the level. */
  readonly inDb: number;
  /** How long it breaks before it makes and bounces, seconds. */
  readonly travelS: number;
  /** How often it opens in the quarter second after making, and for how long each time. */
  readonly lapses: number;
  readonly lapseS: number;
  /** Contact resistance during a lapse, as a fraction of the load. */
  readonly lapseOhmParts: number;
}

export type VirtualControl = VirtualPot | VirtualSwitch;
