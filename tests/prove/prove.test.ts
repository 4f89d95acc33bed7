import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { slow } from "../helpers/slow.js";

const script = fileURLToPath(new URL("../../scripts/prove/prove.mjs", import.meta.url));
const { drawDesk } = await import(new URL("draw.mjs", `file://${script}`).href);

describe("a drawn desk", () => {
  const draws = Array.from({ length: 200 }, (_, seed) => drawDesk(seed, "any"));

  test("is the same for the same seed and another for another", () => {
    expect(drawDesk(7, "any")).toEqual(draws[7]);
    expect(drawDesk(8, "any")).not.toEqual(draws[7]);
  });

  test("has 8 to 32 strips, one to three inputs and at most eight faulty strips", () => {
    for (const { options, hidden, takes } of draws) {
      expect(options.strips).toBeGreaterThanOrEqual(8);
      expect(options.strips).toBeLessThanOrEqual(32);
      expect([1, 2, 3]).toContain(options.inputs.length);
      expect(takes).toHaveLength(options.strips * options.inputs.length);
      const strips = hidden.map(({ path }: { path: string }) => path.split("/")[0]);
      expect(new Set(strips).size).toBeLessThanOrEqual(8);
    }
  });

  test("hides at most one thing at a path, and leaves most siblings well", () => {
    for (const { options, hidden } of draws) {
      const paths = hidden.map(({ path }: { path: string }) => path);
      expect(new Set(paths).size).toBe(paths.length);
      for (const input of options.inputs) {
        const ill = paths.filter((path: string) => path.endsWith(`/${input}`)).length;
        expect(ill).toBeLessThan(options.strips / 2);
      }
    }
  });

  test("exchanges captures for errors of patching only, and between inputs", () => {
    for (const { hidden, takes } of draws) {
      const exchanged = takes.filter(
        (t: { path: string; strip: number; input: string }) => t.path !== `${t.strip}/${t.input}`,
      );
      const expected = hidden.filter(({ name }: { name: string }) =>
        ["wrong-path", "takes-swapped"].includes(name),
      );
      expect(exchanged.map(({ path }: { path: string }) => path).sort()).toEqual(
        expected.map(({ path }: { path: string }) => path).sort(),
      );
      for (const { path, strip, input } of exchanged) {
        expect(path.split("/")[0]).toBe(String(strip));
        expect(path.split("/")[1]).not.toBe(input);
      }
    }
  });

  test("hides something else in the same desk with another draw", () => {
    const [first, second] = [0, 1].map((draw) => drawDesk(12, "small", "any", draw));
    const { faults: firstFaults, ...desk } = first.options;
    const { faults: secondFaults, ...same } = second.options;
    expect(same).toEqual(desk);
    expect(secondFaults).not.toEqual(firstFaults);
    const recorded = ({ takes }: { takes: { beforeS: number; afterS: number }[] }) =>
      takes.map(({ beforeS, afterS }) => [beforeS, afterS]);
    expect(recorded(second)).toEqual(recorded(first));
    expect(drawDesk(12, "small", "any", 0)).toEqual(drawDesk(12, "small", "any"));
  });

  test("is of one batch, of two that its desk file reports, or of two that it does not", () => {
    const kinds = new Set(draws.map(({ batches }) => batches));
    expect([...kinds].sort()).toEqual(["one", "two, not told", "two, told"]);
  });
});

function refuses(option: string, value: string) {
  const { status, stderr } = spawnSync(process.execPath, [script, option, value], {
    encoding: "utf8",
  });
  expect(status).toBe(2);
  expect(stderr).toContain(option);
}

test("an option's unknown value is refused with a word on what is needed", () => {
  refuses("--profile", "controls");
});

test.each([
  ["--desks", "none"],
  ["--size", "huge"],
  ["--sed", "1"],
])("%s %s is refused likewise", slow, refuses);
