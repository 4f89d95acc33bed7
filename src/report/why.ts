import type { Explanation } from "../diagnose/diagnose.js";
import type { RoundPath } from "../history/types.js";
import { findReadingKind, getReadingName } from "../measure/reading-kinds.js";
import { formatSigned } from "../text/format-signed.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { wrapText } from "./wrap.js";

const mostCauses = 6;
const anythingGoes = "any reading may stand out, each at a cost";
/** Contributions to a likelihood smaller than this are not listed. */
const leastNats = 0.3;

/** The whole reasoning on one path as plain text, with every number. */
export function renderWhy(path: RoundPath, why: Explanation, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong, quiet } = createPalette(style);
  return [
    strong(`How the causes of ${path.path} were weighed`),
    "",
    "WHAT DIFFERS (spread: standard deviation of healthy siblings)",
    featureTable(why),
    "",
    "POSSIBLE CAUSES",
    ...wrapText(
      "A cause is likely when it is common (its prior) and predicts what differs; each reading that it does not predict counts against it, the more the further off it is. Below each cause: the readings that count against it, the worst first.",
      width,
    ),
    ...wrapText(
      `probability = prior × e^(${why.evidenceShare} × nats), scaled to add up to one; a prediction that is met exactly gives 0 nats, each reading that it misses or only brackets less.`,
      width,
    ),
    ...why.causes
      .slice(0, mostCauses)
      .flatMap((cause) => [
        "",
        strong(`${percent(cause.probability)}  ${cause.name}`),
        `      ${weighWords(cause.logLikelihood, why.causes[0]?.logLikelihood ?? 0)}`,
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
  const rows = features.map(({ id, name, unit, deviation, spread }) => [
    name,
    isPolarity(id)
      ? Math.abs(deviation) < 0.5
        ? "the same"
        : "inverted"
      : `${formatSigned(deviation.toFixed(2))} ${unit}`.trim(),
    spread.toFixed(2),
    formatSigned((deviation / spread).toFixed(1)),
  ]);
  return renderTable(columns, rows);
}

/** The likelihood of a cause compared with the best one's, in words. */
function weighWords(nats: number, best: number): string {
  const behind = best - nats;
  if (behind < 1) return "predicts the readings as well as any";
  if (behind < 5) return "predicts the readings a little worse than the best";
  return behind < 20 ? "predicts the readings clearly worse" : "does not predict the readings";
}

function isPolarity(id: string): boolean {
  return findReadingKind(id)?.aspect === "polarity";
}

function partsLine(parts: Explanation["causes"][number]["parts"]): string {
  const telling = parts
    .filter(({ nats }) => Math.abs(nats) >= leastNats)
    .sort((a, b) => a.nats - b.nats)
    .map(
      ({ id, range, nats }) =>
        `${getReadingName(id)}${rangeText(range)} ${formatSigned(nats.toFixed(1))}`,
    );
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
