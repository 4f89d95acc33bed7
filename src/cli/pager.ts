import { escapeReport, getReportStyle, printReport } from "./output.js";

/**
 * A report that is longer than the terminal is shown by the pager that `PAGER` names, else by `less`,
 * which ends on its own where all of it fits. Elsewhere, and where there is no pager, it is printed.
 */
export async function printPaged(text: string): Promise<void> {
  const { isTTY, rows = 0 } = process.stdout;
  const lines = text.split("\n").length;
  const pager = process.env.PAGER ?? "less";
  if (!isTTY || !process.stdin.isTTY || rows === 0 || lines <= rows || pager === "cat") {
    printReport(text);
    return;
  }
  const { spawnSync } = await import("node:child_process");
  const { error } = spawnSync(pager, {
    input: escapeReport(text, getReportStyle()),
    shell: pager.includes(" "),
    stdio: ["pipe", "inherit", "inherit"],
    env: { LESS: "-FRX", ...process.env },
  });
  // Who quits the pager early has seen enough.
  if ((error as NodeJS.ErrnoException | undefined)?.code === "ENOENT") printReport(text);
}
