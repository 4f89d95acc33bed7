import type { RoundPath } from "../history/types.js";
import { isBoundAt } from "../measure/curve-bounds.js";
import { readingKinds } from "../measure/reading-kinds.js";
import type { Curve } from "../measure/types.js";
import { formatSigned } from "../text/format-signed.js";
import { formatReading } from "./format-reading.js";
import { renderTable } from "./table.js";
import { wrapText } from "./wrap.js";

/** What a path's capture holds besides the path's own channel: the other side, crosstalk. */
export function formatOtherChannels(path: RoundPath, width: number): readonly string[] {
  return [...sideLines(path), ...crosstalkLines(path, width)];
}

function sideLines({ partner }: RoundPath): readonly string[] {
  if (!partner) return [];
  const rows = readingKinds.flatMap(({ id, name }) => {
    const reading = partner.readings[id];
    return reading ? [[name, formatReading(reading)]] : [];
  });
  if (rows.length === 0) return ["", `THE ${partner.side.toUpperCase()} SIDE could not be read`];
  const columns = [
    { head: "reading", width: 32 },
    { head: "value", width: 26 },
  ];
  return ["", `THE ${partner.side.toUpperCase()} SIDE`, renderTable(columns, rows)];
}

/** The listed points of the crosstalk curve. */
const toldHz = [100, 1000, 10_000];

function crosstalkLines({ curves }: RoundPath, width: number): readonly string[] {
  const { crosstalk } = curves;
  if (!crosstalk) return [];
  const told = toldHz.flatMap((hz) => pointWords(crosstalk, hz));
  const text = `Crosstalk onto the undriven channels that were recorded too: ${told.join(", ")}.`;
  return ["", ...wrapText(text, width)];
}

/** "at most −92 dB at 1 kHz": a point hidden by noise is a bound. */
function pointWords(curve: Curve, hz: number): readonly string[] {
  const { x, y } = curve;
  const i = x.findIndex((at) => Math.abs(at / hz - 1) < 0.01);
  if (i < 0) return [];
  const most = isBoundAt(curve, i) ? "at most " : "";
  const where = hz < 1000 ? `${hz} Hz` : `${hz / 1000} kHz`;
  return [`${most}${formatSigned(y[i].toFixed(0))} dB at ${where}`];
}
