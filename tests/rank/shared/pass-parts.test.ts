import { describe, expect, it } from "vitest";
import { findOpenWays } from "../../../src/rank/shared/find-open-ways.js";
import { separateShared } from "../../../src/rank/shared/separate-shared.js";
import type { NamedPart } from "../../../src/rank/shared/types.js";
import { measurement, reading } from "../../helpers/families.js";
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
        ).toStrictEqual([name]);
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
      expect(separateShared(desk, structure).faults, `seed ${seed}`).toStrictEqual([]);
    }
  });
});

/** Which way up each path comes back, besides its drawn readings. */
function drawTurned(seed: number, isInverted: (path: string) => boolean) {
  return drawDesk(seed, strips, inputs).map((one) => {
    const polarity = { value: isInverted(one.path) ? -1 : 1, unit: "", uncertainty: 0 };
    const { measurement = { readings: {}, absent: {}, curves: {} } } = one;
    const readings = { ...measurement.readings, polarity };
    return { ...one, measurement: { ...measurement, readings } };
  });
}

const throughOf = (name: string) => parts.find((part) => part.name === name)?.paths ?? [];

describe("an output with a fault, and a strip on it with another", () => {
  const through = throughOf("output 3");

  // A pair swapped twice is upright: two paths of each input, so the other inputs have to say which.
  it.each(through)("that has its legs swapped, %s, is found, and no other is", (swapped) => {
    const desk = drawTurned(1, (path) => through.includes(path) !== (path === swapped));
    const { faults, inputs: left } = separateShared(desk, structure);
    expect(faults.map(({ part, aspect }) => [part.name, aspect])).toStrictEqual([
      ["output 3", "polarity"],
    ]);
    const inverted = left.filter(({ measurement }) => measurement?.readings.polarity?.value === -1);
    expect(inverted.map(({ path }) => path)).toStrictEqual([swapped]);
  });

  it.each(through)("that lost 6 dB itself, %s, keeps just those", (ailing) => {
    const desk = drawDesk(2, strips, inputs, ({ strip, input }) => {
      const path = `${strip}/${input}`;
      const db = (through.includes(path) ? -4 : 0) + (path === ailing ? -6 : 0);
      return { gain: db, level: db };
    });
    const { faults, inputs: left } = separateShared(desk, structure);
    expect(faults.map(({ part }) => part.name)).toStrictEqual(["output 3"]);
    for (const { path, measurement } of left) {
      const gain = measurement?.readings.gain?.value ?? Number.NaN;
      expect(Math.abs(gain - (path === ailing ? -6 : 0)), path).toBeLessThan(1);
    }
  });

  it("that measures as though the output were sound is not called too loud", () => {
    const [sound] = through;
    const desk = drawDesk(3, strips, inputs, ({ strip, input }) => {
      const path = `${strip}/${input}`;
      return through.includes(path) && path !== sound ? { gain: -4, level: -4 } : {};
    });
    const { faults, inputs: left } = separateShared(desk, structure);
    expect(faults.map(({ part }) => part.name)).toStrictEqual(["output 3"]);
    const gain = left.find(({ path }) => path === sound)?.measurement?.readings.gain?.value;
    expect(Math.abs(gain ?? Number.NaN)).toBeLessThan(1);
  });
});

describe("an output that too few paths went through", () => {
  const [first, second, third] = throughOf("output 3");
  const few = (paths: readonly string[]) => ({
    strips: structure.strips,
    parts: [
      {
        kind: "output" as const,
        name: "output 3",
        strips: paths.map((p) => p.split("/")[0]),
        paths,
      },
    ],
  });

  it.each([
    ["both of two", [first, second], [first, second]],
    ["two of three", [first, second, third], [first, third]],
  ])("is left open with the strips where %s come back inverted", (_, through, inverted) => {
    const desk = drawTurned(4, (path) => inverted.includes(path));
    expect(separateShared(desk, few(through)).faults).toStrictEqual([]);
    expect(findOpenWays(desk, few(through))).toStrictEqual([
      { part: { kind: "output", name: "output 3" }, paths: inverted, of: through.length },
    ]);
  });

  it.each([
    ["one of two", [first, second], [first]],
    ["one of three", [first, second, third], [second]],
    ["two of four", [...throughOf("output 3").slice(0, 4)], [first, third]],
    [
      "every input of one strip",
      inputs.map((input) => `5/${input}`),
      ["5/mic", "5/line", "5/tape"],
    ],
  ])("is not suspected where %s is inverted", (_, through, inverted) => {
    const desk = drawTurned(5, (path) => inverted.includes(path));
    expect(findOpenWays(desk, few(through))).toStrictEqual([]);
  });

  describe("by hand", () => {
    // Levels of nine strips on one input, all alike but for those that went through the output.
    const names = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];
    const desk = (changed: Readonly<Record<string, Readonly<Record<string, number>>>>) =>
      names.map((strip) => {
        const own = { gain: 0, thd: -90, polarity: 1, ...changed[strip] };
        const readings = Object.fromEntries(
          Object.entries(own).map(([id, value]) => [id, reading(value)]),
        );
        return {
          path: `${strip}/line`,
          strip,
          input: "line",
          family: "line",
          measurement: measurement(readings),
        };
      });
    const output = (strips: readonly string[]) => ({
      kind: "output" as const,
      name: "output 1",
      strips,
      paths: strips.map((strip) => `${strip}/line`),
    });
    const find = (
      paths: ReturnType<typeof desk>,
      own: readonly NamedPart[],
      left: readonly string[] = names,
    ) => findOpenWays(paths, { strips: left, parts: own });
    const turned = { polarity: -1 };

    it("asks only outputs and buses of passes, not parts of the desk", () => {
      const ribbon: NamedPart = { kind: "ribbon", name: "A", strips: ["1", "2", "3"] };
      const paths = desk({ 1: turned, 2: turned, 3: turned });
      expect(find(paths, [ribbon])).toStrictEqual([]);
      expect(
        find(paths, [ribbon, output(["1", "2", "3"])]).map(({ part }) => part.name),
      ).toStrictEqual(["output 1"]);
    });

    it("asks for two paths through it, and for others that did not go through it", () => {
      const two = desk({ 1: turned, 2: turned });
      const of = (strips: readonly string[]) => find(two, [output(strips)]).length;
      expect(of(["1", "2"])).toBe(1);
      expect(of(["1"])).toBe(0);
      expect(of(names)).toBe(0);
      expect(of([])).toBe(0);
    });

    it("counts a path that shows it in one reading and not in another", () => {
      // Strip 2 is upright, and has lost as much level as the others.
      const lost = { gain: -4 };
      const paths = desk({ 1: { ...turned, ...lost }, 2: lost, 3: { ...turned, ...lost } });
      const [found] = find(paths, [output(["1", "2", "3"])]);
      expect(found).toMatchObject({ paths: ["1/line", "2/line", "3/line"], of: 3 });
    });
  });
});
