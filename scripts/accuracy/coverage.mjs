// How often the stated 95 % interval holds the truth, reading by reading, over random returns.
//   node scripts/accuracy/coverage.mjs [returns] [profile]
import { measureReturn } from "../../dist/measure/measure.js";
import { curveTruths, responseTruth, truths } from "./truth.mjs";
import { drawReturn, generator, renderReturn } from "./virtual-return.mjs";

/** @returns rows { id, made, held, bounds, boundsHeld } also for the points of curves */
export function coverage(returns, profile, seed = 1) {
  const next = generator(seed);
  const rows = new Map();
  const row = (id) => {
    if (!rows.has(id)) rows.set(id, { id, made: 0, held: 0, bounds: 0, boundsHeld: 0 });
    return rows.get(id);
  };
  for (let n = 0; n < returns; n++) {
    const made = drawReturn(next);
    const { readings, curves } = measureReturn(renderReturn(made, profile, next));
    for (const [id, truth] of Object.entries(truths)) {
      const reading = readings[id];
      if (!reading) continue;
      const expected = truth(made);
      const r = row(id);
      if (reading.limitedBy === "noise") {
        r.bounds++;
        if (expected <= reading.value + 0.005) r.boundsHeld++;
      } else {
        r.made++;
        if (Math.abs(reading.value - expected) <= reading.uncertainty) r.held++;
      }
    }
    for (const [id, truth] of Object.entries(curveTruths)) {
      const curve = curves[id];
      const r = row(`${id} curve`);
      curve?.x.forEach((hz, i) => {
        const expected = truth(made, hz);
        if (expected === undefined) return;
        if (curve.y[i] === curve.floor[i]) {
          r.bounds++;
          if (expected <= curve.y[i]) r.boundsHeld++;
        } else {
          r.made++;
          if (Math.abs(curve.y[i] - expected) <= curve.uncertainty[i]) r.held++;
        }
      });
    }
    const { response } = curves;
    response?.x.forEach((hz, i) => {
      const r = row("response");
      r.made++;
      if (Math.abs(response.y[i] - responseTruth(made, hz)) <= response.uncertainty[i]) r.held++;
    });
  }
  return [...rows.values()];
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const returns = Number(process.argv[2] ?? 1000);
  const profile = process.argv[3] ?? "standard";
  for (const { id, made, held, bounds, boundsHeld } of coverage(returns, profile)) {
    const share = made ? ((100 * held) / made).toFixed(1) : "–";
    const bound = bounds ? `${((100 * boundsHeld) / bounds).toFixed(1)} % of ${bounds} bounds` : "";
    process.stdout.write(`${id.padEnd(17)} ${share.padStart(6)} % of ${made}  ${bound}\n`);
  }
}
