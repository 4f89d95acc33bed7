import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";

// Expected values: counted by hand from the rounds written out here.

const script = (name: string) => new URL(`../../scripts/prove/${name}.mjs`, import.meta.url).href;
const { judgeDesk, onceHealthy, score, binOf } = await import(script("score"));
const { between } = await import(script("page"));
const { hideables } = await import(script("answers"));

interface Row {
  readonly path: string;
  readonly hidden?: string;
  readonly severity?: number;
  readonly worst?: string;
  readonly causes?: readonly (readonly [cause: string, kind: string, probability?: number])[];
}

/** Figures of one desk whose paths and findings are written out. */
function figuresOf(rows: readonly Row[], output: "capacitor" | "direct" = "capacitor") {
  const hidden = rows.flatMap(({ path, hidden: name, severity }) =>
    name === undefined ? [] : [{ path, name, severity }],
  );
  const paths = rows.map(({ path, worst, causes = [] }) => ({
    path,
    input: path.split("/")[1],
    findings: worst === undefined ? [] : [{ severity: "remark" }, { severity: worst }],
    causes: causes.map(([cause, kind, probability]) => ({ cause, kind, probability })),
  }));
  const plan = { seed: 1, options: { output }, batches: "one", hidden };
  return score(judgeDesk(plan, { paths }));
}

const dried = ["dried-coupling-capacitor", "fault"] as const;
const leg = ["dried-gain-leg-capacitor", "fault"] as const;
const noisy = ["noisy-device", "fault"] as const;
const gain = ["gain-off", "setting"] as const;
const dead = ["no-signal", "fault"] as const;

describe("accuracy", () => {
  test("counts the first cause and the first three, by hidden cause and severity", () => {
    const { accuracy } = figuresOf([
      { path: "1/mic", hidden: "dried-coupling", severity: 0.1, causes: [dried] },
      { path: "2/mic", hidden: "dried-coupling", severity: 0.2, causes: [noisy, gain, dried] },
      {
        path: "3/mic",
        hidden: "dried-coupling",
        severity: 0.9,
        causes: [noisy, gain, dead, dried],
      },
      { path: "4/mic", hidden: "dead-stage", causes: [dead] },
      { path: "5/mic" },
    ]);
    expect(accuracy.causes["dried-coupling"]).toEqual({
      mild: { of: 2, first: 1, topThree: 2 },
      strong: { of: 1, first: 0, topThree: 0 },
      all: { of: 3, first: 1, topThree: 2 },
    });
    expect(accuracy.all.all).toEqual({ of: 4, first: 2, topThree: 3 });
    expect(accuracy.kinds.fault.whole).toEqual({ of: 1, first: 1, topThree: 1 });
  });

  test("takes either capacitor for the other, but no other cause", () => {
    const { accuracy, confusion } = figuresOf([
      { path: "1/mic", hidden: "dried-coupling", severity: 0.5, causes: [leg] },
      { path: "2/mic", hidden: "dried-coupling", severity: 0.5, causes: [noisy] },
      { path: "3/mic", hidden: "dried-coupling", severity: 0.5 },
    ]);
    expect(accuracy.all.all.first).toBe(1);
    expect(confusion["dried-coupling"]).toEqual({
      [leg[0]]: { of: 1, right: 1 },
      [noisy[0]]: { of: 1, right: 0 },
      nothing: { of: 1, right: 0 },
    });
  });

  test("takes noise for a leak only where an output capacitor hides its DC voltage", () => {
    const rows = [{ path: "1/mic", hidden: "leaky-coupling", severity: 0.5, causes: [noisy] }];
    expect(figuresOf(rows, "capacitor").accuracy.all.all.first).toBe(1);
    expect(figuresOf(rows, "direct").accuracy.all.all.first).toBe(0);
  });

  test("bins severities at a third and two thirds", () => {
    expect([0, 0.33, 0.34, 0.66, 0.67, 1].map(binOf)).toEqual([
      "mild",
      "mild",
      "moderate",
      "moderate",
      "strong",
      "strong",
    ]);
  });
});

