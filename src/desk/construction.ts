/** A part that must be removed to reach several strips. */
export interface DeskPart {
  readonly name: string;
  /**
   * `cover`: must come off before its strips can be reached; `cable`: must be unplugged first;
   * `card`: its strips sit on it and come out together with it.
   */
  readonly kind: "cover" | "cable" | "card";
  /** In the order of the desk. */
  readonly strips: readonly string[];
  /** To remove and refit. */
  readonly minutes: number;
}

/** Times and parts for disassembling a desk. */
export interface Construction {
  /** To open the desk and close it again, without the work inside. */
  readonly openMinutes: number;
  /** To take one strip out and put it back. */
  readonly pullMinutes: number;
  readonly parts: readonly DeskPart[];
  /** Values of parts given by the owner, by role. */
  readonly values: Readonly<Record<string, string>>;
}

/** Age of a desk's electrolytics and their operating conditions. */
export interface DeskAge {
  readonly installed?: number;
  readonly recapped: readonly { readonly year: number; readonly strips: readonly string[] }[];
  /** Hours a day with power on. */
  readonly poweredHours: number;
  /** Kelvins above the usual temperature inside. */
  readonly warmerKelvin: number;
}

/** Defaults if the desk file says nothing (a guess from common practice; strips differ widely). */
export const defaultConstruction: Construction = {
  openMinutes: 60,
  pullMinutes: 20,
  parts: [],
  values: {},
};
