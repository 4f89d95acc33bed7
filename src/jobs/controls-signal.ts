import { basename, join } from "node:path";
import { type ControlStop, planControlStops } from "../desk/control-stops.js";
import { normalizeName } from "../desk/names.js";
import type { Desk, DeskPath } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import { isOpenNote } from "../service/notebook/is-open-note.js";
import { readNotebook } from "../service/notebook/read.js";
import type { PathSignal } from "../service/run-sheet.js";
import { buildMoves } from "../signal/moves.js";
import { buildSignalTable, chooseBand } from "../signal/signal-table.js";
import type { SignalFormat } from "../signal/signal-wav.js";
import { listFaultyControls } from "./latest-controls.js";

/** What a controls pass plays, path by path, in the order of its walk. */
export interface ControlsSignals {
  readonly paths: readonly DeskPath[];
  readonly signals: ReadonlyMap<string, PathSignal>;
  /** Number of paths in a pass over the whole desk. */
  readonly of: number;
  /** The signal with the most controls to move. */
  readonly longest: PathSignal;
  /** Whether strips with complaints come first, so that a map has to record the order. */
  readonly isReordered: boolean;
}

/**
 * The signals of a controls pass: each control is moved once per strip; strips with open notes, or
 * with faulty controls in the last pass, come first.
 *
 * @param paths the paths to play, in run-sheet order
 * @throws DeskroundError `usage` if nothing can be moved
 */
export async function planControlsSignals(
  desk: Desk,
  folder: string,
  paths: readonly DeskPath[],
  { sampleRate, format }: { readonly sampleRate: number; readonly format: SignalFormat },
): Promise<ControlsSignals> {
  const stops = planControlStops(desk, paths, await listComplained(desk, folder));
  const plain = planControlStops(desk, paths);
  if (stops.length === 0) throw nothingToMove();
  const band = chooseBand(sampleRate);
  const whole = planControlStops(desk);
  const most = whole[0]?.controls.length ?? 0;
  const signals = new Map<string, PathSignal>();
  for (const { path, controls } of stops) {
    const table = buildSignalTable("controls", band, buildMoves(controls));
    const name = nameOf(controls, most, desk);
    signals.set(path.path, { file: `${name}-${sampleRate}-${format}.wav`, table });
  }
  const longest = [...signals.values()].reduce((a, b) =>
    b.table.segments.length > a.table.segments.length ? b : a,
  );
  return {
    of: whole.length,
    paths: stops.map(({ path }) => path),
    signals,
    longest,
    isReordered: stops.some(({ path }, k) => path.path !== plain[k].path.path),
  };
}

/** A signal for all controls keeps its original name; one for some of them is named after these. */
function nameOf(controls: ControlStop["controls"], most: number, desk: Desk): string {
  if (controls.length === most && controls.length >= desk.controls.length - 1) {
    return "deskround-controls";
  }
  const words = controls.map(({ name }) => normalizeName(name).replace(/[^\p{L}\p{N}]+/gu, "-"));
  const all = words.join("+");
  return `controls-${all.length <= 60 ? all : `${words[0]}-and-${words.length - 1}-more`}`;
}

/** Strips with an open note, or a faulty control in the latest pass, in the desk's order. */
async function listComplained(desk: Desk, folder: string): Promise<readonly string[]> {
  const notebook = readNotebook(folder);
  const noted = notebook.entries
    .filter(isOpenNote)
    .flatMap(({ line }) => ("strip" in line && line.strip !== undefined ? [line.strip] : []));
  const wanting = (await listFaultyControls(folder, notebook, [])).map(({ strip }) => strip);
  const names = new Set([...noted, ...wanting].map(normalizeName));
  return desk.strips.filter((strip) => names.has(normalizeName(strip)));
}

const mapStart = "# order of a controls pass";

/** A map that gives `analyze` the order in which paths were played. */
export const orderMapKind = {
  what: "map of a controls pass",
  isOwn: (head: Buffer) => head.toString("utf8", 0, mapStart.length) === mapStart,
};

/** File name of the map of a desk's controls pass. */
export function getOrderMapFile(folder: string): string {
  return join(folder, "controls.map");
}

/** The map of a controls pass: its paths in the order of the run sheet, one per line. */
export function formatOrderMap(paths: readonly DeskPath[]): string {
  return [`${mapStart}, in the order of its run sheet`, ...paths.map(({ path }) => path), ""].join(
    "\n",
  );
}

/** Name of the map as shown on the sheet. */
export function formatMapName(folder: string): string {
  return basename(folder) === "." ? "controls.map" : getOrderMapFile(folder);
}

function nothingToMove(): DeskroundError {
  return new DeskroundError(
    "usage",
    "None of these paths has a control of its own to move.",
    "Controls shared by all inputs of a strip are moved at its first path: name that, or the strip.",
  );
}
