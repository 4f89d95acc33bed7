import type { Notebook } from "../notebook/types.js";
import { isFit, type PartSpec, parsePartSpec } from "./part-spec.js";

/** Parts of one kind in the stores. */
export interface StockItem extends PartSpec {
  /** Never below 0. */
  readonly count: number;
  /** Of one, as it was last bought. */
  readonly price?: number;
  /** Where, as written. */
  readonly from?: string;
}

/** What a repair took. */
export interface StockUse {
  /** Note of the repair. */
  readonly note: string;
  /** As it was noted. */
  readonly what: string;
  readonly wanted: number;
  /** Out of the stores; the rest came from elsewhere. */
  readonly taken: number;
  /** Left of those that were taken last; absent where none was. */
  readonly left?: number;
}

export interface Stores {
  readonly items: readonly StockItem[];
  readonly uses: readonly StockUse[];
  /** Whether anything was ever put into them. */
  readonly isKept: boolean;
}

interface Slot {
  spec: PartSpec;
  count: number;
  price?: number;
  from?: string;
}

/**
 * What lies in the stores: what was put in, taken out or counted by hand, and what repairs took, in
 * the order of the notebook. A repair takes what is there and no more, since a part that was fitted
 * and is not in the book came from elsewhere; so no count falls below 0.
 */
export function buildStores({ entries, log }: Pick<Notebook, "entries" | "log">): Stores {
  const slots = new Map<string, Slot>();
  const uses: StockUse[] = [];
  const moves = [...log, ...entries].sort((a, b) => a.at - b.at);
  let isKept = false;
  for (const { id, line } of moves) {
    if (line.kind === "stock") {
      isKept = true;
      const { part, value, unit, volts, price, from, count, event } = line;
      const spec: PartSpec = {
        kind: part,
        ...(value === undefined || unit === undefined ? {} : { value, unit }),
        ...(volts === undefined ? {} : { volts }),
      };
      const key = formatSpecKey(spec);
      const slot = slots.get(key) ?? { spec, count: 0 };
      if (event === "in") slot.count += count;
      else slot.count = event === "set" ? count : Math.max(0, slot.count - count);
      if (price !== undefined) slot.price = price;
      if (from !== undefined) slot.from = from;
      slots.set(key, slot);
    } else if (line.kind === "repair") {
      for (const { what, count } of line.parts) uses.push(take(id, what, count, slots));
    }
  }
  return {
    items: [...slots.values()].map(({ spec, count, price, from }) => ({
      ...spec,
      count,
      ...(price === undefined ? {} : { price }),
      ...(from === undefined ? {} : { from }),
    })),
    uses,
    isKept,
  };
}

function take(
  note: string,
  what: string,
  wanted: number,
  slots: ReadonlyMap<string, Slot>,
): StockUse {
  let open = wanted;
  let left: number | undefined;
  for (const slot of sortByFit(parsePartSpec(what), [...slots.values()])) {
    const taken = Math.min(open, slot.count);
    if (taken === 0) continue;
    slot.count -= taken;
    open -= taken;
    left = slot.count;
  }
  return { note, what, wanted, taken: wanted - open, ...(left === undefined ? {} : { left }) };
}

/** Those that do, the same kind first, then the lowest voltage that is enough. */
function sortByFit(wanted: PartSpec, slots: readonly Slot[]): readonly Slot[] {
  const stranger = ({ spec }: Slot) => (spec.kind === wanted.kind ? 0 : 1);
  return slots
    .filter(({ spec }) => isFit(wanted, spec))
    .sort((a, b) => stranger(a) - stranger(b) || (a.spec.volts ?? 0) - (b.spec.volts ?? 0));
}

/** The same for the same part. */
export function formatSpecKey({ kind, value, unit, volts }: PartSpec): string {
  return [kind, value ?? "", unit ?? "", volts ?? ""].join("|");
}

/** What a plan needs of a part. */
export interface PartDemand {
  /** Undefined where it can only be read off the part itself. */
  readonly spec?: PartSpec;
  readonly needed: number;
}

export interface Reservation {
  readonly reserved: number;
  readonly missing: number;
  /** Of one, as it was last bought. */
  readonly price?: number;
  readonly from?: string;
}

/**
 * Sets parts aside for what is needed, one demand after the other, each part for one of them. What
 * nobody can name is not set aside.
 */
export function reserveParts(
  demands: readonly PartDemand[],
  { items }: Pick<Stores, "items">,
): readonly Reservation[] {
  const slots = items.map(
    ({ count, price, from, ...spec }): Slot => ({
      spec,
      count,
      ...(price === undefined ? {} : { price }),
      ...(from === undefined ? {} : { from }),
    }),
  );
  return demands.map(({ spec, needed }) => {
    const fits = spec === undefined ? [] : sortByFit(spec, slots);
    let open = needed;
    for (const slot of fits) {
      const taken = Math.min(open, slot.count);
      slot.count -= taken;
      open -= taken;
    }
    const known = fits.find(({ price, from }) => price !== undefined || from !== undefined);
    return {
      reserved: needed - open,
      missing: open,
      ...(known?.price === undefined ? {} : { price: known.price }),
      ...(known?.from === undefined ? {} : { from: known.from }),
    };
  });
}
