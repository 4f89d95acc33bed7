import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { formatStarterDesk } from "../../src/desk/starter.js";
import type { Round } from "../../src/history/types.js";
import { runRenderTask } from "../../src/jobs/render-task.js";
import { scenario } from "../../src/simulate/scenario.js";
import { runAlone } from "../cli/run.js";

// The demo's six faults on a desk of eight strips, recorded to WAV files and analysed by the built
// program: what the product is for, on a third of the demo's paths. The demo itself is tried in
// demo.long.test.ts. Expected: what was put into the virtual desk.

const hidden = [
  { at: "2/mic", fault: "noisy-input-device", severity: 0.3, cause: "noisy-device" },
  { at: "3/tape", fault: "high-frequency-loss", severity: 0.25, cause: "high-loss" },
  { at: "4/line", fault: "missing-rail", severity: 0.6, cause: "early-clipping" },
  { at: "5/tape", fault: "open-leg", severity: 0.5, cause: "open-leg" },
  { at: "6/line", fault: "dried-coupling", severity: 0.2, cause: "dried-coupling-capacitor" },
  { at: "7/mic", fault: "dried-feedback-leg", severity: 0.1, cause: "dried-gain-leg-capacitor" },
] as const;

const folder = mkdtempSync(join(tmpdir(), "main-job-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function record(strips: number): readonly string[] {
  const { inputs } = scenario.options;
  mkdirSync(join(folder, "captures"));
  writeFileSync(
    join(folder, "desk.yaml"),
    formatStarterDesk({ name: "Desk", strips: String(strips), inputs, mainsHz: 50 }),
  );
  const desk = { ...scenario.options, strips, faults: hidden };
  return inputs.flatMap((input) =>
    Array.from({ length: strips }, (_, k) =>
      runRenderTask({
        desk,
        strip: k + 1,
        input,
        profile: "standard",
        sampleRate: 48_000,
        beforeS: 0.4,
        afterS: 0.4,
        file: join(folder, "captures", `${k + 1}-${input}.wav`),
      }),
    ),
  );
}

describe("the main job", () => {
  it("finds the faults of a desk in its recordings, and their causes", () => {
    const captures = record(8);
    const { code, out } = runAlone("analyze", ...captures, "--desk", folder, "--json");
    expect(code).toBe(0);
    const { paths } = JSON.parse(out) as Round;
    expect(paths.filter(({ status }) => status === "measured")).toHaveLength(24);
    const where = hidden.map(({ at }) => at).sort();
    const top = paths.filter(({ rank }) => (rank ?? 99) <= hidden.length);
    expect(top.map(({ path }) => path).sort()).toEqual(where);
    const serious = paths.filter(({ findings }) =>
      findings.some(({ severity }) => severity !== "remark"),
    );
    expect(serious.map(({ path }) => path).sort()).toEqual(where);
    for (const { at, cause } of hidden) {
      expect(paths.find(({ path }) => path === at)?.causes[0]?.cause, at).toBe(cause);
    }
  });
});