describe("what was said wrongly", () => {
  test("is a false alarm on a healthy path, counted once by its worst finding", () => {
    const { falseAlarms } = figuresOf([
      { path: "1/mic", worst: "service", causes: [noisy] },
      { path: "2/mic", worst: "watch" },
      { path: "3/mic", worst: "remark" },
      { path: "4/mic" },
      { path: "5/mic", hidden: "dead-stage", worst: "service", causes: [dead] },
    ]);
    expect(falseAlarms).toEqual({ of: 4, service: 1, watch: 1, remark: 1, calledFaults: 1 });
  });

  test("is a setting called a fault, unless that cannot be told from outside", () => {
    const { harmlessCalledFaults: called } = figuresOf([
      { path: "1/mic", hidden: "low-cut-in", severity: 0.5, causes: [dried] },
      { path: "2/mic", hidden: "fader-off-mark", severity: 0.5, causes: [gain, noisy] },
      { path: "3/mic", hidden: "nothing-patched", causes: [dead] },
      { path: "3/line", hidden: "nothing-patched", causes: [dead] },
      { path: "4/mic", hidden: "pad-in", causes: [["none-of-these", "fault"]] },
    ]);
    expect(called.of).toBe(5);
    expect(called.paths.map(({ path }: Row) => path)).toEqual(["1/mic", "3/mic"]);
  });

  test("is a fault called a setting", () => {
    const { faultsCalledHarmless: called } = figuresOf([
      { path: "1/mic", hidden: "open-leg", severity: 0.5, causes: [gain] },
      { path: "2/mic", hidden: "gain-off-value", severity: 0.5, causes: [gain] },
    ]);
    expect(called.of).toBe(2);
    expect(called.paths.map(({ path }: Row) => path)).toEqual(["1/mic"]);
  });

  test("is nothing above a remark where something is hidden", () => {
    const { missed } = figuresOf([
      { path: "1/mic", hidden: "open-leg", severity: 0.5, worst: "remark" },
      { path: "2/mic", hidden: "open-leg", severity: 0.5 },
      { path: "3/mic", hidden: "open-leg", severity: 0.5, worst: "watch" },
    ]);
    expect(missed.paths.map(({ path }: Row) => path)).toEqual(["1/mic", "2/mic"]);
  });
});

describe("reliability", () => {
  test("holds stated probabilities, in tenths, against the share that was right", () => {
    const { reliability } = figuresOf([
      { path: "1/mic", hidden: "flicker-noise", severity: 0.5, causes: [[...noisy, 0.92]] },
      { path: "2/mic", hidden: "open-leg", severity: 0.5, causes: [[...noisy, 0.98]] },
      {
        path: "3/mic",
        causes: [
          [...gain, 0.25],
          ["none-of-these", "fault", 0.7],
        ],
      },
      { path: "4/mic", hidden: "dead-stage", causes: [[...dead, 1]] },
    ]);
    expect(reliability).toHaveLength(2);
    expect(reliability[0]).toMatchObject({ from: 0.2, of: 1, right: 0, meanProbability: 0.25 });
    expect(reliability[1]).toMatchObject({ from: 0.9, of: 3, right: 2 });
    expect(reliability[1].meanProbability).toBeCloseTo((0.92 + 0.98 + 1) / 3, 12);
  });

  test("has no rows where no cause states a probability", () => {
    expect(figuresOf([{ path: "1/mic", causes: [noisy] }]).reliability).toEqual([]);
  });
});

test("every fault and setting of the simulator may be hidden", async () => {
  const { faults } = await import("../../src/simulate/faults.js");
  expect(Object.keys(hideables)).toEqual(expect.arrayContaining(Object.keys(faults)));
});

test("tables go between the markers of a page and leave the rest of it alone", () => {
  const [begin, end] = [
    "<!-- proved: written by npm run prove -- --write -->",
    "<!-- end of proved -->",
  ];
  const page = `# Head\n\n${begin}\nold\n${end}\n\nfoot\n`;
  expect(between(page, "new")).toBe(`# Head\n\n${begin}\n\nnew\n\n${end}\n\nfoot\n`);
  expect(() => between("# Head\n", "new")).toThrow(/lacks/);
});

test("the page for the tables has its markers", () => {
  const page = readFileSync(new URL("../../docs/diagnosis.md", import.meta.url), "utf8");
  expect(between(page, "new")).toContain("\n\nnew\n\n");
});

test("a healthy path counts once however many draws it was sound in, as it came off worst", () => {
  const one = (path: string, draw: number, worst?: string, hidden?: string) => ({
    seed: 1,
    path,
    draw,
    worst,
    hidden,
  });
  const watched = one("2/mic", 1, "watch");
  const judged = [
    one("1/mic", 0, "service", "dead-stage"),
    one("2/mic", 0, "remark"),
    one("1/mic", 1),
    watched,
    one("1/mic", 2, "service", "dead-stage"),
    one("2/mic", 2),
  ];
  expect(onceHealthy(judged)).toEqual([judged[0], judged[2], watched, judged[4]]);
});
