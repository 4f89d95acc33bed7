import { describe, expect, it } from "vitest";
import { separateShared } from "../../../src/rank/shared/separate-shared.js";
import type { NamedPart } from "../../../src/rank/shared/types.js";
import { drawDesk } from "../../helpers/shared-desk.js";

// Expected values: what is added to the readings of the paths that went through a part.

const inputs = ["mic", "line", "tape"];
const strips = 16;
/** Output and bus of a path: another of each for every input of a strip. */
const outputOf = (strip: number, input: string) => ((strip + inputs.indexOf(input)) % 8) + 1;
const busOf = (strip: number, input: string) => ((strip + 3 * inputs.indexOf(input)) % 8) + 1;

const parts = [1, 2, 3, 4, 5, 6, 7, 8].flatMap((number): NamedPart[] => {
  const through = (of: typeof outputOf) =>
    inputs.flatMap((input) =>
      Array.from({ length: strips }, (_, k) => k + 1).flatMap((strip) =>
        of(strip, input) === number ? [`${strip}/${input}`] : [],
      ),
    );
  const part = (kind: "output" | "group", name: string, paths: readonly string[]) => ({
    kind,
    name,
    strips: [...new Set(paths.map((path) => path.split("/")[0]))],
    paths,
  });
  return [
    part("output", `output ${number}`, through(outputOf)),
    part("group", `group ${number}`, through(busOf)),
  ];
});

const structure = { strips: Array.from({ length: strips }, (_, k) => String(k + 1)), parts };

describe("outputs and buses that paths went through", () => {
  it.each([
    ["output 3", outputOf, { gain: -4, level: -4 }],
    ["group 6", busOf, { gain: -4, level: -4 }],
    ["group 2", busOf, { hiss: 12, noise: 12 }],
  ] as const)(
    "are named for a fault that goes with %s, and no strip keeps it",
    (name, of, change) => {
      for (let seed = 1; seed <= 10; seed++) {
        const desk = drawDesk(seed, strips, inputs, ({ strip, input }) =>
          `${name.split(" ")[0]} ${of(strip, input)}` === name ? change : {},
        );
        const { faults, inputs: left } = separateShared(desk, structure);
        expect(
          faults.map(({ part }) => part.name),
          `seed ${seed}`,
        ).toEqual([name]);
        const gains = left.map(({ measurement }) => measurement?.readings.gain?.value ?? 0);
        // The rest is what healthy strips scatter.
        expect(Math.max(...gains.map(Math.abs))).toBeLessThan(1);
      }
    },
  );

  it("are not blamed for a strip that has a fault on all its inputs", () => {
    for (let seed = 1; seed <= 10; seed++) {
      const desk = drawDesk(seed, strips, inputs, ({ strip }) =>
        strip === 5 ? { gain: -4, level: -4 } : {},
      );
      expect(separateShared(desk, structure).faults, `seed ${seed}`).toEqual([]);
    }
  });
});
