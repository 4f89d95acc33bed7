import type { DeskroundError } from "../../errors.js";
import { formatDoubt } from "./format-doubt.js";

/** A refusal is one line; more doubts than this are no help in it. */
const maxTold = 3;

/** The hint of a refusal, with the doubts that may be why. */
export function formatErrorHint({ hint, doubts }: DeskroundError): string | undefined {
  if (doubts.length === 0) return hint;
  const more = doubts.length > maxTold ? ` And ${doubts.length - maxTold} more like it.` : "";
  const told = `This may be why: ${doubts.slice(0, maxTold).map(formatDoubt).join(" ")}${more}`;
  return hint === undefined ? told : `${hint} ${told}`;
}
