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
  /** How controls are set for this input where that differs from the rest: name to words. */
  readonly set?: Readonly<Record<string, string>>;
  /** Where the plug goes, in the owner's words. */
  readonly plug?: string;
  /** Pad between the interface and the socket, dB; 0 for none, absent where the file leaves it open. */
  readonly padDb?: number;
  /** Resistance that the socket sees while the signal is silent, ohms; absent when not known. */
  readonly sourceOhm?: number;
}

/** How a control is moved. */
export type ControlKind = "knob" | "switch" | "fader";

/** Something on every strip to turn, press or slide. */
export interface DeskControl {
  readonly name: string;
  readonly kind: ControlKind;
  /** How it is set for the test, unless an input says otherwise; absent where only inputs say. */
  readonly set?: string;
  /** The inputs that it acts on; absent where the file leaves it open. */
  readonly inputs?: readonly string[];
}

/** The order of the run sheet, and so that of returns in one recording. */
export type PathOrder = "by-input" | "by-strip" | "fewest";

/** A part that strips share. */
export interface SharedStrips {
  readonly name: string;
  readonly strips: readonly string[];
  /** What it is; absent if its name says so. */
  readonly kind?: StripPartKind;
}

/** Where the signal goes: what a fault on some paths, and not on others, can sit in. */
export interface DeskFlow {
  /** By input, the stages that it passes from its socket on, in order. */
  readonly stages: Readonly<Record<string, readonly string[]>>;
  /** Parts that strips share, such as a supply, a ribbon cable or a bus. */
  readonly shared: readonly SharedStrips[];
}

/** What stands for a strip's name, an input's, the number of a take, or for anything at all. */
export type Placeholder = "strip" | "input" | "take" | "any";

export type PatternPart =
  | { readonly kind: Placeholder }
  /** Written as `comparable` leaves a name. */
  | { readonly kind: "text"; readonly text: string };

/** How files of some recordings are named, in the owner's words. */
export interface NamePattern {
  /** As written. */
  readonly text: string;
  /** The input of all files that it fits; absent if the name says it, or if it contains all inputs. */
  readonly input?: string;
  /** In their order; no two texts and no two `any` stand side by side. */
  readonly parts: readonly PatternPart[];
}

/** The desk file, read and checked. Paths stand in run-sheet order. */
export interface Desk {
  /** What the desk is known by when its name changes; absent in files of before there were ids. */
  readonly id?: string;
  readonly name: string;
  readonly mainsHz: 50 | 60;
  readonly strips: readonly string[];
  readonly inputs: readonly DeskInput[];
  /** Level at the mix output when the signal plays at its nominal level, dBu. */
  readonly referenceDbu: number;
  /** A path past all strips, played first and last; absent where the desk file names none. */
  readonly referencePath?: ReferencePath;
  readonly order: PathOrder;
  /** What a strip has to turn and press, in the order in which the controls pass moves it. */
  readonly controls: readonly DeskControl[];
  readonly flow: DeskFlow;
  /** What is not a strip, as far as the file names it. */
  readonly sections: readonly DeskSection[];
  /** How recordings are named; absent where the file says nothing about it. */
  readonly captures?: readonly NamePattern[];
  /**
   * For each channel of a multichannel recorder the paths that it may hold, none for one that is
   * not used; absent where captures are of the mix output.
   */
  readonly channels?: readonly (readonly string[])[];
  /** What the interface's outputs are connected to, from the first on; absent where one is patched. */
  readonly outputs?: readonly DeskOutput[];
  /** The buses that a strip can be routed to, in the order of the recorder's channels. */
  readonly buses?: readonly string[];
  /** Nominal voltage of the phantom supply. */
  readonly phantomV: 48 | 24 | 12;
  /** Supply rails of the strips, volts, the positive one first; absent when not known. */
  readonly railsV?: readonly [number, number];
  readonly construction: Construction;
  /** What all paths of a healthy desk keep to; absent where the file says nothing about it. */
  readonly expectations?: Expectations;
  /** Absent where the file says nothing about its age. */
  readonly age?: DeskAge;
  /** How the computer plays and records on its own; absent where the file says nothing about it. */
  readonly audio?: AudioSetup;
  readonly paths: readonly DeskPath[];
}

/** Where on the desk something is: an input of a strip, a strip, a section, or the desk at large. */
export interface DeskPlace {
  /** Absent for what no strip owns. */
  readonly strip?: string;
  readonly input?: string;
  /** What is not a strip: `group 3`, `master`, `PSU A`. */
  readonly section?: string;
  readonly sectionKind?: SectionKind;
}
