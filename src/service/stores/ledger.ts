import type { Notebook } from "../notebook/types.js";
import { getTolerancePercent, rateFit } from "./fit.js";
import { type PartSpec, parsePartSpec } from "./part-spec.js";

/** Parts of one kind in the stores. */
export interface StockItem extends PartSpec {
  /** Never below 0. */
  readonly count: number;
  /** Latest price of one. */
  readonly price?: number;
  /** Where, as written. */
  readonly from?: string;
}

/** Stock that fits a requirement. */
export interface StockMatch {
  readonly spec: PartSpec;
  readonly count: number;
  /** Set if its value is only near the required one. */
  readonly isNear?: true;
}

/** Parts used by a repair. */
export interface StockUse {
  /** Note of the repair. */
  readonly note: string;
  /** As it was noted. */
  readonly what: string;
  readonly wanted: number;
  /** Number taken from the stores; the rest came from elsewhere. */
  readonly taken: number;
  /** Which parts, in the order taken. */
  readonly matches: readonly StockMatch[];
  /** Number left of the kind taken last; absent if none was taken. */
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
 * Computes the stock from parts added, taken or counted by hand, and used by repairs, in the order
 * of the notebook. A repair takes no more than is there, since further parts came from elsewhere;
 * so no count falls below 0.
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
  const slotsThere = [...slots.values()];
  const spec = parsePartSpec(what);
  // If a repair used more of a value than were in stock, the rest came from elsewhere, not from a
  // neighbouring value.
  const hasDrawer = sortByFit(spec, slotsThere).some(({ isSame }) => isSame);
  const matches = draw(
    spec,
    wanted,
    slotsThere.filter((slot) => !hasDrawer || rateFit(spec, slot.spec)?.isSame),
  );
  const last = matches.at(-1);
  const left = slotsThere.find(({ spec }) => spec === last?.spec)?.count;
  return {
    note,
    what,
    wanted,
    taken: sumCounts(matches),
    matches,
    ...(left === undefined ? {} : { left }),
  };
}

function sumCounts(matches: readonly StockMatch[]): number {
  return matches.reduce((sum, { count }) => sum + count, 0);
}

/**
 * Takes as many as available from the slots that fit; never mixes the right value with one near it.
 */
function draw(wanted: PartSpec, needed: number, slots: readonly Slot[]): readonly StockMatch[] {
  let open = needed;
  const fits = sortByFit(wanted, slots).filter(({ slot }) => slot.count > 0);
  const hasSame = fits.some(({ isSame }) => isSame);
  return fits.flatMap(({ slot, isSame }): StockMatch[] => {
    if (hasSame && !isSame) return [];
    const count = Math.min(open, slot.count);
    if (count === 0) return [];
    slot.count -= count;
    open -= count;
    return [{ spec: slot.spec, count, ...(isSame ? {} : { isNear: true }) }];
  });
}

/**
 * Slots that fit: the exact value before one near it, then without extra words, then the lowest
 * sufficient voltage; of two equally near values the larger.
 */
function sortByFit(
  wanted: PartSpec,
  slots: readonly Slot[],
): readonly { readonly slot: Slot; readonly isSame: boolean }[] {
  return slots
    .flatMap((slot) => {
      const fit = rateFit(wanted, slot.spec);
      return fit === undefined ? [] : [{ slot, ...fit }];
    })
    .sort(
      (a, b) =>
        Math.round(1000 * (a.distance - b.distance)) / 1000 ||
        a.strangers - b.strangers ||
        (a.slot.spec.volts ?? 0) - (b.slot.spec.volts ?? 0) ||
        (b.slot.spec.value ?? 0) - (a.slot.spec.value ?? 0),
    );
}

/** A key that is equal for the same part. */
export function formatSpecKey({ kind, value, unit, volts }: PartSpec): string {
  return [kind, value ?? "", unit ?? "", volts ?? ""].join("|");
}

/** What a plan needs of a part. */
export interface PartDemand {
  /** Undefined if it can only be read off the part itself. */
  readonly spec?: PartSpec;
  /** Set if pairs are needed, matched within this many percent. */
  readonly pairPercent?: number;
  readonly needed: number;
}

export interface Reservation {
  readonly reserved: number;
  readonly missing: number;
  /** Parts reserved. */
  readonly matches: readonly StockMatch[];
  /** Stock from which pairs would have to be matched with a meter; not reserved. */
  readonly toPick?: StockMatch;
  /** Latest price of one. */
  readonly price?: number;
  readonly from?: string;
}

/**
 * Reserves parts for demands, one after the other, each part for only one. Demands without a
 * specification get none.
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
  return demands.map(({ spec, needed, pairPercent }) => {
    if (spec === undefined) return { reserved: 0, missing: needed, matches: [] };
    const [known] = sortByFit(spec, slots)
      .map(({ slot }) => slot)
      .filter(({ price, from }) => price !== undefined || from !== undefined);
    const matches = draw(spec, needed, slots);
    const pairs =
      pairPercent === undefined
        ? []
        : drawPairs(spec, pairPercent, needed - sumCounts(matches), slots);
    const reserved = sumCounts(matches) + sumCounts(pairs) / 2;
    const toPick =
      pairPercent === undefined || reserved === needed
        ? undefined
        : slots.find(
            (slot) => slot.count >= 2 && rateFit({ ...spec, kind: "resistor" }, slot.spec)?.isSame,
          );
    return {
      reserved,
      missing: needed - reserved,
      matches: [...matches, ...pairs],
      ...(toPick === undefined ? {} : { toPick: { spec: toPick.spec, count: toPick.count } }),
      ...(known?.price === undefined ? {} : { price: known.price }),
      ...(known?.from === undefined ? {} : { from: known.from }),
    };
  });
}

/**
 * Takes pairs: any two parts with a tolerance of half the required match are a pair, even if one is
 * high and the other low.
 */
function drawPairs(
  spec: PartSpec,
  pairPercent: number,
  needed: number,
  slots: readonly Slot[],
): readonly StockMatch[] {
  let open = needed;
  const single: PartSpec = { ...spec, kind: "resistor" };
  return slots.flatMap((slot): StockMatch[] => {
    const tolerance = getTolerancePercent(slot.spec);
    if (tolerance === undefined || 2 * tolerance > pairPercent) return [];
    if (rateFit(single, slot.spec)?.isSame !== true) return [];
    const pairs = Math.min(open, Math.floor(slot.count / 2));
    if (pairs === 0) return [];
    slot.count -= 2 * pairs;
    open -= pairs;
    return [{ spec: slot.spec, count: 2 * pairs }];
  });
}
