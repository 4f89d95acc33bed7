import type { Doubt } from "./doubt.js";

/** The kind of error; programs may switch on it, people read the message. */
export type ErrorCode =
  | "usage"
  | "no-such-file"
  | "cannot-write"
  | "not-a-recording"
  | "recording-damaged"
  | "recording-unsupported"
  | "no-return"
  | "signal-version"
  | "desk-file"
  | "limits-file"
  | "round-file"
  | "calibration-file"
  | "notebook-file"
  | "loopback";

/**
 * The one error family of the program: something the person at the desk can fix. `message` says
 * what is wrong and where, `hint` what to do next. Anything else that is thrown is a bug of ours
 * and is shown as one.
 */
export class DeskroundError extends Error {
  readonly code: ErrorCode;
  readonly hint: string | undefined;
  /** Possible reasons, as data; printed after the hint. */
  readonly doubts: readonly Doubt[];

  constructor(
    code: ErrorCode,
    message: string,
    hint?: string,
    cause?: unknown,
    doubts: readonly Doubt[] = [],
  ) {
    super(message, cause === undefined ? undefined : { cause });
    this.name = "DeskroundError";
    this.code = code;
    this.hint = hint;
    this.doubts = doubts;
  }
}

/** Exit codes of every command, as README.md explains them. */
export const exitCode = {
  done: 0,
  checkFailed: 1,
  unusable: 2,
  incomplete: 3,
} as const;
