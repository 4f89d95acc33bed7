import { rmSync } from "node:fs";
import { afterAll, expect, it } from "vitest";
// @ts-expect-error a script without types
import { endAfter, listCommands, listWaits, prepareDesk } from "../../scripts/kill/signals.mjs";
import { slow } from "../helpers/slow.js";

// 0.2 s are promised, and `node scripts/kill/signals.mjs` measures them on a quiet machine. Here the
// quickest of a few counts, and a busy machine is allowed for: what is deaf to a signal while it
// works stays so for seconds.
const promisedMs = 500;

type Command = readonly [name: string, ...args: string[]];
type Wait = readonly [name: string, options: { on?: string; from?: string }, ...args: string[]];

const folder: string = prepareDesk(300);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it("Ctrl-C ends a command that calculates without a pause", async () => {
  const command = (listCommands(folder) as Command[]).find(([name]) => name === "compare");
  const times: number[] = [];
  // Two large rounds are parsed, checked and compared: most of a second and more.
  for (const delay of [500, 700, 900]) {
    times.push((await endAfter(command, delay, "SIGINT")) ?? Number.POSITIVE_INFINITY);
  }
  expect(Math.min(...times)).toBeLessThan(promisedMs);
});

const waits = (listWaits(folder) as Wait[]).filter(([, { on, from }]) => on === "terminal" || from);

/** Of what is waited for on a terminal and through a pipe, one each. */
const quickWaits = ["text on a terminal", "text from a FIFO"];

for (const wait of waits) {
  const how = quickWaits.includes(wait[0]) ? {} : slow;
  it(`a signal ends a program that waits for ${wait[0]}`, how, async () => {
    const [name, options, ...args] = wait;
    // One that refuses such an input has ended by itself.
    const end = async (signal: string) =>
      (await endAfter([name, ...args], 1200, signal, options)) ?? 0;
    const times = await Promise.all(["SIGINT", "SIGTERM", "SIGINT"].map(end));
    expect(Math.min(...times)).toBeLessThan(promisedMs);
  });
}
