import type { DeskroundError } from "../../errors.js";
import { formatDoubt } from "./format-doubt.js";

/** An error is one line; more warnings than this do not help in it. */
const maxTold = 3;

/** The hint of an error, with the warnings that may explain it. */
export function formatErrorHint({ hint, doubts }: DeskroundError): string | undefined {
  if (doubts.length === 0) return hint;
  const more = doubts.length > maxTold ? ` And ${doubts.length - maxTold} more like it.` : "";
  const told = `This may be why: ${doubts.slice(0, maxTold).map(formatDoubt).join(" ")}${more}`;
  return hint === undefined ? told : `${hint} ${told}`;
}
