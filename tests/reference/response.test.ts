import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { measureReturn } from "../../src/measure/measure.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { addReturn } from "../helpers/captures.js";

// Source: scipy.signal.sosfreqz of the same digital filters; tests/reference/scipy/response.py made
// the file.
const scipy = JSON.parse(readFileSync(new URL("scipy/response.json", import.meta.url), "utf8"));

interface Filter {
  readonly name: string;
  readonly sos: readonly (readonly number[])[];
  readonly hz: readonly number[];
  readonly db: readonly number[];
}

/** Second-order sections one after another, transposed direct form II. */
function filtered(samples: Float64Array, sos: Filter["sos"]): Float64Array {
  const out = Float64Array.from(samples);
  for (const [b0, b1, b2, , a1, a2] of sos) {
    let first = 0;
    let second = 0;
    for (let n = 0; n < out.length; n++) {
      const x = out[n];
      const y = b0 * x + first;
      first = b1 * x - a1 * y + second;
      second = b2 * x - a2 * y;
      out[n] = y;
    }
  }
  return out;
}

describe("the response", () => {
  it.each<Filter>(scipy.filters)("of a $name is scipy's within 0.01 dB", ({ sos, hz, db }) => {
    const rate = 48_000;
    const table = buildSignalTable("standard", "base");
    const samples = new Float64Array(Math.round((table.lengthS + 0.2) * rate));
    addReturn(samples, table, rate, 4800.4);
    const audio = {
      samples: filtered(samples, sos),
      origin: 4800.4,
      clock: rate,
      sampleRate: rate,
      table,
      mainsHz: 50,
    };
    const { x, y } = measureReturn(audio).curves.response;
    let compared = 0;
    hz.forEach((at, i) => {
      const k = x.findIndex((value) => Math.abs(value / at - 1) < 1e-9);
      if (k < 0) return;
      compared++;
      expect(Math.abs(y[k] - db[i]), `${at} Hz`).toBeLessThan(0.01);
    });
    expect(compared).toBeGreaterThan(50);
  });
});
