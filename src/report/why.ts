import type { Explanation } from "../diagnose/diagnose.js";
import type { RoundPath } from "../history/types.js";
import { formatSigned } from "./format-reading.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { wrapText } from "./wrap.js";

const mostCauses = 6;
const anythingGoes = "any reading may stand out, at a price for each";
/** Parts of a likelihood smaller than this say nothing. */
const leastNats = 0.3;

/** The whole reasoning on one path as plain text, with every number. */
export function renderWhy(path: RoundPath, why: Explanation, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong, quiet } = createPalette(style);
  return [
    strong(`How the causes of ${path.path} were weighed`),
    "",
    "WHAT DIFFERS (spread: what healthy siblings scatter, standard deviations)",
    featureTable(why),
    "",
    "CAUSES THAT CAN GIVE IT",
    ...wrapText(
      `probability = prior × e^(${why.evidenceShare} × nats), made to add up to one; nats are 0 for a prediction met exactly, less for each reading that it misses or only brackets.`,
      width,
    ),
    ...why.causes
      .slice(0, mostCauses)
      .flatMap((cause) => [
        "",
        strong(`${percent(cause.probability)}  ${cause.name}`),
        `      prior ${cause.prior}, ${formatSigned(cause.logLikelihood.toFixed(1))} nats in all`,
        ...wrapText(
          cause.id === undefined ? anythingGoes : partsLine(cause.parts),
          width,
          "      ",
          "      ",
        ).map((line) => quiet(line)),
      ]),
    "",
  ].join("\n");
}

function featureTable({ features }: Explanation): string {
  const columns = [
    { head: "reading", width: 34 },
    { head: "difference", width: 14 },
    { head: "spread", width: 12 },
    { head: "in spreads", width: 12 },
  ];
  const rows = features.map(({ name, unit, deviation, spread }) => [
    name,
    `${formatSigned(deviation.toFixed(2))} ${unit}`.trim(),
    spread.toFixed(2),
    formatSigned((deviation / spread).toFixed(1)),
  ]);
  return renderTable(columns, rows);
}

function partsLine(parts: Explanation["causes"][number]["parts"]): string {
  const telling = parts
    .filter(({ nats }) => Math.abs(nats) >= leastNats)
    .sort((a, b) => a.nats - b.nats)
    .map(({ id, range, nats }) => `${id}${rangeText(range)} ${formatSigned(nats.toFixed(1))}`);
  return telling.length === 0 ? "every reading as predicted" : telling.join("; ");
}

function rangeText(range: readonly [number, number] | undefined): string {
  if (!range) return "";
  const [low, high] = range;
  if (low === 0 && high === 0) return " (unmoved)";
  return ` (${formatSigned(low.toFixed(1))} to ${formatSigned(high.toFixed(1))})`;
}

function percent(probability: number): string {
  return `${Math.round(100 * probability)} %`.padStart(5);
}
