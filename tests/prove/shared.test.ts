import { describe, expect, test } from "vitest";
import { virtualDesk } from "../../src/simulate/desk.js";
import { buildRetest } from "../../src/simulate/retest.js";
import { sharedFaults } from "../../src/simulate/shared-faults.js";

const load = (name: string) => import(new URL(`../../scripts/prove/${name}`, import.meta.url).href);
const { drawRetest, drawRetestDesk, drawSharedCase, placedOf, retestKinds } =
  await load("draw-shared.mjs");
const { readVerdict } = await load("read-answers.mjs");
const { judgeShared, scoreShared } = await load("score-shared.mjs");
const { judgeRun, scoreRetests } = await load("score-retests.mjs");
const { sharedTruths, singleFaults } = await load("shared-truth.mjs");
const { sharedTables, retestTables } = await load("shared-tables.mjs");

const names = Object.keys(sharedFaults);
const seeds = Array.from({ length: 2 * names.length }, (_, k) => k + 1);

describe("desks with a shared fault", () => {
  test("hide every fault that the simulator has, and each has a right answer", () => {
    const drawn = seeds.slice(0, names.length).map((seed) => drawSharedCase(seed).placed.fault);
    expect(new Set(drawn)).toEqual(new Set(names));
    expect(new Set(Object.keys(sharedTruths))).toEqual(new Set(names));
  });

  test("can be built, with the single faults on top, and say whom they reach", () => {
    for (const seed of seeds) {
      const { sound, placed, singles, paths } = drawSharedCase(seed);
      const faults = placedOf(singles);
      const desk = virtualDesk({ ...sound, faults, sharedFaults: [placed] });
      expect(paths.length).toBeGreaterThanOrEqual(3 * sound.inputs.length - 1);
      for (const path of paths) expect(desk.paths[path]).toBeDefined();
    }
  });

  test("hide single faults only where the shared one leaves them to be seen", () => {
    for (const seed of seeds) {
      const { placed, singles } = drawSharedCase(seed);
      const { hides } = sharedTruths[placed.fault];
      expect(singles).toHaveLength(2);
      for (const { name } of singles) {
        for (const domain of singleFaults[name].domain) expect(hides).not.toContain(domain);
      }
    }
  });

  test("are the same for the same seed", () => {
    expect(drawSharedCase(3)).toEqual(drawSharedCase(3));
  });
});

describe("a round beside the truth", () => {
  // Seed 1 hides dried capacitors of a supply feed.
  const drawn = drawSharedCase(1);
  const [single] = drawn.singles;
  const [ownStrip] = single.path.split("/");
  const strips = Array.from({ length: drawn.sound.strips }, (_, k) => String(k + 1));
  const causeOf = (path: string) =>
    path === single.path
      ? [{ cause: rightCause(single.name), kind: "fault" }]
      : ([] as { cause: string; kind: string }[]);
  const paths = strips.flatMap((strip) =>
    drawn.sound.inputs.map((input: string) => {
      const path = `${strip}/${input}`;
      return { path, strip, input, causes: causeOf(path) };
    }),
  );
  const judge = (shared: object[] | undefined, steps: object[] = []) =>
    judgeShared(drawn, {
      round: "first",
      hasShared: true,
      hasSingles: true,
      result: { paths, ...(shared ? { shared } : {}) },
      plan: { steps },
    });

  test("counts the part named by kind and paths", () => {
    expect(drawn.placed.fault).toBe("feed-capacitors-dried");
    expect(judge([{ part: { kind: "supply" }, paths: drawn.paths }]).named).toBe(true);
    expect(judge([{ part: { kind: "mains" }, paths: drawn.paths }]).named).toBe(false);
    const all = paths.map(({ path }) => path);
    expect(judge([{ part: { kind: "supply" }, paths: all }]).named).toBe(false);
    expect(judge(undefined).named).toBe(false);
  });

  test("expects of a first round what it can show, and of a later one everything", () => {
    const counts = (fault: string, severity: number, round: string) => {
      const placed = { ...drawn.placed, fault, severity };
      const run = {
        round,
        hasShared: true,
        hasSingles: false,
        result: { paths },
        plan: { steps: [] },
      };
      return judgeShared({ ...drawn, placed }, run).counts;
    };
    expect(counts("bus-noise", 0.1, "first")).toBe(false);
    expect(counts("bus-noise", 0.9, "first")).toBe(true);
    expect(counts("playing-level", 1, "first")).toBe(false);
    expect(counts("playing-level", 0, "later")).toBe(true);
  });

  test("takes the first part alone, and strips where no paths are told", () => {
    const hit = [...new Set(drawn.paths.map((path: string) => path.split("/")[0]))];
    const right = { part: { kind: "bank", strips: hit } };
    expect(judge([right]).named).toBe(true);
    expect(judge([{ part: { kind: "bus" }, paths: [] }, right]).named).toBe(false);
  });

  test("counts strips pulled without a fault of their own", () => {
    const other = strips.find((strip) =>
      drawn.singles.every(({ path }: { path: string }) => !path.startsWith(`${strip}/`)),
    );
    const steps = [ownStrip, other].map((strip) => ({ kind: "strip", strip }));
    expect(judge([], [{ kind: "off" }, ...steps]).wronglyPulled).toEqual([other]);
  });

  test("counts single faults whose first cause is right", () => {
    const { singles } = judge([]);
    expect(singles.map(({ right }: { right: boolean }) => right)).toEqual([true, false]);
    const figures = scoreShared([judge([])]);
    expect(figures.all.singles).toEqual({ of: 2, count: 1 });
    expect(figures.all.named).toEqual({ of: 1, count: 0 });
    expect(sharedTables(figures)).toContain("50.0 % (1/2; 9 to 91 %)");
  });

  function rightCause(name: string): string {
    const causes: Readonly<Record<string, string>> = {
      "dried-coupling": "dried-coupling-capacitor",
      "high-frequency-loss": "high-loss",
      "swapped-wiring": "polarity-reversed",
      "dead-stage": "no-signal",
      "gain-off-value": "gain-off",
      "noisy-input-device": "noisy-device",
      "open-shield": "ground-hum",
      crossover: "crossover-distortion",
    };
    return causes[name];
  }
});

