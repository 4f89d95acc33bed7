/** What comes off or out for several strips at once. */
export interface DeskPart {
  readonly name: string;
  /**
   * `cover`: must come off before its strips can be reached; `cable`: must be unplugged first;
   * `card`: its strips sit on it and come out together with it.
   */
  readonly kind: "cover" | "cable" | "card";
  /** In the order of the desk. */
  readonly strips: readonly string[];
  /** Off and on again. */
  readonly minutes: number;
}

/** How a desk comes apart. */
export interface Construction {
  /** To open the desk and to close it again, whatever is done inside. */
  readonly openMinutes: number;
  /** To take one strip out and put it back. */
  readonly pullMinutes: number;
  readonly parts: readonly DeskPart[];
  /** Values of parts as the owner knows them: role to value. */
  readonly values: Readonly<Record<string, string>>;
}

/** How old a desk's electrolytics are and how they are used. */
export interface DeskAge {
  readonly installed?: number;
  readonly recapped: readonly { readonly year: number; readonly strips: readonly string[] }[];
  /** Hours a day with power on. */
  readonly poweredHours: number;
  /** Kelvins that it is warmer inside than is usual. */
  readonly warmerKelvin: number;
}

/** A desk whose file says nothing (a guess from common practice; strips differ widely). */
export const defaultConstruction: Construction = {
  openMinutes: 60,
  pullMinutes: 20,
  parts: [],
  values: {},
};
