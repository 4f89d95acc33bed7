import { escapeReport, getReportStyle, printReport } from "./output.js";

/**
 * Shows a report in the pager that `PAGER` names, or else in `less`, which exits at once if
 * everything fits. Without a terminal or a pager, the report is printed.
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
  // Quitting the pager early is not an error.
  if ((error as NodeJS.ErrnoException | undefined)?.code === "ENOENT") printReport(text);
}
