import { describe, expect, it } from "vitest";
import type { Round } from "../../../src/history/types.js";
import type { Curve } from "../../../src/measure/types.js";
import { checkRound } from "../../../src/service/limits/check.js";
import { createColumnReader } from "../../../src/service/limits/curve-columns.js";
import {
  type ComparisonResult,
  evaluateComparison,
} from "../../../src/service/limits/evaluate-comparison.js";
import {
  createOperandReader,
  isValue,
  type OperandValue,
} from "../../../src/service/limits/operand-reader.js";
import { createRng, gaussian, uniform } from "../../../src/simulate/rng.js";
import { compiled, limit, path, round } from "./rounds.js";

const band = "response(20 Hz, 20 kHz)";
const hz = Array.from({ length: 31 }, (_, k) => 20 * 10 ** (k / 10));
const rng = createRng("curve columns");

/** A response that wanders, now and then far; its doubt differs from point to point. */
function wandering(x = hz): Curve {
  const width = uniform(rng) < 0.2 ? 3 : 0.4;
  return {
    x,
    y: x.map(() => width * gaussian(rng)),
    uncertainty: x.map(() => 0.3 * uniform(rng)),
    xUnit: "Hz",
    yUnit: "dB",
  };
}

function drawRound(id: string, curve: (strip: number) => Curve = () => wandering()): Round {
  const paths = Array.from({ length: 8 }, (_, strip) =>
    path({ path: `${strip + 1}/mic`, curves: { response: curve(strip) } }),
  );
  return round(paths, id);
}

const gravity = { pass: 0, undecided: 1, fail: 2 };

/** What is right: every point judged by itself, the worst counts, of two alike the first. */
async function judgeEachPoint(text: string, of: Round, baseline: Round) {
  const { figures, comparisons } = await compiled(text, of, baseline);
  const read = createOperandReader(of, baseline);
  return of.paths.map((one) => {
    let worst: { judged: ComparisonResult; atHz: number } | undefined;
    for (const atHz of one.curves.response.x) {
      const values = figures.map((figure) => read(figure, one, atHz)).filter(isValue);
      for (const comparison of comparisons) {
        const judged = evaluateComparison(comparison, values as OperandValue[]);
        if (judged === undefined) throw new Error("not finite");
        const isWorse =
          worst === undefined ||
          gravity[judged.verdict] > gravity[worst.judged.verdict] ||
          (judged.verdict === worst.judged.verdict && judged.slack < worst.judged.slack);
        if (isWorse) worst = { judged, atHz };
      }
    }
    return { verdict: worst?.judged.verdict, atHz: worst?.atHz, slack: worst?.judged.slack };
  });
}

describe("a limit along a band", () => {
  it.each([
    `abs(${band} - siblings(${band})) <= 1.5 dB`,
    `${band} >= -3 dB`,
    `-1 dB <= ${band} <= 1 dB`,
    `2 * ${band} - baseline(${band}) / 3 < 2.5 dB`,
    `max(${band}, baseline(${band}), 0.5 dB) <= 1 dB`,
    `${band} <= siblings(${band}) + 1 dB`,
  ])("is judged by its worst point: %s", async (text) => {
    for (let draw = 0; draw < 6; draw++) {
      const [of, baseline] = [drawRound("2031-03-14-01"), drawRound("2030-03-14-01")];
      const { paths } = await checkRound({
        round: of,
        baseline,
        limits: [limit(text)],
        undecided: "pass",
      });
      const found = paths.map(({ checks: [one] }) => ({
        verdict: one.verdict,
        atHz: one.atHz,
        slack: one.slack,
      }));
      const right = await judgeEachPoint(text, of, baseline);
      expect(found).toStrictEqual(
        right.map((one) => ({ ...one, slack: Number(one.slack?.toPrecision(7)) })),
      );
    }
  });
});

describe("createColumnReader", () => {
  const own = { whose: "own", id: "response", at: { fromHz: 20, toHz: 20_000 } } as const;
  const siblings = { ...own, whose: "siblings" } as const;

  it("gives what lies between the points asked for, and the siblings' median", () => {
    const of = drawRound("2031-03-14-01", (strip) => ({
      ...wandering(),
      y: hz.map((_, k) => strip ** 2 + k),
      uncertainty: hz.map(() => 0.1 * (strip + 1)),
    }));
    const read = createColumnReader(of);
    const points = hz.slice(3, 6);
    expect(Array.from(read(own, of.paths[2], points)?.values ?? [])).toStrictEqual([7, 8, 9]);
    // Of 0, 1, 4, 9, 16, 25, 36, 49: the mean of 9 and 16.
    const middle = read(siblings, of.paths[2], points);
    expect(Array.from(middle?.values ?? [])).toStrictEqual([15.5, 16.5, 17.5]);
    expect(middle?.doubts[0]).toBeCloseTo(0.8, 12);
    // A path of another family, and one of which nothing was heard, are no siblings.
    const other = { ...of.paths[0], path: "1/line", input: "line", family: "line" };
    const silent = { ...of.paths[0], path: "9/mic", strip: "9", status: "silent" } as never;
    const more = createColumnReader({ ...of, paths: [...of.paths, other, silent] });
    expect(more(siblings, of.paths[2], points)?.values).toStrictEqual(middle?.values);
  });

  it("leaves to others what has other points, a floor, no curve, or one frequency", () => {
    const shifted = drawRound("2031-03-14-01", (strip) =>
      wandering(strip === 5 ? hz.map((one) => one * 1.01) : hz),
    );
    const read = createColumnReader(shifted);
    expect(read(own, shifted.paths[0], hz)).toBeDefined();
    expect(read(own, shifted.paths[5], hz)).toBeUndefined();
    expect(read(siblings, shifted.paths[0], hz)).toBeUndefined();
    expect(read({ ...own, whose: "baseline" }, shifted.paths[0], hz)).toBeUndefined();
    expect(read({ ...own, id: "noise" }, shifted.paths[0], hz)).toBeUndefined();
    expect(read({ ...own, at: { hz: 1000 } }, shifted.paths[0], hz)).toBeUndefined();
    const floored = drawRound("2031-03-14-01", () => ({
      ...wandering(),
      floor: hz.map(() => -90),
    }));
    expect(createColumnReader(floored)(own, floored.paths[0], hz)).toBeUndefined();
  });
});

it("a scale of siblings is not a column: it is read point by point", () => {
  const one = drawRound("2031-03-14-01");
  const read = createColumnReader(one);
  const at = { fromHz: 20, toHz: 20_000 };
  const of = (whose: "siblings" | "scale") =>
    read({ whose, id: "response", at } as Parameters<typeof read>[0], one.paths[0], hz);
  expect(of("siblings")).toBeDefined();
  expect(of("scale")).toBeUndefined();
});
