/** How a reading did against the truth, once. */

/** Held: whether the truth lies in the interval, or beyond the bound where it is one. */
export function outcomeOf(id, reading, truth) {
  const bounding = reading.bound ?? (reading.limitedBy === "noise" ? "upper" : undefined);
  if (bounding === "upper") return { id, bound: true, held: truth <= reading.value };
  if (bounding === "lower") return { id, bound: true, held: truth >= reading.value };
  const off = reading.value - truth;
  const share = reading.uncertainty > 0 ? off / reading.uncertainty : Math.sign(off);
  return { id, bound: false, held: Math.abs(off) <= reading.uncertainty, high: off > 0, share };
}

/** Spread that every upper bound of a curve has, decibels. */
const boundDb = 6;

/** Every point of a curve; points that lie at their floor are upper bounds. */
export function curveOutcomes(id, curve, truthAt) {
  return curve.x.flatMap((hz, i) => {
    const truth = truthAt(hz);
    if (truth === undefined) return [];
    const limitedBy = curve.floor && curve.uncertainty[i] >= boundDb ? "noise" : undefined;
    return [
      outcomeOf(id, { value: curve.y[i], uncertainty: curve.uncertainty[i], limitedBy }, truth),
    ];
  });
}

/** Outcomes of all readings that have a truth. */
export function readingOutcomes(readings, truths) {
  return Object.entries(truths).flatMap(([id, truth]) =>
    readings[id] && truth !== undefined ? [outcomeOf(id, readings[id], truth)] : [],
  );
}

/** Rows { id, made, held, bounds, boundsHeld, high, squares } by id; squares of error/uncertainty. */
export function tally(outcomes) {
  const rows = new Map();
  for (const { id, bound, held, high, share } of outcomes) {
    if (!rows.has(id)) {
      rows.set(id, { id, made: 0, held: 0, bounds: 0, boundsHeld: 0, high: 0, squares: 0 });
    }
    const row = rows.get(id);
    row[bound ? "bounds" : "made"]++;
    if (held) row[bound ? "boundsHeld" : "held"]++;
    if (!bound) row.squares += share * share;
    if (!bound && !held && high) row.high++;
  }
  return [...rows.values()];
}

/** Sums rows of the same id. */
export function joined(tallies) {
  const rows = new Map();
  for (const row of tallies.flat()) {
    const sum = rows.get(row.id);
    if (!sum) rows.set(row.id, { ...row });
    else for (const key of Object.keys(row)) if (key !== "id") sum[key] += row[key];
  }
  return [...rows.values()];
}
