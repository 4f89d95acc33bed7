import { expect, it } from "vitest";
import { buildEvenAxis, buildValueAxis } from "../../../src/report/html/plots/axes.js";
import { renderFrame } from "../../../src/report/html/plots/frame.js";
import { createSvgDefs } from "../../../src/report/html/svg-defs.js";

it("plots share the frame of the same axes alone, whatever their titles are made of", () => {
  const pieces = createSvgDefs();
  const x = buildEvenAxis(0, 10, "s");
  const draw = (title: string) => renderFrame(pieces, x, buildValueAxis([0, 1], 1, title)).text;
  const first = draw("dB");
  expect(draw("dB")).toBe(first);
  // A title that differs by no letter or digit.
  expect(draw("dB ±")).not.toBe(first);
  const all = pieces.definitions().text;
  expect(all.match(/<g id="x-/g)).toHaveLength(1);
  expect(all.match(/<g id="y-/g)).toHaveLength(2);
});
