/**
 * Notes faults one after the other, as fast as the disk takes them, and says each id when it is
 * noted: what was said must never be lost.
 *
 *     node scripts/notebook/writer.mjs <folder> <name> [count]
 */
import { writeSync } from "node:fs";
import { appendToNotebook } from "../../dist/service/notebook/append.js";

const [folder, name, count = "1000000"] = process.argv.slice(2);
for (let k = 0; k < Number(count); k++) {
  const text = `${name} ${k} ${"rather long, so that a line has a middle to be cut in ".repeat(k % 5)}`;
  const line = { date: "2031-03-14T12:00:00.000Z", kind: "fault", strip: "6", text };
  const { ids } = appendToNotebook(folder, [line]);
  writeSync(1, `${JSON.stringify({ id: ids[0], text })}\n`);
}
