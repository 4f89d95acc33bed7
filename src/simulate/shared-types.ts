/** Strips that share a part, and the part's name. */
export interface Bank {
  readonly name: string;
  /** 1-based. */
  readonly strips: readonly number[];
}

/** What feeds the rails of a bank: rectifier, reservoir, series resistor, smoothing capacitor. */
export interface SupplyFeed extends Bank {
  /** Direct current that all its strips draw together, amperes. */
  readonly loadA: number;
  readonly reservoirFarad: number;
  readonly seriesOhm: number;
  readonly smoothingFarad: number;
  /** Voltage that it holds on both rails, volts. */
  readonly railV: number;
}

/** The cable that carries the outputs of a bank to the bus. */
export interface Ribbon extends Bank {
  /** Contact of a strip's wire, ohms; the strips' contacts spread about it. */
  readonly contactOhm: number;
  /** Voltage that its ground wire leaves between the strips' ground and the bus, peak volts of the mains' fundamental. */
  readonly groundV: number;
}

/** A group bus: an inverting amplifier that its strips feed, and the resistors from it to the mix bus. */
export interface Group extends Bank {
  readonly feedbackOhm: number;
  /** All its strips' summing resistors in parallel. */
  readonly busOhm: number;
  /** Voltage noise of its amplifier, V/√Hz. */
  readonly noiseV: number;
  /** In parallel; infinite for one that is open. */
  readonly mixOhms: readonly number[];
}

/** A level that creeps towards its final value as the desk warms up. */
export interface WarmUp {
  /** How far off it is at the first path, decibels. */
  readonly db: number;
  /** Paths until a factor e less is left of it. */
  readonly turns: number;
}

/** The parts that strips share, and what the desk as a whole shares with the room. */
export interface SharedParts {
  readonly feeds: readonly SupplyFeed[];
  readonly ribbons: readonly Ribbon[];
  readonly groups: readonly Group[];
  /** Capacitance left in the reservoir that all of the desk hangs on, a fraction. */
  readonly reservoirLeft: number;
  /** Between the ground of the desk and that of the interface, peak volts of the mains' fundamental. */
  readonly earthV: number;
  /** Master level against its mark from a path on, counted from 0 in the order of recording. */
  readonly masterLevel: { readonly db: number; readonly fromTurn: number };
  readonly warmUp: WarmUp;
}

/** Which strips hang on which parts. */
export interface Banks {
  readonly feeds?: readonly Bank[];
  readonly ribbons?: readonly Bank[];
  readonly groups?: readonly Bank[];
}
