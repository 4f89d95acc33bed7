import { toDisplayName } from "../capture/containers/open-file.js";
import type { RoundPath, TakeChoice } from "../history/types.js";
import { isBound } from "../measure/is-bound.js";
import { getOwnVariance } from "../measure/own-uncertainty.js";
import { readingKinds } from "../measure/reading-kinds.js";
import type { Reading } from "../measure/types.js";
import { formatSigned } from "../text/format-signed.js";
import { formatReading, getDecimals } from "./format-reading.js";
import { renderTable } from "./table.js";
import { wrapText } from "./wrap.js";

const why: Readonly<Record<TakeChoice, string>> = {
  latest: "counts, as the latest",
  health: "counts, because later ones are worse",
  asked: "counts, as was asked for",
};

/** The takes of a path that was recorded more than once, and how well they agree. */
export function formatTakeLines(path: RoundPath, width: number): readonly string[] {
  const { take, otherTakes = [] } = path;
  if (take?.number === undefined || otherTakes.length === 0) return [];
  const states = [
    { ...take, number: take.number, state: why[take.chosen ?? "latest"] },
    ...otherTakes.map((one) => ({ ...one, state: stateOf(one) })),
  ].sort((a, b) => a.number - b.number);
  const lines = states.flatMap(({ number, file, state }) =>
    wrapText(`${toDisplayName(file)}: ${state}`, width, `  ${number}  `, "       "),
  );
  return ["", "TAKES", ...lines, ...differenceLines(path, width)];
}

function stateOf({ status, reason }: { status: string; reason?: string }): string {
  if (status === "unusable") return reason ?? "unusable";
  return reason === undefined ? "measured too" : `measured too, though ${reason}`;
}

/** Readings by which takes differ more than their uncertainties allow. */
function differenceLines(path: RoundPath, width: number): readonly string[] {
  const others = (path.otherTakes ?? []).filter(({ status }) => status === "measured");
  if (others.length === 0 || path.status !== "measured") return [];
  let compared = 0;
  const rows = readingKinds.flatMap(({ id, name }) => {
    const own = path.readings[id];
    const pairs = others.flatMap(({ number, readings: { [id]: other } }) => {
      if (!own || !other || isBound(own) || isBound(other)) return [];
      return [{ number, off: other.value - own.value, allowed: allowedOff(own, other) }];
    });
    if (!own || pairs.length === 0) return [];
    compared++;
    const worst = pairs.reduce((a, b) => (Math.abs(b.off) > Math.abs(a.off) ? b : a));
    if (pairs.every(({ off, allowed }) => Math.abs(off) <= allowed)) return [];
    const off = `${worst.off > 0 ? "+" : ""}${formatSigned(worst.off.toFixed(getDecimals(own.uncertainty)))} ${own.unit}`;
    return [[name, formatReading(own), others.length > 1 ? `${off} (take ${worst.number})` : off]];
  });
  if (compared === 0) return [];
  if (rows.length === 0) {
    return ["", ...wrapText("The takes agree in all readings, within their uncertainty.", width)];
  }
  const columns = [
    { head: "reading", width: 32 },
    { head: "the take that counts", width: 26 },
    { head: "another one", width: 22 },
  ];
  return ["", "WHERE THE TAKES DIFFER beyond their uncertainty", renderTable(columns, rows)];
}

/**
 * The difference allowed between two readings of one thing: their common calibration error cancels
 * (JCGM 100, 5.2).
 */
function allowedOff(a: Reading, b: Reading): number {
  return Math.sqrt(getOwnVariance(a) + getOwnVariance(b));
}
