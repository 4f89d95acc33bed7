import type { MeterValue } from "../notebook/schema.js";

/** Result of a meter reading, as data; `report/meter` has the words. */
export type MeterSaying =
  | {
      readonly code: "out";
      readonly value: MeterValue;
      /** Its tolerance, in its unit. */
      readonly tolerance: number;
      /** Set if a standard gives the value. */
      readonly standard?: "phantom";
    }
  | {
      readonly code: "in-order";
      readonly values: readonly MeterValue[];
      readonly tolerance: number;
      readonly standard?: "phantom";
    }
  /** Volts between pin 2 and pin 3. */
  | { readonly code: "pins-differ"; readonly apart: number }
  | {
      readonly code: "direct";
      readonly values: readonly MeterValue[];
      readonly part?: string;
      readonly isInOrder?: true;
    }
  /** Gain follows the part, but it is not known how much. */
  | {
      readonly code: "gain-not-said";
      readonly values: readonly MeterValue[];
      readonly part: string;
    }
  | {
      readonly code: "becomes-too-much";
      readonly values: readonly MeterValue[];
      readonly part: string;
      readonly gainDb: number;
      /** Volts after that gain, and the most allowed. */
      readonly after: number;
      readonly most: number;
    }
  | {
      readonly code: "feeds-differ";
      readonly values: readonly MeterValue[];
      /** Of the other feed resistor, and which it is. */
      readonly others: readonly MeterValue[];
      readonly part: string;
      /** Of their mean. */
      readonly share: number;
    }
  | {
      /** Its nominal value is not known. */
      readonly code: "no-nominal";
      readonly values: readonly MeterValue[];
      readonly of: "rails" | "parts";
    };

/** Remarks on a meter reading. */
export type MeterRemark =
  /** Difference in volts that matched feed resistors explain. */
  | { readonly code: "matched-feeds"; readonly most: number }
  | { readonly code: "rails-unlike"; readonly apart: number }
  /** Rails outside the usual range, whatever their nominal value. */
  | { readonly code: "rails-unusual"; readonly values: readonly MeterValue[] }
  | { readonly code: "becomes"; readonly gainDb: number; readonly after: number }
  | {
      readonly code:
        | "inaudible-without-gain"
        | "gain-may-follow"
        | "capacitor-may-block"
        | "in-place"
        | "measure-other-feed"
        | "if-it-feeds-phantom";
    };

/** What a meter reading out of range indicates. */
export type MeterPoint =
  | { readonly code: "feed-open" | "feed-off-value"; readonly at: string }
  | {
      readonly code: "feed-leak";
      readonly at: string;
      /** Current through the feed resistor. */
      readonly amps: number;
      readonly ohm: number;
    }
  /** Other strips that are also out of range; none if the reading is of the supply itself. */
  | { readonly code: "phantom-shared" | "rails-shared"; readonly strips: readonly string[] }
  | {
      readonly code:
        | "resistor-reads-low"
        | "resistor-reads-high"
        | "capacitor-reads-low"
        | "capacitor-reads-high";
      readonly name: string;
    }
  | { readonly code: "replace-pair"; readonly parts: readonly [string, string] }
  | {
      readonly code:
        | "phantom-regulator"
        | "wrong-phantom-nominal"
        | "phantom-supply"
        | "phantom-switch"
        | "strip-ground"
        | "rail-regulator"
        | "rail-fuse"
        | "rail-overload"
        | "supply-if-next-too"
        | "op-amp-failed"
        | "capacitor-shorted"
        | "capacitor-leaks"
        | "op-amp-offset";
    };
