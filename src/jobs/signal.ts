import { readFileSync, statSync } from "node:fs";
import { basename, join } from "node:path";
import { parseWantedPaths } from "../analysis/place/wanted-paths.js";
import { assertOwnFile } from "../assert-own-file.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read/read-desk.js";
import { DeskroundError } from "../errors.js";
import { getControlsPassFolder, readRound } from "../history/store.js";
import { getSheetFormat } from "../report/sheet/form.js";
import { buildRunSheetResults } from "../report/sheet/round-results.js";
import { buildRunSheet, type RunSheet } from "../service/run-sheet.js";
import { buildMoves } from "../signal/moves.js";
import { signalKind } from "../signal/own-files.js";
import { buildSignalTable, chooseBand } from "../signal/signal-table.js";
import { encodeSignalWav, type SignalFormat } from "../signal/signal-wav.js";
import type { Profile } from "../signal/types.js";
import { writeForAnywhere } from "../text/program-name.js";
import { writeFileAtomic } from "../write-file-atomic.js";
import {
  formatMapName,
  formatOrderMap,
  getOrderMapFile,
  orderMapKind,
  planControlsSignals,
} from "./controls-signal.js";
import { readDangers } from "./read-dangers.js";
import { assertSheetTarget, writeSheet } from "./write-sheet.js";

/** What `signal` is asked to do. */
export interface SignalRequest {
  /** Folder that holds desk.yaml, or the desk file itself. */
  readonly desk: string;
  readonly profile: Profile;
  readonly sampleRate: number;
  readonly format: SignalFormat;
  /** Where the WAV file goes; into the desk's folder when absent. */
  readonly out?: string;
  /** Whether an earlier signal or sheet is replaced. */
  readonly write: "new" | "replace";
  /** `sheet` writes no WAV file. */
  readonly files: "all" | "sheet";
  /** File for the run sheet, .txt, .md or .html; none when absent. */
  readonly sheet?: string;
  /** Strips or paths on the run sheet, e.g. for a re-test; all when absent. */
  readonly only?: readonly string[];
  /** Id of a round, or `last`, whose results fill the run sheet's column. */
  readonly heard?: string;
}

export interface SignalResult {
  /** The WAV file; with `files: "sheet"` the one that would have been written. */
  readonly file: string;
  /** `kept`: an identical file existed. */
  readonly wav: "written" | "kept" | "left out";
  /** Further files of a controls pass, with fewer controls. */
  readonly more?: readonly Pick<SignalResult, "file" | "wav">[];
  readonly sheet: RunSheet;
}

/**
 * Writes the test signal and makes the run sheet that goes with it.
 *
 * @throws DeskroundError `desk-file`; `usage` for paths the desk does not have; `round-file`;
 *   `cannot-write` when a different file exists and is not to be replaced
 */
export async function makeSignal(request: SignalRequest): Promise<SignalResult> {
  const { profile, sampleRate, format, write } = request;
  const desk = readDesk(request.desk);
  const folder = getDeskFolder(request.desk);
  const band = chooseBand(sampleRate);
  const form = request.sheet === undefined ? undefined : getSheetFormat(request.sheet);
  const wanted =
    request.only === undefined ? desk.paths : parseWantedPaths(request.only, desk.paths);
  // With `out` there is one file for all paths, with all controls.
  const moved =
    profile === "controls" && request.out === undefined
      ? await planControlsSignals(desk, folder, wanted, request)
      : undefined;
  const paths = moved?.paths ?? wanted;
  const table = moved?.longest.table ?? buildSignalTable(profile, band, buildMoves(desk.controls));
  const name = moved?.longest.file ?? `deskround-${profile}-${sampleRate}-${format}.wav`;
  const file = request.out ?? join(folder, name);
  const further = new Map([...(moved?.signals ?? [])].map(([, one]) => [one.file, one.table]));
  further.delete(name);
  const heard =
    request.heard === undefined
      ? undefined
      : buildRunSheetResults(
          await readRound(
            profile === "controls" ? getControlsPassFolder(folder) : folder,
            request.heard,
          ),
        );
  const dangers = await readDangers(request.desk, desk.sections);
  const build = () =>
    buildRunSheet(desk, table, {
      sampleRate,
      file: basename(file),
      paths,
      ...(moved === undefined || further.size === 0 ? {} : { signals: moved.signals }),
      ...(moved === undefined ? {} : { of: moved.of }),
      ...(moved?.isReordered ? { map: formatMapName(folder) } : {}),
      ...(heard === undefined ? {} : { heard }),
      dangers,
    });
  const sheet = request.sheet === undefined ? build() : writeForAnywhere(build);
  const target =
    request.sheet === undefined || form === undefined
      ? undefined
      : { file: request.sheet, form, write };
  if (target) assertSheetTarget(target, request.files === "sheet" ? [] : [file]);
  if (request.files !== "sheet" && write === "replace") assertOwnFile(file, signalKind);
  const wav =
    request.files === "sheet"
      ? "left out"
      : writeSignal(file, encodeSignalWav(table, sampleRate, format), write);
  const more = [...further].map(([other, own]) => {
    const at = join(folder, other);
    if (request.files === "sheet") return { file: at, wav: "left out" as const };
    return { file: at, wav: writeSignal(at, encodeSignalWav(own, sampleRate, format), write) };
  });
  if (moved?.isReordered) {
    writeFileAtomic(getOrderMapFile(folder), formatOrderMap(paths), orderMapKind);
  }
  if (target) writeSheet(target, () => target.form.render(sheet));
  return { file, wav, ...(more.length === 0 ? {} : { more }), sheet };
}

function writeSignal(
  file: string,
  wav: Uint8Array,
  write: SignalRequest["write"],
): "written" | "kept" {
  if (writeFileAtomic(file, wav, write === "new" ? "new" : signalKind) === "written")
    return "written";
  if (holds(file, wav)) return "kept";
  throw new DeskroundError(
    "cannot-write",
    `${file} exists already and was left as it is.`,
    "--sheet-only prints its run sheet, --force replaces an earlier test signal, --out names another file.",
  );
}

/** Whether a file has these bytes; false if it cannot be read. */
function holds(file: string, bytes: Uint8Array): boolean {
  try {
    return statSync(file).size === bytes.length && readFileSync(file).equals(bytes);
  } catch {
    return false;
  }
}
