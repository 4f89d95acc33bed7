import { printMessage } from "./output.js";

/** Reminds anyone about to power the desk of the dangers that open notes report. */
export async function tellOpenDangers(desk: string): Promise<void> {
  const { readDangers } = await import("../jobs/read-dangers.js");
  const dangers = await readDangers(desk);
  if (dangers.length === 0) return;
  const { formatDangerReminder } = await import("../report/danger.js");
  printMessage(formatDangerReminder(dangers));
}
