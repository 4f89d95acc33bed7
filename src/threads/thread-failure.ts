import type { Doubt } from "../doubt.js";
import { DeskroundError, type ErrorCode } from "../errors.js";

/** What a task threw. An error loses its class on the way to another thread. */
export interface SerializedError {
  readonly error: unknown;
  readonly deskround?: {
    readonly code: ErrorCode;
    readonly hint: string | undefined;
    readonly doubts: readonly Doubt[];
  };
}

/** What was thrown in a thread, to be sent. */
export function serializeError(error: unknown): SerializedError {
  if (!(error instanceof DeskroundError)) return { error };
  const { code, hint, doubts } = error;
  return { error, deskround: { code, hint, doubts } };
}

/** What was sent, to be thrown. */
export function deserializeError({ error, deskround }: SerializedError): unknown {
  if (deskround === undefined || !(error instanceof Error)) return error;
  const { code, hint, doubts } = deskround;
  return new DeskroundError(code, error.message, hint, error.cause, doubts);
}