describe("re-tests", () => {
  test("of every kind can be built from the round's desk", () => {
    for (const seed of seeds.slice(0, 20)) {
      const drawn = drawRetestDesk(seed);
      const touched = placedOf(drawn.singles).map(({ at }: { at: string }) => at.split("/")[0]);
      const rest = ["1", "2", "3", "4", "5"].filter((strip) => !touched.includes(strip));
      const faulty = { ...drawn.sound, faults: placedOf(drawn.singles) };
      for (const kind of retestKinds) {
        const retest = drawRetest(drawn, kind, { touched, neighbours: rest });
        const options = buildRetest(faulty, retest);
        expect(virtualDesk(options).occasion).toBe(1);
        const left = options.faults.length - (retest.harmed?.length ?? 0);
        if (kind === "mended") expect(left).toBe(0);
        if (kind === "not mended") expect(left).toBe(1);
        if (kind === "neighbour harmed") expect(retest.harmed).toHaveLength(1);
      }
    }
  });

  test("have the gate's verdict, or what their items say where they have no gate", () => {
    const items = [{ outcome: "mended" }];
    expect(readVerdict({ gate: { verdict: "cannot-tell" }, items, unmeasured: [] })).toBe(
      "cannot-tell",
    );
    expect(readVerdict({ items, unmeasured: [] })).toBe("close");
    expect(readVerdict({ items, unmeasured: ["3/mic"] })).toBe("do-not-close");
    const open = [...items, { outcome: "worse" }];
    expect(readVerdict({ items: open, unmeasured: [] })).toBe("do-not-close");
  });

  test("are false where one that was not all repaired may be closed", () => {
    const run = (kind: string, verdict: string, seen = true) =>
      judgeRun({ seed: 1 }, { kind, what: "", seen, retest: { gate: { verdict } } });
    const figures = scoreRetests([
      run("mended", "close"),
      run("mended", "cannot-tell"),
      run("not mended", "do-not-close"),
      run("shared change", "close"),
      run("floor raised", "cannot-tell"),
      // What the round had not shown says nothing about the gate.
      run("not mended", "close", false),
    ]);
    expect(figures.falseCloses).toHaveLength(1);
    expect(figures.good).toMatchObject({ of: 2, close: 1 });
    expect(figures.leftOut).toBe(1);
    expect(retestTables(figures)).toContain("Good ones let through: 50.0 % (1/2; 9 to 91 %)");
  });
});
