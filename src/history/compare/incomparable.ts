import type { Absence } from "../../measure/absence.js";
import type { RoundPath } from "../types.js";

/** Why two rounds do not allow a reading or a curve to be compared. */
export type Refusal =
  /** The two signals end at different frequencies. */
  | { readonly code: "other-band-end" }
  /** The tones were sent at different levels. */
  | { readonly code: "other-level" }
  | { readonly code: "other-mains" }
  /** The interface's own share was subtracted in one of them only, and is not small. */
  | { readonly code: "interface-share" };

/** Why a reading of a path cannot be compared; worded in `report/conditions`. */
export type Incomparable =
  | Refusal
  /** Only the later round has it; with the reason, if the earlier one gives it. */
  | { readonly code: "not-then"; readonly because?: Absence }
  | { readonly code: "not-now"; readonly because?: Absence }
  | { readonly code: "other-unit"; readonly earlier: string; readonly later: string }
  /** Noise hid it both times. */
  | { readonly code: "noise-both-times" };

/** A path that was not measured, as its round says. */
export type Unmeasured = Pick<RoundPath, "status" | "reason" | "because">;

/** Why two rounds have nothing to compare on a path. */
export type NoPartner =
  | { readonly code: "not-in-earlier" }
  | { readonly code: "not-in-later" }
  | { readonly code: "not-measured"; readonly earlier?: Unmeasured; readonly later?: Unmeasured };
