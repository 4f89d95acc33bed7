import { expect, test } from "vitest";
import { findWorstCrosstalk } from "../../src/measure/crosstalk.js";
import type { Curve } from "../../src/measure/types.js";

const curve = (y: readonly number[], uncertainty: readonly number[], floor?: readonly number[]) =>
  ({
    x: [100, 200, 400],
    y,
    uncertainty,
    xUnit: "Hz",
    yUnit: "dB",
    ...(floor ? { floor } : {}),
  }) as Curve;

test("of several channels the worst counts at each frequency, with its own uncertainty and floor", () => {
  const worst = findWorstCrosstalk([
    curve([-80, -70, -60], [0.1, 0.2, 0.3], [-99, -98, -97]),
    curve([-81, -69, -60], [0.4, 0.5, 0.6], [-96, -95, -94]),
    curve([-90, -90, -59], [0.7, 0.8, 0.9]),
  ]);
  expect(worst).toEqual({
    x: [100, 200, 400],
    y: [-80, -69, -59],
    uncertainty: [0.1, 0.5, 0.9],
    floor: [-99, -95, 0],
    xUnit: "Hz",
    yUnit: "dB",
  });
});
