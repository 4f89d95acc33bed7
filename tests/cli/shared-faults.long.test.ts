import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { synthesise } from "../../src/signal/synthesise.js";
import { buildRetest } from "../../src/simulate/retest.js";
import type { VirtualDeskOptions } from "../../src/simulate/types.js";
import { gaussian } from "../helpers/noise.js";
import { createRecordedDesk } from "../helpers/recorded-desk.js";
import { run } from "./run.js";

// What each desk has is how the virtual desk was spoilt; what may be said of it follows from that.

const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

function aDesk(seed: number, strips: number, more = "") {
  const desk = createRecordedDesk(seed, strips, more);
  folders.push(desk.folder);
  const said = (...args: readonly string[]) => run(...args, "--desk", desk.folder);
  const record = (name: string, options: Partial<VirtualDeskOptions>) =>
    desk.write(name, desk.play(options));
  return { ...desk, said, record };
}

const flat = (text: string) => text.replace(/\s+/g, " ");

describe("a re-test of a strip that was repaired", () => {
  const options = {
    seed: 61,
    strips: 6,
    inputs: ["mic", "line"],
    mainsHz: 50,
    faults: [{ at: "4/line", fault: "missing-rail", severity: 0.7 }],
  } as const satisfies VirtualDeskOptions;
  const { folder, said, record } = aDesk(options.seed, options.strips);
  const mended = [...options.faults];

  beforeAll(() => {
    expect(said("analyze", record("round", options), "--date", "2030-04-02").out).toContain(
      "4/line",
    );
    said("note", "done", "4", "op amp replaced");
  }, 120_000);

  const retest = (name: string, after: Partial<VirtualDeskOptions>) =>
    said("analyze", "--retest", "--preview", record(name, after), "--date", "2030-04-09");

  it("lets the desk be closed where it is repaired and nothing else changed", () => {
    const { code, out } = retest("good", buildRetest(options, { mended }));
    expect(flat(out)).toContain("The desk can be closed.");
    expect(code).toBe(0);
  }, 120_000);

  it("does not where an earth lead was forgotten, repaired or not", () => {
    const shared = [{ fault: "earth-lifted", severity: 0.57 }] as const;
    const { code, out } = retest("earth", buildRetest(options, { mended, shared }));
    expect(code).toBe(1);
    expect(flat(out)).toMatch(/Do not close the desk: .*hum/);
  }, 120_000);

  it("does not where the strip is as before under a noisier bus", () => {
    const shared = [{ fault: "bus-noise", severity: 0.33 }] as const;
    const { code, out } = retest("noisy", buildRetest(options, { mended: [], shared }));
    expect(code).not.toBe(0);
    expect(out).not.toContain("The desk can be closed");
    expect(readFileSync(join(folder, "notebook.jsonl"), "utf8")).not.toContain('"close"');
  }, 120_000);

  it("is judged in one unit where a calibration came between the two rounds", () => {
    const file = join(folder, "calibration.json");
    // The loopback of an interface that loses 2 dB, with a little noise as any converter's.
    const signal = synthesise(buildSignalTable("quick", "base"), 48_000);
    const noise = gaussian(7);
    const loop = createRecordedDesk(1, 1).write("loop", [
      signal.map((sample) => sample * 10 ** (-2 / 20) + 3e-6 * noise()),
    ]);
    try {
      expect(said("calibrate", loop, "--output-volts", "1.228").code).toBe(0);
      const good = retest("calibrated", buildRetest(options, { mended }));
      expect(flat(good.out)).toContain("The desk can be closed.");
      expect(good.out + good.err).not.toMatch(/[+-](?:1\d|2\d|3\d)\.\d dB/);
      const shared = [{ fault: "earth-lifted", severity: 0.57 }] as const;
      expect(retest("calibrated earth", buildRetest(options, { mended, shared })).code).toBe(1);
    } finally {
      rmSync(file, { force: true });
    }
  }, 120_000);

  it("and the comparison work under another name of the desk", () => {
    const file = join(folder, "desk.yaml");
    const text = readFileSync(file, "utf8");
    writeFileSync(file, text.replace("name: D", "name: The same by another name"));
    try {
      expect(retest("named", buildRetest(options, { mended })).code).toBe(0);
      const later = record("later", { ...options, occasion: 3 });
      expect(said("analyze", later, "--date", "2031-04-02").code).not.toBe(2);
      expect(said("compare").out).toContain("against 2030-04-02-01");
    } finally {
      writeFileSync(file, text);
    }
  }, 120_000);
});

