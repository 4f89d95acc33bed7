import type { AudioSetup } from "./audio.js";
import type { Construction, DeskAge } from "./construction.js";
import type { DeskPath } from "./desk-path.js";
import type { Expectations } from "./expectations.js";
import type { DeskOutput } from "./outputs.js";
import type { ReferencePath } from "./reference-path.js";
import type { DeskSection, SectionKind } from "./section-kinds.js";
import type { StripPartKind } from "./shared-kinds.js";

export type { DeskPath } from "./desk-path.js";

/** A kind of input found on every strip. */
export interface DeskInput {
  readonly name: string;
  /** Level at the socket when the signal plays at its nominal level, dBu. */
  readonly nominalDbu: number;
  /** How to set the strip for this input, in the owner's words. */
  readonly setup: string;
  /** Settings of controls that differ for this input: name to text. */
  readonly set?: Readonly<Record<string, string>>;
  /** Where the plug goes, in the owner's words. */
  readonly plug?: string;
  /** Pad between the interface and the socket, dB; 0 for none, absent if the file does not say. */
  readonly padDb?: number;
  /** Resistance that the socket sees while the signal is silent, ohms; absent when not known. */
  readonly sourceOhm?: number;
}

/** How a control is moved. */
export type ControlKind = "knob" | "switch" | "fader";

/** A knob, switch or fader on every strip. */
export interface DeskControl {
  readonly name: string;
  readonly kind: ControlKind;
  /** Its setting for the test, unless an input has another; absent if only inputs have one. */
  readonly set?: string;
  /** The inputs that it acts on; absent if the file does not say. */
  readonly inputs?: readonly string[];
}

/** The order of the run sheet, and so that of returns in one recording. */
export type PathOrder = "by-input" | "by-strip" | "fewest";

/** A part that strips share. */
export interface SharedStrips {
  readonly name: string;
  readonly strips: readonly string[];
  /** Its kind; absent if its name shows it. */
  readonly kind?: StripPartKind;
}

/** The signal flow: it shows where a fault of some paths but not of others can be. */
export interface DeskFlow {
  /** By input, the stages that it passes from its socket on, in order. */
  readonly stages: Readonly<Record<string, readonly string[]>>;
  /** Parts that strips share, such as a supply, a ribbon cable or a bus. */
  readonly shared: readonly SharedStrips[];
}

/** Placeholder for a strip's name, an input's name, a take number, or any text. */
export type Placeholder = "strip" | "input" | "take" | "any";

export type PatternPart =
  | { readonly kind: Placeholder }
  /** In the form that `normalizeFileName` returns. */
  | { readonly kind: "text"; readonly text: string };

/** A pattern of file names, as written by the owner. */
export interface NamePattern {
  /** As written. */
  readonly text: string;
  /**
   * The input of all files that it fits; absent if the name says it, or if a file contains all
   * inputs.
   */
  readonly input?: string;
  /** In order; no two texts and no two `any` are adjacent. */
  readonly parts: readonly PatternPart[];
}

/** The desk file, read and checked. Paths are in run-sheet order. */
export interface Desk {
  /** Identifies the desk if its name changes; absent in files older than ids. */
  readonly id?: string;
  readonly name: string;
  readonly mainsHz: 50 | 60;
  readonly strips: readonly string[];
  readonly inputs: readonly DeskInput[];
  /** Level at the mix output when the signal plays at its nominal level, dBu. */
  readonly referenceDbu: number;
  /** A path that bypasses all strips, played first and last; absent if the desk file names none. */
  readonly referencePath?: ReferencePath;
  readonly order: PathOrder;
  /** Controls of a strip, in the order of the controls pass. */
  readonly controls: readonly DeskControl[];
  readonly flow: DeskFlow;
  /** Sections named in the file. */
  readonly sections: readonly DeskSection[];
  /** How recordings are named; absent if the file does not say. */
  readonly captures?: readonly NamePattern[];
  /**
   * For each channel of a multichannel recorder the paths that it may hold, none for an unused one;
   * absent if captures are of the mix output.
   */
  readonly channels?: readonly (readonly string[])[];
  /**
   * What the interface's outputs are connected to, in order; absent if a single one is patched by
   * hand.
   */
  readonly outputs?: readonly DeskOutput[];
  /** The buses that a strip can be routed to, in the order of the recorder's channels. */
  readonly buses?: readonly string[];
  /** Nominal voltage of the phantom supply. */
  readonly phantomV: 48 | 24 | 12;
  /** Supply rails of the strips, volts, the positive one first; absent when not known. */
  readonly railsV?: readonly [number, number];
  readonly construction: Construction;
  /** Bounds for all paths of a healthy desk; absent if the file does not say. */
  readonly expectations?: Expectations;
  /** Absent if the file does not say. */
  readonly age?: DeskAge;
  /** How the computer plays and records on its own; absent if the file does not say. */
  readonly audio?: AudioSetup;
  readonly paths: readonly DeskPath[];
}

/** A place on the desk: an input of a strip, a strip, a section, or the desk as a whole. */
export interface DeskPlace {
  /** Absent for a section or the whole desk. */
  readonly strip?: string;
  readonly input?: string;
  /** A section: `group 3`, `master`, `PSU A`. */
  readonly section?: string;
  readonly sectionKind?: SectionKind;
}
