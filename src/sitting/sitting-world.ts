import type { Desk, DeskPath } from "../desk/types.js";
import type { UsedCalibration } from "../history/types.js";
import type { SignalTable } from "../signal/types.js";
import type { ChainCheck } from "./check-chain.js";
import type { Journal } from "./journal.js";
import type { SittingEvent } from "./sitting-events.js";
import type { SittingState } from "./sitting-state.js";
import type { Decision, SittingCommand } from "./types.js";

/** What a sitting works with. */
export interface SittingOptions {
  readonly desk: Desk;
  /** The desk's folder. */
  readonly folder: string;
  /** File or folder, absolute. */
  readonly target: string;
  readonly leftAlone: readonly string[];
  /** In run-sheet order. */
  readonly wanted: readonly DeskPath[];
  readonly calibration: UsedCalibration | undefined;
  /** The signal that was played, if the user names it. */
  readonly played: SignalTable | undefined;
  readonly journal: Journal;
  /** What was decided in the same sitting before. */
  readonly decisions: readonly Decision[];
  /** Ends on its own once each path has had its turn and the recording has stopped. */
  readonly end: "by-command" | "when-complete";
  /** ISO 8601. */
  readonly date: string;
}

/** A sitting's interface to the outside world. */
export interface SittingWorld {
  readonly tell: (event: SittingEvent) => void;
  /** Commands that came since the last look, in their order. */
  readonly takeCommands: () => readonly SittingCommand[];
  /** Plays the signal and records it into a file; absent if a person does both. */
  readonly play?: (recording: string) => Promise<void>;
  /** Plays a soft signal and looks at what comes back. */
  readonly checkChain?: () => Promise<ChainCheck>;
  /** Writes a note at a path into the notebook. */
  readonly note: (path: string, text: string) => void;
  /** A clock that never goes back, seconds. */
  readonly nowS: () => number;
  readonly wait: (ms: number) => Promise<void>;
}

/** How a sitting ended. */
export interface SittingOutcome {
  readonly state: SittingState;
  readonly how: "end" | "leave";
  /** Recordings that returns of it lie in, in the order in which they began. */
  readonly files: readonly string[];
  /** Whether the channels of a recording are paths. */
  readonly isOnChannels: (file: string) => boolean;
}
