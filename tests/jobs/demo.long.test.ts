import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { assertOwnFile } from "../../src/assert-own-file.js";
import type { Round } from "../../src/history/types.js";
import { demoDeskKind } from "../../src/jobs/demo.js";
import { demoCaptureKind } from "../../src/signal/own-files.js";
import { scenario } from "../../src/simulate/scenario.js";

// Expected values: what the virtual desk hides (src/simulate/scenario.ts).

const launcher = fileURLToPath(new URL("../../bin/deskround.js", import.meta.url));
let folder: string;
let round: Round;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "deskround-demo-"));
  const out = execFileSync("node", [launcher, "demo", "--folder", folder, "--json"], {
    encoding: "utf8",
    maxBuffer: 64e6,
  });
  round = JSON.parse(out);
}, 180_000);

afterAll(() => rmSync(folder, { recursive: true, force: true }));

const hidden = scenario.hidden.map(({ path }) => path);
const serious = () =>
  round.paths.filter((p) => p.findings.some((f) => f.severity !== "remark")).map((p) => p.path);

describe("the demo", () => {
  it("measures all 72 paths of real WAV files", () => {
    expect(round.paths.filter((p) => p.status === "measured")).toHaveLength(72);
    expect(readdirSync(join(folder, "captures"))).toHaveLength(72);
  });

  it("knows its own desk file and recordings again", () => {
    expect(() => assertOwnFile(join(folder, "desk.yaml"), demoDeskKind)).not.toThrow();
    for (const name of readdirSync(join(folder, "captures"))) {
      expect(() => assertOwnFile(join(folder, "captures", name), demoCaptureKind)).not.toThrow();
    }
  });

  it("finds six of six hidden faults in the top six", () => {
    const top = round.paths.filter((p) => (p.rank ?? 99) <= 6).map((p) => p.path);
    expect([...top].sort()).toEqual([...hidden].sort());
  });

  it("calls no healthy path a fault", () => {
    expect([...serious()].sort()).toEqual([...hidden].sort());
  });

  it("names the cause of each as a person would", () => {
    const cause = (path: string) => round.paths.find((p) => p.path === path)?.causes[0]?.cause;
    expect(cause("4/mic")).toBe("noisy-device");
    expect(cause("6/tape")).toBe("high-loss");
    expect(cause("9/line")).toBe("early-clipping");
    expect(cause("14/tape")).toBe("open-leg");
    expect(cause("17/line")).toBe("dried-coupling-capacitor");
    expect(cause("21/mic")).toBe("dried-gain-leg-capacitor");
  });

  it("finds the two clocks 11 ppm apart on every path", () => {
    for (const { take } of round.paths)
      expect(Math.abs((take?.driftPpm ?? 0) - 11)).toBeLessThan(0.1);
  });
});
