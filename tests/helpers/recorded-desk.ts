import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { encodeCaptureWav } from "../../src/signal/signal-wav.js";
import { synthesise } from "../../src/signal/synthesise.js";
import { assembleCapture } from "../../src/simulate/capture.js";
import { simulatePath, virtualDesk } from "../../src/simulate/desk.js";
import { simulateReference, type VirtualReferencePoint } from "../../src/simulate/reference.js";
import type { VirtualDeskOptions } from "../../src/simulate/types.js";

const rate = 48_000;
const signal = synthesise(buildSignalTable("quick", "base"), rate);

/** A virtual desk of mic and line inputs, its folder, and what it gives back path by path. */
export interface RecordedDesk {
  readonly folder: string;
  /** Returns of one occasion in the run sheet's order, by the options given. */
  readonly play: (options?: Partial<VirtualDeskOptions>) => readonly Float64Array[];
  /** The reference path at its turns, before and after them. */
  readonly playPast: (
    point: VirtualReferencePoint,
    options?: Partial<VirtualDeskOptions>,
  ) => readonly [Float64Array, Float64Array];
  /** Writes returns into one file, half a second apart. */
  readonly write: (name: string, returns: readonly Float64Array[]) => string;
}

/**
 * A desk to record: nothing of it is measured before it is asked for.
 *
 * @param more lines for desk.yaml
 */
export function createRecordedDesk(seed: number, strips: number, more = ""): RecordedDesk {
  const folder = mkdtempSync(join(tmpdir(), "recorded-"));
  const inputs = ["mic", "line"];
  writeFileSync(
    join(folder, "desk.yaml"),
    `name: D\nmains: 50\nstrips: ${strips}\ninputs: { mic: { nominal: -40 }, line: { nominal: 4 } }\n${more}`,
  );
  const build = (options: Partial<VirtualDeskOptions>) =>
    virtualDesk({ seed, strips, inputs, mainsHz: 50, faults: [], ...options });
  return {
    folder,
    play: (options = {}) => {
      const desk = build(options);
      return inputs.flatMap((input, i) =>
        Array.from({ length: strips }, (_, k) =>
          simulatePath({ ...desk, turn: i * strips + k }, k + 1, input, signal, rate),
        ),
      );
    },
    playPast: (point, options = {}) => {
      const desk = build(options);
      const at = (turn: number) => simulateReference({ ...desk, turn }, point, signal, rate);
      return [at(0), at(inputs.length * strips)];
    },
    write: (name, returns) => {
      const pauses = Array(returns.length + 1).fill(0.5);
      const file = join(folder, `${name}.wav`);
      const capture = assembleCapture(returns, pauses, rate, 1);
      writeFileSync(file, encodeCaptureWav(capture, rate, "int24"));
      return file;
    },
  };
}
