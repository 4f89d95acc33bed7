import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";

const script = fileURLToPath(new URL("../../scripts/kill/signals.mjs", import.meta.url));

it("Ctrl-C and SIGTERM end every command, at work and waiting, within a moment", () => {
  const { stdout } = spawnSync(process.execPath, [script, "3"], { encoding: "utf8" });
  const [, worst] = /signals, at most (\d+) ms\n$/.exec(stdout) ?? [];
  // 0.2 s are promised, and measured by the script on a quiet machine. Here it
  // matters that none goes on with its work: beside other programs a process may wait for seconds.
  expect(Number(worst), stdout).toBeLessThan(5000);
}, 900_000);
