import type { Move } from "../types.js";
import type { ControlsTiming } from "./control-window.js";
import type { SignalName } from "./signal-name.js";
import type { TableBuilder } from "./table-builder.js";

/**
 * One version of a profile. A row is never changed once its signal has been played. A better signal
 * gets its own row, with the next version and an unused code, so that recordings of the old one are
 * still read as what they are.
 */
export interface SignalProfile extends SignalName {
  /** Only of a controls pass, whose length depends on how much is moved. */
  readonly controls?: ControlsTiming;
  /** Adds what lies between the markers. @param moves for a controls pass: what is moved, in order */
  readonly build: (table: TableBuilder, moves: readonly Move[]) => TableBuilder;
}
