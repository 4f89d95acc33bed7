import { formatQuantity } from "../service/meter/quantity.js";
import type { StockMatch } from "../service/stores/ledger.js";
import type { PartSpec } from "../service/stores/part-spec.js";
import { formatList } from "../text/format-list.js";

/** "electrolytic 10 µF 63 V". */
export function formatPartSpec({ kind, value, unit, volts }: PartSpec): string {
  return [
    kind,
    value === undefined || unit === undefined ? "" : formatQuantity(value, unit),
    volts === undefined ? "" : `${volts} V`,
  ]
    .filter((word) => word !== "")
    .join(" ");
}

/** "4 × electrolytic 22 µF 63 V (nearest value)". */
export function formatMatches(matches: readonly StockMatch[]): string {
  return formatList(
    matches.map(
      ({ spec, count, isNear }) =>
        `${count} × ${formatPartSpec(spec)}${isNear ? " (nearest value)" : ""}`,
    ),
  );
}
