import type { NextCheck } from "../diagnose/checks/types.js";
import type { Cause } from "../diagnose/types.js";
import type { Doubt } from "../doubt.js";
import type { InputCalibration } from "../measure/calibration/types.js";
import type { ControlReport } from "../measure/controls/types.js";
import type { Curves, LevelStep, Reading, Readings, ReturnEvent } from "../measure/types.js";
import type { NotMeasured, TakeFault } from "../not-measured.js";
import type { ReferenceDrift, ReferencePoint } from "../rank/shared/reference/types.js";
import type { SharedFault } from "../rank/shared/types.js";
import type { JudgedSum } from "../rank/sums.js";
import type { Finding, Observation } from "../rank/types.js";
import type { Remark } from "../remark.js";
import type { StoredAbsences } from "./absences.js";

/** One capture file as it was when measured. */
export interface RoundCapture {
  readonly file: string;
  readonly sha256: string;
  readonly sampleRate: number;
  readonly bits: number;
  readonly channels: number;
  readonly frames: number;
}

/** Where a path's return was found. */
export interface RoundTake {
  readonly file: string;
  /** The file in which it ends, if the recorder split the capture within it. */
  readonly endsIn?: string;
  readonly channel: number;
  /** Output of the interface that played it, in a pass, from 1. */
  readonly output?: number;
  /** Channel of the other side of a stereo bus. */
  readonly partnerChannel?: number;
  readonly startSample: number;
  readonly driftPpm: number;
  /** Which of the path's takes it is, from 1, the latest last; absent if it is the only one. */
  readonly number?: number;
  /** Why this one of several counts; absent if it is the only one. */
  readonly chosen?: TakeChoice;
}

/** `latest`: the default; `health`: later ones are worse; `asked`: chosen by the user. */
export type TakeChoice = "latest" | "health" | "asked";

/** A take of a path that does not count: kept for what it shows about repeatability. */
export interface OtherTake extends Omit<RoundTake, "chosen"> {
  readonly number: number;
  readonly status: "measured" | "unusable";
  /** What is wrong with its recording, even if it could be measured, in words. */
  readonly reason?: string;
  /** The same as data; absent in older rounds. */
  readonly because?: TakeFault;
  /** In the units of the path's own readings; empty if it is unusable. */
  readonly readings: Readings;
}

/** What a control did, as a round keeps it. */
export interface RoundControl extends ControlReport {
  /** What that points to, in words; absent when sound. */
  readonly points?: string;
}

/** What was measured on the second side of a stereo bus. */
export interface RoundSide extends StoredAbsences {
  readonly side: "left" | "right";
  readonly readings: Readings;
  readonly curves: Curves;
}

/** A finding as a round keeps it. */
export interface RoundFinding extends Omit<Finding, "observation"> {
  /** Absent in older rounds, which have only the words. */
  readonly observation?: Observation;
  /** The same in words: "noise 9.1 dB above its siblings". */
  readonly words?: string;
}

export interface RoundPath extends StoredAbsences {
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  readonly family: string;
  readonly status: "measured" | "missing" | "unusable";
  /** Why it was not measured, in words. */
  readonly reason?: string;
  /** The same as data; absent in older rounds. */
  readonly because?: NotMeasured;
  readonly take?: RoundTake;
  /** Its other takes, in the order of their numbers; absent if there are none. */
  readonly otherTakes?: readonly OtherTake[];
  readonly readings: Readings;
  readonly curves: Curves;
  /** Clicks and clipping in the return, in the order of time; absent if there are none. */
  readonly marks?: readonly ReturnEvent[];
  /** The level steps, the lowest first; absent if the signal has fewer than two. */
  readonly steps?: readonly LevelStep[];
  /** The other side of a bus that was recorded in stereo. */
  readonly partner?: RoundSide;
  /** What each control did, of a controls pass; readings and findings are empty then. */
  readonly controls?: readonly RoundControl[];
  /** How far the path is from its siblings; 0 for a typical one. */
  readonly oddness: number;
  /** 1 for the oddest; absent for paths that could not be ranked. */
  readonly rank?: number;
  readonly findings: readonly RoundFinding[];
  readonly causes: readonly Cause[];
  /**
   * The check that pays best, worked out from the causes whenever the path is shown; never stored,
   * since what is checked changes it.
   */
  readonly next?: NextCheck;
}

