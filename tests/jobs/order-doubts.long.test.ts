import { mkdtempSync, readdirSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { isOrderDoubt } from "../../src/doubt.js";
import { analyze } from "../../src/jobs/analyze.js";
import { formatVerdict } from "../../src/report/verdict.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { encodeCaptureWav } from "../../src/signal/signal-wav.js";
import { synthesise } from "../../src/signal/synthesise.js";
import { assembleCapture } from "../../src/simulate/capture.js";
import { simulatePath, virtualDesk } from "../../src/simulate/desk.js";

const rate = 48_000;
const strips = 6;
const inputs = ["mic", "line"];
const options = { seed: 41, strips, inputs, mainsHz: 50 as const, faults: [] };

/** A folder with a round of the desk, and recordings of another occasion by path. */
async function aDesk() {
  const folder = mkdtempSync(join(tmpdir(), "order-"));
  writeFileSync(
    join(folder, "desk.yaml"),
    `name: D\nmains: 50\nstrips: ${strips}\ninputs: { mic: { nominal: -40 }, line: { nominal: 4 } }\n`,
  );
  const signal = synthesise(buildSignalTable("quick", "base"), rate);
  const play = (occasion: number) => {
    const desk = virtualDesk({ ...options, occasion });
    return inputs.flatMap((input) =>
      Array.from({ length: strips }, (_, k) => simulatePath(desk, k + 1, input, signal, rate)),
    );
  };
  const write = (name: string, renders: readonly Float64Array[]) => {
    const pauses = Array(renders.length + 1).fill(0.5);
    const file = join(folder, `${name}.wav`);
    writeFileSync(file, encodeCaptureWav(assembleCapture(renders, pauses, rate, 1), rate, "int24"));
    return file;
  };
  const request = { desk: folder, silent: [], keep: "preview" as const, date: "2031-04-02" };
  const first = write("first", play(0));
  await analyze({ ...request, captures: [first], keep: "store", date: "2030-04-02" }, () => {});
  const again = play(1);
  return {
    folder,
    again,
    write,
    measure: (...captures: readonly string[]) => analyze({ ...request, captures }, () => {}),
  };
}

describe("recordings of a desk that has a round", () => {
  it("are doubted where a strip was skipped or files were exchanged, and not otherwise", async () => {
    const { again, write, measure, folder } = await aDesk();
    const ordered = await measure(write("all", again));
    expect((ordered.doubts ?? []).filter(isOrderDoubt)).toEqual([]);

    const skipped = await measure(
      write(
        "skipped",
        again.filter((_, k) => k !== 2),
      ),
    );
    expect((skipped.doubts ?? []).filter(isOrderDoubt)).toMatchObject([
      { code: "order-shifted", places: "late", first: "3/mic", round: "2030-04-02-01" },
    ]);
    expect(formatVerdict(skipped)).toMatch(/^Which path each return belongs to is in doubt/);
    expect(skipped.warnings[0]).toContain("record it in a separate file");

    const [early, late] = [
      write("day part x", again.slice(0, 4)),
      write("day part y", again.slice(4)),
    ];
    const exchanged = await measure(late, early);
    expect((exchanged.doubts ?? []).filter(isOrderDoubt)).toMatchObject([
      { code: "files-exchanged", likelier: [early, late] },
    ]);
    expect(readdirSync(join(folder, "rounds")).filter((name) => name.endsWith(".json"))).toEqual([
      "2030-04-02-01.json",
    ]);
  }, 120_000);
});
