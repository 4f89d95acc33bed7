import { formatQuantity } from "../service/meter/quantity.js";
import type { PlanPart } from "../service/plan/types.js";
import type { StockItem, StockUse } from "../service/stores/ledger.js";
import { formatCount } from "../text/format-count.js";
import { formatCommand } from "../text/program-name.js";
import { formatCsvTable } from "./csv-row.js";
import { formatMatches, formatPartSpec } from "./format-stock.js";
import { formatOwners } from "./plan/phrases.js";
import type { WordedPlan } from "./plan/worded.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/** What is in the stores, one line each. */
export function renderStores(items: readonly StockItem[], style: ReportStyle): string {
  const { strong, quiet } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  if (items.length === 0) {
    return wrapText(
      `Nothing is in the stores. Put parts in: ${formatCommand('stores add "electrolytic 10 µF 63 V" --count 20')}`,
      width,
    )
      .concat("")
      .join("\n");
  }
  const digits = Math.max(...items.map(({ count }) => String(count).length));
  return [
    strong(`${formatCount(items.length, "kind")} of part in the stores.`),
    ...[...items]
      .sort((a, b) => formatPartSpec(a).localeCompare(formatPartSpec(b), "en", { numeric: true }))
      .flatMap((item) => {
        const bought = [
          item.price === undefined ? "" : `${item.price} each`,
          item.from === undefined ? "" : `from ${item.from}`,
        ].filter((word) => word !== "");
        const end = bought.length === 0 ? "" : ` (${bought.join(", ")})`;
        const head = `${String(item.count).padStart(digits)}  `;
        const lines = wrapText(
          `${formatPartSpec(item)}${end}`,
          width,
          head,
          " ".repeat(digits + 2),
        );
        return item.count === 0 ? lines.map((line) => quiet(line)) : lines;
      }),
    "",
  ].join("\n");
}

/** What a repair took out of the stores, and what they did not have. */
export function formatStockUse({ what, wanted, taken, matches, left }: StockUse): string {
  if (taken === 0) return `Not in the stores: ${what}; nothing was taken out.`;
  const isAsked = matches.length === 1 && formatPartSpec(matches[0].spec) === what;
  const found = `${formatMatches(matches)}${isAsked ? "" : ` for ${what}`}`;
  const rest = wanted - taken;
  return rest === 0
    ? `Taken from the stores: ${found}; ${left} left.`
    : `Taken from the stores: ${found}; none left, the other ${rest} came from elsewhere.`;
}

/** Parts that a plan needs and the stores do not hold. */
function listMissing({
  parts,
}: Pick<WordedPlan, "parts">): readonly (PlanPart & { missing: number })[] {
  return parts.flatMap((part) => {
    const missing = part.stores?.missing ?? part.count + part.spare;
    return missing === 0 ? [] : [{ ...part, missing }];
  });
}

/** The shopping list of a plan: what is missing, as a table for ordering. */
export function renderShoppingCsv(plan: Pick<WordedPlan, "parts">): string {
  return formatCsvTable(
    [
      "part",
      "kind",
      "value",
      "volts",
      "missing",
      "needed",
      "reserved",
      "set aside",
      "price",
      "cost",
      "from",
      "strips",
    ],
    listMissing(plan).map(
      ({ what, value, spec, count, spare, strips, sections = [], missing, stores }) => [
        what,
        spec?.kind ?? "",
        spec?.value === undefined || spec.unit === undefined
          ? value
          : formatQuantity(spec.value, spec.unit),
        spec?.volts,
        missing,
        count + spare,
        stores?.reserved ?? 0,
        formatMatches(stores?.matches ?? []),
        stores?.price,
        stores?.price === undefined ? undefined : Math.round(100 * stores.price * missing) / 100,
        stores?.from ?? "",
        [...strips, ...sections].join(" "),
      ],
    ),
  );
}

/** The same for reading. */
export function renderShopping(plan: Pick<WordedPlan, "parts">, style: ReportStyle): string {
  const { strong } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const missing = listMissing(plan);
  if (missing.length === 0) return "Nothing is missing for the plan.\n";
  const cost = missing.reduce((sum, one) => sum + (one.stores?.price ?? 0) * one.missing, 0);
  const unpriced = missing.filter(({ stores }) => stores?.price === undefined).length;
  return [
    strong("To buy before the desk is opened:"),
    ...missing.flatMap((part) => {
      const { what, value, missing: count, stores } = part;
      const from = stores?.from === undefined ? "" : `, last bought at ${stores.from}`;
      const pick =
        stores?.toPick === undefined
          ? ""
          : `; or select them by meter from the ${formatMatches([stores.toPick])} in the stores`;
      const text = `${count} × ${what}${value === "" ? "" : `: ${value}`} (${formatOwners(part)})${from}${pick}`;
      return wrapText(text, width, "[ ] ", "    ");
    }),
    ...(cost === 0
      ? []
      : [
          `About ${Math.round(100 * cost) / 100}${unpriced === 0 ? "" : `, without ${unpriced} of unknown price`}.`,
        ]),
    "",
  ].join("\n");
}
