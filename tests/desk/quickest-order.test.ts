import { describe, expect, it } from "vitest";
import { planPatchSteps } from "../../src/desk/patch-steps.js";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import type { Desk } from "../../src/desk/types.js";

const deskOf = (strips: number, inputs: string, controls = "gain: knob") =>
  parseDesk(
    `name: x\nmains: 50\nstrips: ${strips}\norder: fewest\ncontrols: { ${controls} }\ninputs:\n${inputs}`,
    "desk.yaml",
  );
const input = (name: string, nominal: number, set = "") =>
  `  ${name}: { nominal: ${nominal}, set: { ${set} } }\n`;
const pathsOf = (desk: Desk) => desk.paths.map(({ path }) => path);

/**
 * Seconds of a sequence of paths, by the same account of hands as the run sheet's; a pad that is in
 * at the end is taken out too, so that it does not matter whether it is the first or the last.
 */
function secondsOf(desk: Desk, paths: readonly string[]): number {
  const stops = paths.map((path) => {
    const [strip, name] = path.split("/");
    return { strip, input: name };
  });
  const last = desk.inputs.find(({ name }) => name === stops.at(-1)?.input);
  const padOut = last !== undefined && last.nominalDbu < -20 ? 10 : 0;
  return planPatchSteps(desk, stops).reduce((sum, { seconds }) => sum + seconds, padOut);
}

describe("the order of fewest changes", () => {
  it("keeps the inputs behind a pad together and joins those without one", () => {
    const desk = deskOf(3, input("mic", -40) + input("line", 4) + input("tape", 4));
    expect(pathsOf(desk)).toEqual([
      ...["1/mic", "2/mic", "3/mic"],
      ...["1/line", "1/tape", "2/line", "2/tape", "3/line", "3/tape"],
    ]);
  });

  it("turns the inputs round on every other strip where that spares a change", () => {
    // No pad, a control each: staying on a strip saves two mutes, turning round saves nothing else;
    // on one strip with pads between, turning saves the pad.
    const desk = deskOf(40, input("line", 4) + input("tape", 4));
    expect(pathsOf(desk).slice(0, 4)).toEqual(["1/line", "1/tape", "2/line", "2/tape"]);
    const two = deskOf(2, input("mic", -40) + input("line", 4), "gain: knob");
    expect(secondsOf(two, pathsOf(two))).toBeLessThanOrEqual(
      Math.min(
        secondsOf(two, ["1/mic", "2/mic", "1/line", "2/line"]),
        secondsOf(two, ["1/mic", "1/line", "2/line", "2/mic"]),
      ),
    );
  });

  it("takes the order of inputs that needs the fewest controls", () => {
    // a and c are set alike, b otherwise: a, c, b (or b, a, c) moves the switches once, not twice.
    const switches = "s1: switch, s2: switch, s3: switch";
    const on = "s1: in, s2: in, s3: in";
    const off = "s1: out, s2: out, s3: out";
    const inputs = input("a", 4, on) + input("b", 4, off) + input("c", 4, on);
    const [first, second, third] = deskOf(1, inputs, switches).paths.map((path) => path.input);
    expect([first, second, third].join("")).toMatch(/^(acb|bac|cab|bca)$/);
  });

  it("needs the least time of all orders that go through the strips in passes", () => {
    // The reference is exhaustive: of all 720 orders of the six paths those that test, between one
    // return to the first strip and the next, the same inputs on both strips in any order.
    const set = ["gain: low, pad: out", "gain: high, pad: in", "gain: low, pad: in"];
    const desk = deskOf(
      2,
      input("mic", -40, set[0]) + input("line", 4, set[1]) + input("tape", 4, set[2]),
      "gain: knob, pad: switch",
    );
    const orders = permutations(pathsOf(desk)).filter(goesInPasses);
    expect(orders.length).toBeGreaterThan(50);
    const least = Math.min(...orders.map((order) => secondsOf(desk, order)));
    expect(secondsOf(desk, pathsOf(desk))).toBeCloseTo(least, 9);
  });

  it("holds every path once, also where an input is not on every strip", () => {
    const desk = parseDesk(
      "name: x\nmains: 50\nstrips: 5\norder: fewest\ninputs:\n" +
        "  mic: { nominal: -40, strips: 1-3 }\n  line: { nominal: 4 }\n  tape: { nominal: 4, strips: [2, 5] }\n",
      "desk.yaml",
    );
    expect([...pathsOf(desk)].sort()).toEqual(
      ["1/mic", "2/mic", "3/mic"]
        .concat(["1/line", "2/line", "3/line", "4/line", "5/line", "2/tape", "5/tape"])
        .sort(),
    );
  });
});

describe("a wrong description of controls", () => {
  const read = (text: string) => () =>
    parseDesk(`name: x\nmains: 50\nstrips: 2\n${text}`, "desk.yaml");

  it.each([
    ["inputs: { mic: { nominal: 4, set: { gian: 3 } } }\ncontrols: { gain: knob }", /line 4.*gian/],
    ["inputs: { mic: { nominal: 4 } }\ncontrols: { gain: knobb }", /line 5.*knob, switch or fader/],
    ["inputs: { mic: { nominal: 4 } }\ncontrols: { 'a;b': knob }", /line 5.*may hold no/],
    ["inputs: { mic: { nominal: 4 } }\ncontrols: { gain: knob, Gain: knob }", /only in capitals/],
    ["inputs: { mic: { nominal: 4 } }\ncontrols: {}", /names none/],
  ])("is named with its line: %s", (text, message) => {
    expect(read(text)).toThrow(message);
  });

  it("keeps marks as they are written", () => {
    const desk = parseDesk(
      "name: x\nmains: 50\nstrips: 2\ncontrols: { gain: { kind: knob, set: 10.50 }, pad: switch }\n" +
        "inputs: { mic: { nominal: 4, set: { pad: off } } }",
      "desk.yaml",
    );
    expect(desk.controls[0]?.set).toBe("10.50");
    expect(desk.inputs[0]?.set).toEqual({ pad: "off" });
  });
});

function permutations(items: readonly string[]): readonly (readonly string[])[] {
  if (items.length <= 1) return [items];
  return items.flatMap((item, k) =>
    permutations([...items.slice(0, k), ...items.slice(k + 1)]).map((rest) => [item, ...rest]),
  );
}

/** Whether a sequence on strips 1 and 2 is made of passes: some inputs of 1, the same ones of 2. */
function goesInPasses(order: readonly string[]): boolean {
  const passes: { one: string[]; two: string[] }[] = [];
  let before = "2";
  for (const path of order) {
    const [strip, name] = path.split("/");
    if (strip === "1" && before === "2") passes.push({ one: [], two: [] });
    const pass = passes.at(-1);
    if (pass === undefined) return false;
    (strip === "1" ? pass.one : pass.two).push(name);
    before = strip;
  }
  return passes.every(({ one, two }) => [...one].sort().join() === [...two].sort().join());
}
