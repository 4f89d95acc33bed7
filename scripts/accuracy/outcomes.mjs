import { markBounds } from "../../dist/measure/curve-bounds.js";

/** How a reading did against the truth, once. */

/** Held: whether the truth lies in the interval, or beyond the bound where it is one. */
export function outcomeOf(id, reading, truth) {
  const bounding = reading.bound ?? (reading.limitedBy === "noise" ? "upper" : undefined);
  if (bounding === "upper") return { id, bound: true, held: truth <= reading.value };
  if (bounding === "lower") return { id, bound: true, held: truth >= reading.value };
  const off = reading.value - truth;
  const share = reading.uncertainty > 0 ? off / reading.uncertainty : Math.sign(off);
  const { uncertainty } = reading;
  // Frequencies differ by shares of themselves.
  const width = reading.unit === "Hz" ? uncertainty / Math.abs(reading.value) : uncertainty;
  const held = Math.abs(off) <= uncertainty;
  return { id, bound: false, held, high: off > 0, share, width };
}

/** Every point of a curve, bounds among them. */
export function curveOutcomes(id, curve, truthAt) {
  const bounds = new Set(markBounds({ [id]: curve })[id].bounds);
  return curve.x.flatMap((hz, i) => {
    const truth = truthAt(hz);
    if (truth === undefined) return [];
    const bound = bounds.has(i) ? "upper" : undefined;
    return [outcomeOf(id, { value: curve.y[i], uncertainty: curve.uncertainty[i], bound }, truth)];
  });
}

/** Outcomes of all readings that have a truth. */
export function readingOutcomes(readings, truths) {
  return Object.entries(truths).flatMap(([id, truth]) =>
    readings[id] && truth !== undefined ? [outcomeOf(id, readings[id], truth)] : [],
  );
}

/** Steps of the logarithm of a width that are counted together: 3 % of it. */
const perOctave = 24;
const narrowest = 2 ** -40;

/**
 * Rows { id, made, held, bounds, boundsHeld, high, squares, widths } by id; squares of
 * error/uncertainty, and how many intervals were how wide.
 */
export function tally(outcomes) {
  const rows = new Map();
  for (const { id, bound, held, high, share, width } of outcomes) {
    if (!rows.has(id)) {
      const none = { made: 0, held: 0, bounds: 0, boundsHeld: 0, high: 0, squares: 0 };
      rows.set(id, { id, ...none, widths: {} });
    }
    const row = rows.get(id);
    row[bound ? "bounds" : "made"]++;
    if (held) row[bound ? "boundsHeld" : "held"]++;
    if (!bound) {
      row.squares += share * share;
      const step = Math.round(perOctave * Math.log2(Math.max(width, narrowest)));
      row.widths[step] = (row.widths[step] ?? 0) + 1;
    }
    if (!bound && !held && high) row.high++;
  }
  return [...rows.values()];
}

/** Sums rows of the same id. */
export function joined(tallies) {
  const rows = new Map();
  for (const row of tallies.flat()) {
    const sum = rows.get(row.id);
    if (!sum) {
      rows.set(row.id, { ...row, widths: { ...row.widths } });
      continue;
    }
    for (const key of Object.keys(row)) {
      if (key !== "id" && key !== "widths") sum[key] += row[key];
    }
    for (const [step, count] of Object.entries(row.widths)) {
      sum.widths[step] = (sum.widths[step] ?? 0) + count;
    }
  }
  return [...rows.values()];
}

/** The uncertainty that half of a row's intervals do not exceed; undefined where none was made. */
export function medianWidth({ made, widths }) {
  let count = 0;
  for (const step of Object.keys(widths)
    .map(Number)
    .sort((a, b) => a - b)) {
    count += widths[step];
    if (count >= made / 2) return 2 ** (step / perOctave);
  }
  return undefined;
}
