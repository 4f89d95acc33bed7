import type { RunSheet, RunSheetMove, RunSheetPatch } from "../../service/run-sheet.js";
import { formatCount } from "../../text/format-count.js";
import { formatCommand } from "../../text/program-name.js";
import { listDangerCautions } from "../danger.js";

/** What can hurt people or the desk, open dangers first. */
export function listSheetCautions({
  dangers,
  cautions,
}: Pick<RunSheet, "dangers" | "cautions">): readonly string[] {
  return [...listDangerCautions(dangers), ...cautions];
}

/** The head of a run sheet, in pairs of a label and a text. */
export function formatHeadLines({
  desk,
  signal,
  patches,
  partial,
  purpose,
  work,
  handsS,
  totalS,
  others = [],
}: RunSheet): readonly (readonly [word: string, text: string])[] {
  const rate = `${signal.sampleRate / 1000} kHz`;
  const some =
    partial === undefined
      ? ""
      : ` of ${partial.of}, ${purpose === "retest" ? "a re-test" : "those asked for"}`;
  const past = patches.filter(({ reference }) => reference !== undefined).length;
  const withReference = past === 0 ? "" : ", and the reference path first and last";
  const lengths = [signal.lengthS, ...others.map(({ lengthS }) => lengthS)];
  const shortest = Math.min(...lengths);
  const upTo = shortest < signal.lengthS ? `${shortest.toFixed(1)} to ` : "";
  const each = `${upTo}${Math.max(...lengths).toFixed(1)} s of signal each`;
  const hands = [
    formatCount(work.plugs, "plug"),
    formatCount(work.pads, "pad change"),
    formatCount(work.mutes, "mute"),
    `${work.controls} controls to set or look at`,
  ].join(", ");
  const playing = formatDuration(totalS - handsS);
  return [
    ["desk", desk],
    ["signal", `${signal.file} (${signal.profile}, ${rate})`],
    ["paths", `${patches.length - past}${some}, ${each}${withReference}`],
    ["by hand", hands],
    [
      "time",
      `about ${formatDuration(totalS)}: ${playing} of signal, the rest patching and setting controls`,
    ],
  ];
}

/** In a command, stands for the files that the user names. */
export const recordings = "<the recordings, in the order they were made>";

/** What to type when all is recorded. */
export function formatAnalyzeCommand({ patches, partial, purpose, map }: RunSheet): string {
  // A re-test finds its paths itself.
  if (purpose === "retest") return formatCommand("analyze --retest", recordings);
  if (map !== undefined) return formatCommand(`analyze --map ${map}`, recordings);
  const own = patches.filter(({ reference }) => reference === undefined);
  const only = partial === undefined ? "" : ` --only ${own.map(({ path }) => path).join(",")}`;
  return formatCommand(`analyze${only}`, recordings);
}

/** Level at the socket: "-40.0 dBu (7.75 mV)". */
export function formatLevel(patch: { nominalDbu: number; nominalVolts: number }): string {
  return `${formatDbu(patch.nominalDbu)} (${formatVolts(patch.nominalVolts)})`;
}

/** What to do with the pad box before plugging; empty if it stays as it is. */
export function formatPad({ pad, padDb }: RunSheetPatch): string {
  if (pad === "as it is") return padDb === undefined ? "" : `through the ${padDb} dB pad`;
  if (pad === "out") return "PAD OUT first";
  return `${pad === "in" ? "PAD IN" : "CHANGE THE PAD"} first: ${padDb} dB`;
}

/** A level with its sign: "+4.0 dBu". */
export function formatDbu(level: number): string {
  return `${level > 0 ? "+" : ""}${level.toFixed(1)} dBu`;
}

/** Three figures, in the unit a meter would show. */
export function formatVolts(value: number): string {
  return value < 1 ? `${(value * 1000).toPrecision(3)} mV` : `${value.toPrecision(3)} V`;
}

/** Whole minutes, with hours when there are any. */
export function formatDuration(seconds: number): string {
  const minutes = Math.max(1, Math.round(seconds / 60));
  const hours = Math.floor(minutes / 60);
  return hours === 0 ? `${minutes} min` : `${hours} h ${minutes % 60} min`;
}

/** The moves of each file that has any. */
export function listMoveTables({ moves, others = [], signal }: RunSheet) {
  const all = [{ file: signal.file, moves }, ...others];
  return all.filter((one) => one.moves.length > 0);
}

/** When a control is moved: count-in, tone, silence. */
export function formatMoveCells(move: RunSheetMove): readonly [string, string, string, string] {
  return [clock(move.countInS), clock(move.fromS), clock(move.quietS), clock(move.untilS)];
}

export const moveHeads = ["count-in", "tone from", "silence", "until"] as const;

/** Minutes and seconds. */
function clock(seconds: number): string {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
