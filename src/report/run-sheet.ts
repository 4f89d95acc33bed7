import type { RunSheet, RunSheetInput, RunSheetPatch } from "../service/run-sheet.js";
import { wrap } from "./wrap.js";

/** Fits a terminal and a page of A4 or letter. */
const width = 80;

/** The run sheet as plain text, to print and tick. */
export function renderRunSheet(sheet: RunSheet): string {
  return [
    ...heading(sheet),
    "",
    "BEFORE ANYTHING PLAYS",
    ...sheet.cautions.flatMap((caution) => wrap(caution, width, "  !  ", "     ")),
    "",
    "SETTING UP",
    ...sheet.steps.flatMap((step, i) => wrap(step, width, numbered(i + 1), "     ")),
    ...(sheet.order === "by-strip" ? byStrip(sheet) : byInput(sheet)),
    "",
    "AFTERWARDS",
    ...wrap("deskround analyze <the recordings, in the order they were made>", width, "     "),
    "",
  ].join("\n");
}

function heading({ desk, signal, patches, patchingS, totalS }: RunSheet): readonly string[] {
  const rate = `${signal.sampleRate / 1000} kHz`;
  const each = `${signal.lengthS.toFixed(1)} s of signal and about ${patchingS} s of patching each`;
  return [
    ...wrap(desk, width, "RUN SHEET   ", "            "),
    ...wrap(`${signal.file} (${signal.profile}, ${rate})`, width, "signal      ", "            "),
    `paths       ${patches.length}, ${each}`,
    `time        about ${duration(totalS)}`,
  ];
}

/** Input by input: the set-up stands once above its strips. */
function byInput({ inputs, patches }: RunSheet): readonly string[] {
  return inputs.flatMap((input) => {
    const own = patches.filter((patch) => patch.input === input.name);
    return own.length === 0 ? [] : ["", ...inputLines(input), ...patchLines(own, patches)];
  });
}

/** Strip by strip: all set-ups first, then the strips. */
function byStrip({ inputs, patches }: RunSheet): readonly string[] {
  const strips = [...new Set(patches.map(({ strip }) => strip))];
  return [
    ...inputs.flatMap((input) => ["", ...inputLines(input)]),
    ...strips.flatMap((strip) => {
      const own = patches.filter((patch) => patch.strip === strip);
      return ["", `STRIP ${strip}`, ...patchLines(own, patches)];
    }),
  ];
}

function inputLines({ name, nominalDbu, nominalVolts, setup, padDb }: RunSheetInput): string[] {
  const pad = padDb === undefined ? "" : `, pad of ${padDb} dB`;
  return [
    ...wrap(`${name}: ${dbu(nominalDbu)} (${volts(nominalVolts)}) at the socket${pad}`, width),
    ...(setup === "" ? [] : wrap(setup, width, "     ")),
  ];
}

function patchLines(own: readonly RunSheetPatch[], all: readonly RunSheetPatch[]): string[] {
  const numberWidth = String(all.length).length;
  const pathWidth = Math.max(...all.map(({ path }) => path.length));
  return own.map(({ number, path, nominalDbu }) => {
    const columns = [
      "[ ]",
      String(number).padStart(numberWidth),
      path.padEnd(pathWidth),
      dbu(nominalDbu).padStart(9),
    ];
    const row = `${columns.join("  ")}  `;
    return row + "_".repeat(Math.max(0, width - row.length));
  });
}

function numbered(number: number): string {
  return `${String(number).padStart(3)}. `;
}

function dbu(level: number): string {
  return `${level > 0 ? "+" : ""}${level.toFixed(1)} dBu`;
}

/** Three figures, in the unit a meter would show. */
function volts(value: number): string {
  return value < 1 ? `${(value * 1000).toPrecision(3)} mV` : `${value.toPrecision(3)} V`;
}

/** Whole minutes, with hours when there are any. */
export function duration(seconds: number): string {
  const minutes = Math.max(1, Math.round(seconds / 60));
  const hours = Math.floor(minutes / 60);
  return hours === 0 ? `${minutes} min` : `${hours} h ${minutes % 60} min`;
}