describe("a first round", () => {
  it.each([
    ["earth-lifted", 0.93, /^Shared by several paths: .*hum/m],
    ["interface-noise", 0.88, /^Shared by several paths: .*hiss/m],
    ["master-bass-loss", 0.91, /^Shared by several paths: .*response at/m],
  ] as const)(
    "with %s on all paths says so first",
    (fault, severity, first) => {
      const { said, record } = aDesk(62, 4);
      const { code, out } = said(
        "analyze",
        record("first", { sharedFaults: [{ fault, severity }] }),
      );
      expect(out.split("\n").slice(2).join(" ")).toMatch(first);
      expect(code).toBe(3);
    },
    120_000,
  );

  it("in two recordings that were named the wrong way round is doubted", () => {
    const { play, write, said } = aDesk(63, 4);
    const returns = play();
    const [mic, line] = [
      write("evening x", returns.slice(0, 4)),
      write("evening y", returns.slice(4)),
    ];
    expect(said("analyze", mic, line, "--preview").code).toBe(0);
    const { code, out } = said("analyze", line, mic, "--preview");
    expect(code).toBe(3);
    expect(out).toMatch(/^Which path each return belongs to is in doubt/m);
    expect(flat(out)).toMatch(/recordings in another order: .*evening x.wav .*evening y.wav/);
  }, 120_000);
});

describe("strips with a feed of their own", () => {
  const banks = { feeds: [{ name: "feed 2", strips: [5, 6, 7, 8] }] };
  const shared = "flow: { shared: { feed 2: 5-8 } }\n";

  it("do not want service for its ripple, but one with a fault of its own does", () => {
    const { said, record } = aDesk(64, 8, shared);
    const { out } = said(
      "analyze",
      record("ripple", {
        banks,
        sharedFaults: [{ fault: "feed-smoothing-dried", at: "feed 2", severity: 0.8 }],
        faults: [{ at: "6/line", fault: "missing-rail", severity: 0.8 }],
      }),
      "--date",
      "2030-04-02",
    );
    expect(flat(out)).toMatch(/^.*Shared by several paths: feed 2 \(strips 5 to 8\)/);
    expect(flat(out)).toMatch(/1 path needs service: 6\/line/);
  }, 180_000);

  it("and a batch that distorts leave the others' faults to be told", () => {
    const { said, record } = aDesk(65, 8);
    const { out } = said(
      "analyze",
      record("batch", {
        sharedFaults: [{ fault: "batch-distorting", strips: [5, 6, 7, 8], severity: 0.55 }],
        faults: [{ at: "2/line", fault: "open-leg", severity: 0.5 }],
      }),
    );
    expect(flat(out)).toMatch(/1 path needs service: 2\/line/);
  }, 180_000);
});

describe("recordings of a desk that has a round", () => {
  const { said, play, write } = aDesk(66, 5);
  beforeAll(() => {
    expect(said("analyze", write("first", play()), "--date", "2030-04-02").code).toBe(0);
  }, 120_000);
  const again = () => play({ occasion: 1 });
  const later = (...files: readonly string[]) =>
    said("analyze", ...files, "--preview", "--date", "2031-04-02");

  it("that were named in the wrong order are not new faults", () => {
    const returns = again();
    const [x, y] = [write("day x", returns.slice(0, 5)), write("day y", returns.slice(5))];
    const { code, out } = later(y, x);
    expect(code).toBe(3);
    expect(out).toMatch(/^Which path each return belongs to is in doubt/m);
  }, 120_000);

  it("that skipped a path are put right by the remedy that is named", () => {
    for (const skip of [2]) {
      const returns = again();
      const short = write(
        `skip ${skip}`,
        returns.filter((_, k) => k !== skip),
      );
      const path = `${(skip % 5) + 1}/${skip < 5 ? "mic" : "line"}`;
      const { code, out } = later(short);
      expect(code, path).toBe(3);
      expect(flat(out), path).toMatch(/in a separate file named for it/);
      const alone = write(path.replace("/", "-"), [returns[skip]]);
      const right = later(short, alone);
      expect(right.code, path).toBe(0);
      expect(right.out, path).toContain("All 10 paths are like their siblings.");
    }
  }, 240_000);
});
