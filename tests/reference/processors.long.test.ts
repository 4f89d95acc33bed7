import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  buildReturnTable,
  findReturns,
  inspectRecording,
  openSamples,
  sliceReturn,
} from "../../src/capture/index.js";
import { measureReturn } from "../../src/measure/measure.js";
import type { Curve, Measurement, Reading } from "../../src/measure/types.js";
import { buildSignalTable, encodeSignalWav } from "../../src/signal/index.js";
import { addNoise } from "../helpers/captures.js";

// Processors that others wrote, from Debian's packages sox, swh-plugins and tap-plugins, run by sox.
// Each is put to the signal and measured; what is expected comes from steady sines through the same
// processor and, for filters and curves of a known formula, from closed forms with scipy
// (processors/processors.py). Where sox, the plugins, Python or scipy are not there it is left out,
// unless CI_PROCESSORS=required.

const script = fileURLToPath(new URL("processors/processors.py", import.meta.url));
const lacks = [
  ["sox", () => spawnSync("sox", ["--version"]).status === 0],
  ["swh-plugins", () => existsSync("/usr/lib/ladspa/mbeq_1197.so")],
  ["tap-plugins", () => existsSync("/usr/lib/ladspa/tap_eq.so")],
  ["Python with scipy", () => spawnSync("python3", ["-c", "import scipy"]).status === 0],
].flatMap(([name, isThere]) => ((isThere as () => boolean)() ? [] : [name as string]));
const isRequired = process.env.CI_PROCESSORS === "required";

interface Truth {
  readonly file: string;
  readonly missing?: string;
  readonly response?: readonly (readonly [hz: number, db: number])[];
  readonly steady?: readonly (readonly [hz: number, db: number])[];
  readonly closed?: Readonly<Record<string, number | null>>;
}

const figures = ["gain", "thd", "thdHot", "compression", "headroom"] as const;
/** What reading steady sines back from a file of 32-bit floats leaves open, in decibels. */
const sinesDb = 0.002;

describe.skipIf(lacks.length > 0 && !isRequired)(
  `processors of other authors${lacks.length > 0 ? ` (left out: no ${lacks.join(", ")})` : ""}`,
  () => {
    const folder = mkdtempSync(join(tmpdir(), "processors-"));
    let truths: Record<string, Truth & Record<string, number | null>> = {};
    const measured = new Map<string, Measurement>();

    beforeAll(async () => {
      const signal = join(folder, "signal.wav");
      writeFileSync(
        signal,
        encodeSignalWav(buildSignalTable("standard", "base"), 48_000, "float32"),
      );
      truths = JSON.parse(
        execFileSync("python3", [script, signal, folder], { maxBuffer: 2 ** 26 }).toString(),
      );
      let seed = 1;
      for (const [name, { file, missing }] of Object.entries(truths)) {
        if (missing) continue;
        const reader = await openSamples(inspectRecording(join(folder, file)));
        const [found] = findReturns(reader).returns;
        const audio = {
          ...sliceReturn(reader, found),
          table: buildReturnTable(found),
          mainsHz: 50,
        };
        reader.close();
        addNoise(audio.samples, 1e-5, seed++);
        measured.set(name, measureReturn(audio));
      }
    }, 600_000);
    afterAll(() => rmSync(folder, { recursive: true, force: true }));

    it("are all there", () => {
      expect(Object.entries(truths).filter(([, { missing }]) => missing)).toEqual([]);
      expect(measured.size).toBeGreaterThanOrEqual(20);
    });

    it("have the response of steady sines and of closed forms, within its uncertainty", () => {
      let points = 0;
      let outside = 0;
      for (const [name, { response, steady }] of Object.entries(truths)) {
        const curve = measured.get(name)?.curves.response;
        for (const row of [response, steady]) {
          for (const [hz, db] of curve && row ? row : []) {
            const { value, uncertainty } = between(curve as Curve, hz);
            points++;
            if (Math.abs(value - db) > uncertainty + sinesDb) outside++;
            expect(Math.abs(value - db), `${name}, ${hz} Hz`).toBeLessThan(3 * uncertainty + 0.01);
          }
        }
      }
      expect(points).toBeGreaterThan(400);
      expect(outside / points).toBeLessThan(0.07);
    });

    it("have the level, distortion and headroom of steady sines, within their uncertainty", () => {
      let count = 0;
      let outside = 0;
      const judge = (reading: Reading | undefined, truth: number, what: string) => {
        if (!reading) return;
        count++;
        const { value, uncertainty, bound } = reading;
        if (bound === "upper") {
          expect(value, what).toBeGreaterThan(truth - sinesDb);
          return;
        }
        if (Math.abs(value - truth) > uncertainty + sinesDb) outside++;
        expect(Math.abs(value - truth), what).toBeLessThan(3 * uncertainty + 0.01);
      };
      for (const [name, truth] of Object.entries(truths)) {
        const readings = measured.get(name)?.readings ?? {};
        for (const id of figures) {
          for (const [kind, of] of [
            ["steady sines", truth[id]],
            ["closed form", truth.closed?.[id]],
          ] as const) {
            if (typeof of === "number") judge(readings[id], of, `${name}, ${id}, ${kind}`);
          }
        }
      }
      expect(count).toBeGreaterThan(60);
      expect(outside / count).toBeLessThan(0.07);
    });

    it("reach 1 % of distortion where steady sines do, and not elsewhere", () => {
      for (const [name, { headroom }] of Object.entries(truths)) {
        if (headroom === undefined || typeof headroom === "object") continue;
        expect(measured.get(name)?.readings.headroom, name).toBeDefined();
      }
    });
  },
);

/** A curve between its points, on the cubic in ln f through four of them. */
function between({ x, y, uncertainty }: Curve, hz: number) {
  const k = Math.max(
    1,
    x.findIndex((at) => at >= hz - 1e-6),
  );
  const four = [k - 2, k - 1, k, k + 1].filter((i) => i >= 0 && i < x.length);
  let value = 0;
  for (const i of four) {
    let weight = 1;
    for (const j of four) if (j !== i) weight *= Math.log(hz / x[j]) / Math.log(x[i] / x[j]);
    value += weight * y[i];
  }
  return { value, uncertainty: uncertainty[k] };
}
