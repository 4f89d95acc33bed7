/** One measured figure of one path. */
export interface Reading {
  readonly value: number;
  readonly unit: string;
  /** Expanded uncertainty, 95 %, in the unit of the value. */
  readonly uncertainty: number;
  /** What set the figure, when it was not the path: the noise floor, the interface. */
  readonly limitedBy?: "noise" | "interface";
}

/** A reading that could not be made, and why. */
export interface AbsentReading {
  readonly absent: string;
}

/** A figure along an axis, with the uncertainty of each point (95 %). */
export interface Curve {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly uncertainty: readonly number[];
  readonly xUnit: "Hz";
  readonly yUnit: string;
}

export type Readings = Readonly<Record<string, Reading>>;
export type Curves = Readonly<Record<string, Curve>>;

/** All that was measured on one return. */
export interface Measurement {
  readonly readings: Readings;
  /** Readings that could not be made: id to reason. */
  readonly absent: Readonly<Record<string, string>>;
  readonly curves: Curves;
}
