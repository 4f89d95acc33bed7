import type { Doubt } from "../doubt.js";
import { DeskroundError, type ErrorCode } from "../errors.js";

/** What a task threw. An error loses its class when it is sent to another thread. */
export interface SerializedError {
  readonly error: unknown;
  readonly deskround?: {
    readonly code: ErrorCode;
    readonly hint: string | undefined;
    readonly doubts: readonly Doubt[];
  };
}

/** Converts what was thrown in a thread, for sending. */
export function serializeError(error: unknown): SerializedError {
  if (!(error instanceof DeskroundError)) return { error };
  const { code, hint, doubts } = error;
  return { error, deskround: { code, hint, doubts } };
}

/** Converts what was sent back, for throwing. */
export function deserializeError({ error, deskround }: SerializedError): unknown {
  if (deskround === undefined || !(error instanceof Error)) return error;
  const { code, hint, doubts } = deskround;
  return new DeskroundError(code, error.message, hint, error.cause, doubts);
}
