import type { CutShort, Heard } from "../../not-measured.js";
import { formatCommand } from "../../text/program-name.js";

/** What to do about a file that ends before its header says it should. */
export const cutAdvice =
  "Copy the file again from the recorder; if that one is cut short too, record it again.";

/** How much of a file there is. */
export function formatCutShort({ there, promised, unit }: CutShort): string {
  return `${there} of the ${promised} ${unit === "bytes" ? "bytes of samples" : "sample frames"}`;
}

const invalidAdvice =
  "The program or the disk that wrote them failed: record again, as integers if it happens again.";
const askPatch =
  "Was the signal played into the desk, at its own sample rate, while this was recorded? Check patch, level and rate, then record again.";
const askInput =
  "Check which input of the interface was recorded, the patch and the level, then record again.";

/** What to do about a recording without a whole return, by what it holds instead. */
export function formatHeardAdvice(heard: Heard): string {
  switch (heard.code) {
    case "other-version":
      return `Use the version of deskround that wrote the signal, or write it again with \`${formatCommand("signal")}\` and record again.`;
    case "outputs-mixed":
      return `A pass whose outputs play at once needs a recording channel for each path: record them all, unmixed, or write the signal with outputs that take turns (\`${formatCommand("signal --outputs N --turns")}\`).`;
    case "incomplete":
      return heard.isInvalid
        ? invalidAdvice
        : "Record it again: start recording before the signal plays, stop after its end.";
    case "invalid-samples":
      return invalidAdvice;
    case "digital-silence":
      return "Nothing was recorded: check that the track was armed and not muted, and which input of the interface it used, then record again.";
    case "clipped":
      return "Turn down the interface's input until a healthy path returns about −18 dBFS, then record again.";
    case "silence":
      return askInput;
    case "too-low":
      return "Turn up the interface's input until a healthy path returns about −18 dBFS, then record again.";
    case "no-markers":
      return askPatch;
  }
}
