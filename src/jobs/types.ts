import type { MeterReading } from "../measure/calibration/meter.js";

/** What `analyze` is asked to do. */
export interface AnalyzeRequest {
  /** Folder that holds desk.yaml and rounds/, or the desk file itself. */
  readonly desk: string;
  /** Capture files in the order they were recorded. */
  readonly captures: readonly string[];
  /**
   * Which path each return belongs to, when it is neither the run sheet's order nor the file's
   * name: a list `1/mic,2/mic`, or the name of a text file with one path a line.
   */
  readonly map?: string;
  /** Paths that were patched but gave nothing back, so that the order still counts. */
  readonly silent: readonly string[];
  /**
   * The only strips (`7`), paths (`7/mic`) or inputs (`mic`) that are wanted: the round is then a
   * partial one. All of the desk when absent.
   */
  readonly only?: readonly string[];
  /** Which takes count where it is not the rule that decides: `7/mic=1`; none when absent. */
  readonly takes?: readonly string[];
  /** The signal that was played, when the capture alone should not decide it. */
  readonly signalFile?: string;
  /** Day of the round, YYYY-MM-DD; today when absent. */
  readonly date?: string;
  /** Id of the round that this one replaces, or `last`: it is withdrawn once this one is stored. */
  readonly replaces?: string;
  /** `preview` measures and prints, but leaves the folder as it was. */
  readonly keep: "store" | "preview";
  /** `leave-out` measures in dBFS even where the desk has a calibration; used when absent. */
  readonly calibration?: "use" | "leave-out";
}

/** What `calibrate` is asked to do. */
export interface CalibrateRequest {
  /** Folder that holds desk.yaml, or the desk file itself. */
  readonly desk: string;
  /** Recordings of the signal through the interface alone. */
  readonly captures: readonly string[];
  /** At the interface's output while the 1 kHz tone plays at its nominal level. */
  readonly outputVolts: MeterReading;
  /** At its input, when a pad lies between; the output's when absent. */
  readonly inputVolts?: MeterReading;
  /** Expanded uncertainty (95 %) of the meter, per cent. */
  readonly meterPercent: number;
  /** Day of the calibration, YYYY-MM-DD; today when absent. */
  readonly date?: string;
}

/** What `demo` is asked to do. */
export interface DemoRequest {
  /** Folder of the virtual desk; made when absent. */
  readonly folder: string;
  /** Draws another desk with other faults; absent for the desk of the documentation. */
  readonly seed?: number;
}