/** Which signal was played, and at how many samples per second it was recorded. */
export interface RoundSignal {
  readonly id: string;
  readonly version: number;
  readonly profile: string;
  readonly band: string;
  readonly sampleRate: number;
  readonly nominalDbfs: number;
}

/** The interface alone, measured with a loopback and a voltmeter. */
export interface Calibration {
  readonly format: "deskround-calibration";
  readonly version: 1;
  /** ISO 8601 with time. */
  readonly date: string;
  readonly desk: { readonly name: string; readonly mainsHz: number };
  readonly tool: { readonly name: "deskround"; readonly version: string };
  readonly signal: RoundSignal;
  /** What the meter showed while the 1 kHz tone played at its nominal level, V r.m.s. */
  readonly volts: {
    readonly output: Volts;
    readonly input: Volts;
    /** Expanded uncertainty (95 %) of the meter, per cent of the voltage. */
    readonly meterPercent: number;
  };
  /** Level at the output that 0 dBFS stands for, dBu. */
  readonly outputFullScale: Reading;
  /** The inputs that were patched, by channel. */
  readonly inputs: readonly InputCalibration[];
  readonly captures: readonly RoundCapture[];
  readonly warnings: readonly string[];
}

export interface Volts {
  readonly value: number;
  /** Expanded, 95 %. */
  readonly uncertainty: number;
}

/** The calibration of a round, complete, so that the round does not depend on the file. */
export interface UsedCalibration extends Calibration {
  /** Checksum of calibration.json as it was. */
  readonly sha256: string;
}

/** The desk that a round is of. */
export interface RoundDesk {
  /** Stays the same if the name changes; absent if the desk file had none. */
  readonly id?: string;
  readonly name: string;
  readonly mainsHz: number;
}

/** What several paths have in common, and the cause that shows in it. */
export interface RoundShared extends SharedFault {
  /** Id of the likely cause; absent if several give the same. */
  readonly cause?: string;
}

/** The reference path as it was measured before all other paths, or after them. */
export interface MeasuredReferenceTurn extends StoredAbsences {
  readonly turn: "first" | "last";
  readonly status: "measured" | "unusable";
  /** Why it was not measured, in words. */
  readonly reason?: string;
  /** The same as data; absent in older rounds. */
  readonly because?: NotMeasured;
  readonly take: RoundTake;
  /** Empty where it is unusable. */
  readonly readings: Readings;
  readonly curves: Curves;
}

/** The path that bypasses all strips: bus, master and interface alone. */
export interface RoundReference {
  /** As the desk file names it. */
  readonly name: string;
  /** Where it enters: the mix insert's return, or a spare input of the bus. */
  readonly into: ReferencePoint;
  /** Those that were recorded, the first one first. */
  readonly turns: readonly MeasuredReferenceTurn[];
  /** What changed from the first to the last; absent if nothing did, or one of them is missing. */
  readonly drift?: ReferenceDrift;
}

/** All readings of a desk made on one occasion; kept for ever. */
export interface Round {
  readonly format: "deskround-round";
  readonly version: 1;
  /** `<date>-<nn>`, also the file's name. */
  readonly id: string;
  readonly desk: RoundDesk;
  /** ISO 8601 with time. */
  readonly date: string;
  readonly tool: { readonly name: "deskround"; readonly version: string };
  readonly signal: RoundSignal;
  /** null: levels are dBFS, gains relative. */
  readonly calibration: UsedCalibration | null;
  /** Set where only some paths of the desk were wanted: `paths` holds these and no others. */
  readonly partial?: { readonly wanted: readonly string[] };
  readonly captures: readonly RoundCapture[];
  /** Doubts about finding and assignment, in words. */
  readonly warnings: readonly string[];
  /** The same as data; absent in older rounds. */
  readonly doubts?: readonly Doubt[];
  /** What several strips have in common, in words. */
  readonly remarks: readonly string[];
  /** The same as data; absent if there is nothing, and in rounds made before it was kept. */
  readonly inCommon?: readonly Remark[];
  /** Faults that several paths share, the most serious first; absent if there are none. */
  readonly shared?: readonly RoundShared[];
  /** What strips that were open at once gave together; absent if each was recorded alone. */
  readonly sums?: readonly JudgedSum[];
  /** Absent if the desk file names no such path, or it was not recorded. */
  readonly reference?: RoundReference;
  readonly paths: readonly RoundPath[];
}
