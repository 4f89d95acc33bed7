import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";

const script = fileURLToPath(new URL("../../scripts/prove/prove.mjs", import.meta.url));
const { drawDesk } = await import(new URL("draw.mjs", `file://${script}`).href);

const { openDesk } = await import(new URL("run-draws.mjs", `file://${script}`).href);
const { runDesk } = await import(new URL("run-desk.mjs", `file://${script}`).href);

/** Where its temporary folders go. */
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "prove-test-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function prove(...args: readonly string[]) {
  return spawnSync(process.execPath, [script, ...args], {
    encoding: "utf8",
    env: { ...process.env, TMPDIR: folder },
    maxBuffer: 2 ** 26,
  });
}

describe("a run over two small desks", () => {
  // Seeds 12 and 13 draw one input each: 16 paths, four of them with something hidden.
  const seeds = [12, 13];
  const plans = seeds.map((seed) => drawDesk(seed, "small"));
  let ran: ReturnType<typeof prove>;
  beforeAll(() => {
    ran = prove("--seed", "12", "--desks", "2", "--size", "small", "--profile", "quick", "--json");
  });

  test("judges every path of both desks once", () => {
    expect(ran.status).toBe(0);
    const { judged, paths, hidden, healthy } = JSON.parse(ran.stdout);
    expect(judged.map(({ path }: { path: string }) => path)).toEqual(
      plans.flatMap(({ takes }) => takes.map(({ path }: { path: string }) => path)),
    );
    expect([paths, hidden, healthy]).toEqual([16, 4, 12]);
  });

  test("compares each path with what its seed hides there", () => {
    const { judged, confusion } = JSON.parse(ran.stdout);
    for (const plan of plans) {
      for (const { path, name } of plan.hidden) {
        const one = judged.find(
          (j: { seed: number; path: string }) => j.seed === plan.seed && j.path === path,
        );
        expect(one.hidden).toBe(name);
      }
    }
    const cells = Object.values<Record<string, { of: number }>>(confusion).flatMap((row) =>
      Object.values(row),
    );
    expect(cells.reduce((sum, { of }) => sum + of, 0)).toBe(4);
  });

  test("tells a line for each desk with its seed, and the time, on stderr", () => {
    for (const seed of seeds) expect(ran.stderr).toContain(`seed ${seed}: 8 strips`);
    expect(ran.stderr).toMatch(/\d+ s in all/);
  });

  test("leaves no captures behind", () => {
    expect(readdirSync(folder)).toEqual([]);
  });
});

test("a draw's round is what analyze makes of the same recordings", async () => {
  const desk = openDesk(drawDesk(12, "small"), "quick");
  const judged = (
    paths: readonly {
      path: string;
      rank: number;
      findings: readonly { readonly words?: string }[];
      causes: { cause: string; probability?: number }[];
    }[],
  ) =>
    paths.map(({ path, rank, findings, causes }) => ({
      path,
      rank,
      // A draw's are data: words are made where a round is stored.
      findings: findings.map(({ words: _, ...data }) => data),
      causes: causes.map(({ cause, probability }) => [cause, probability]),
    }));
  try {
    for (const draw of [0, 2]) {
      const plan = drawDesk(12, "small", "any", draw);
      expect(plan.hidden.length).toBeGreaterThan(0);
      const [drawn, whole] = [await desk.run(plan), await runDesk(plan, "quick")];
      expect(judged(drawn.paths)).toEqual(judged(whole.paths));
    }
  } finally {
    desk.close();
  }
}, 120_000);
