import { basename, join } from "node:path";
import { deskFolder } from "../desk/locate.js";
import { readDesk } from "../desk/read.js";
import { DeskroundError } from "../errors.js";
import { type RunSheet, runSheet } from "../service/run-sheet.js";
import { type SignalFormat, signalWav } from "../signal/file.js";
import { bandFor, signalTable } from "../signal/profiles.js";
import type { Profile } from "../signal/table.js";
import { type WriteMode, writeWhole } from "../write-whole.js";

/** What `signal` is asked to do. */
export interface SignalRequest {
  /** Folder that holds desk.yaml, or the desk file itself. */
  readonly desk: string;
  readonly profile: Profile;
  readonly sampleRate: number;
  readonly format: SignalFormat;
  /** Where the WAV file goes; into the desk's folder when absent. */
  readonly out?: string;
  /** `sheet-only` writes no WAV file. */
  readonly write: WriteMode | "sheet-only";
}

export interface SignalResult {
  /** The WAV file; with `sheet-only` the one that would have been written. */
  readonly file: string;
  readonly sheet: RunSheet;
}

/**
 * Writes the test signal and makes the run sheet that goes with it.
 *
 * @throws DeskroundError `desk-file`; `cannot-write` when the file exists and is not to be replaced
 */
export function makeSignal(request: SignalRequest): SignalResult {
  const { profile, sampleRate, format, write } = request;
  const desk = readDesk(request.desk);
  const table = signalTable(profile, bandFor(sampleRate));
  const name = `deskround-${profile}-${sampleRate}-${format}.wav`;
  const file = request.out ?? join(deskFolder(request.desk), name);
  if (write !== "sheet-only") {
    const wav = signalWav(table, sampleRate, format);
    if (writeWhole(file, wav, write) === "exists") {
      throw new DeskroundError(
        "cannot-write",
        `${file} exists already and was left as it is.`,
        "--sheet-only prints its run sheet, --force replaces it, --out names another file.",
      );
    }
  }
  return { file, sheet: runSheet(desk, table, { sampleRate, file: basename(file) }) };
}
