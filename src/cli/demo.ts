import type { Command } from "commander";
import { wholeNumber, withDebugOption } from "./options.js";
import { withProgress } from "./progress.js";
import { printRound } from "./round.js";

interface DemoOptions {
  readonly folder: string;
  readonly seed: number;
  readonly json?: true;
}

export function addDemo(program: Command): void {
  withDebugOption(program.command("demo"))
    .description("a virtual desk with hidden faults, from signal to round")
    .option("--folder <folder>", "folder of the virtual desk", "demo-desk")
    .option("--seed <number>", "which desk; the same number gives the same faults", wholeNumber, 1)
    .option("--json", "print the round as JSON")
    .action(async ({ folder, seed, json }: DemoOptions) => {
      const { demo } = await import("../jobs/demo.js");
      const round = await withProgress((onProgress) => demo({ folder, seed }, onProgress));
      await printRound(round, json ? "json" : "text");
    });
}
