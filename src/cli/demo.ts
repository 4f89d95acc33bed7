import type { Command } from "commander";
import { nameDesk } from "../text/program-name.js";
import { parseWholeNumber, withDebugOption } from "./options.js";
import { getReportStyle, printReport } from "./output.js";
import { withProgress } from "./progress.js";
import { printRound } from "./round.js";

interface DemoOptions {
  readonly folder: string;
  readonly seed?: number;
  readonly json?: true;
}

/** The command `demo`. */
export function addDemo(program: Command): void {
  withDebugOption(program.command("demo"))
    .description("a virtual desk with hidden faults, from signal to worklist")
    .option("--folder <folder>", "folder of the virtual desk", "demo-desk")
    .option("--seed <number>", "draw another desk with other faults", parseWholeNumber)
    .option("-j, --json", "print the round as JSON")
    .action(async ({ folder, seed, json }: DemoOptions) => {
      const { demo } = await import("../jobs/demo.js");
      const request = { folder, ...(seed === undefined ? {} : { seed }) };
      const result = await withProgress((onProgress) => demo(request, onProgress));
      nameDesk(folder);
      await printRound(result.round, json ? "json" : "text", "stored");
      if (json) return;
      const { renderHidden } = await import("../report/hidden.js");
      printReport(renderHidden(result, getReportStyle()));
      const { plan } = await import("../jobs/plan.js");
      const { renderPlanShort } = await import("../report/plan/short.js");
      const { plan: list } = await plan({ desk: folder });
      printReport(`\n${renderPlanShort(list, getReportStyle())}`);
    });
}
