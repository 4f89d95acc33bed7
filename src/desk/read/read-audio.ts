import { type AudioSetup, filePlaceholder } from "../audio.js";
import type { DeskText } from "../schema.js";
import type { DeskFileIssue } from "./fault.js";

/** Reads how the computer plays and records. */
export function readAudio(
  { play, record, output, input, channels }: NonNullable<DeskText["audio"]>,
  faults: DeskFileIssue[],
): AudioSetup {
  for (const [key, command] of Object.entries({ play, record })) {
    if (typeof command === "string" || command.some((word) => word.includes(filePlaceholder))) {
      continue;
    }
    faults.push({
      place: ["audio", key],
      at: "value",
      message: `the command of "${key}" names no file.`,
      hint: `Write ${filePlaceholder} where the file's name belongs, e.g. [mytool, "${filePlaceholder}"]`,
    });
  }
  return {
    play,
    record,
    ...(output === undefined ? {} : { output }),
    ...(input === undefined ? {} : { input }),
    channels,
  };
}
