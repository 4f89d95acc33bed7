import { demoCaptureKind } from "../signal/own-files.js";
import { buildSignalTable, chooseBand } from "../signal/signal-table.js";
import { encodeDemoWav } from "../signal/signal-wav.js";
import { synthesise } from "../signal/synthesise.js";
import type { Profile } from "../signal/types.js";
import { pause } from "../simulate/capture.js";
import { simulatePath, virtualDesk } from "../simulate/desk.js";
import type { VirtualDesk, VirtualDeskOptions } from "../simulate/types.js";
import { writeFileAtomic } from "../write-file-atomic.js";

/** One path of a virtual desk to be played and recorded. */
export interface RenderTask {
  readonly desk: VirtualDeskOptions;
  /** 1-based. */
  readonly strip: number;
  readonly input: string;
  readonly profile: Profile;
  readonly sampleRate: number;
  /** Seconds recorded before and after the signal. */
  readonly beforeS: number;
  readonly afterS: number;
  readonly file: string;
}

/** Kept between tasks of a thread: all tasks of a job have the same desk and signal. */
let kept: { key: string; desk: VirtualDesk; signal: Float64Array } | undefined;

/** Plays the signal through one path and writes the return as a 24-bit WAV file. */
export function runRenderTask(task: RenderTask): string {
  const { desk, signal } = prepared(task);
  const { strip, input, sampleRate, beforeS, afterS, file } = task;
  const answer = simulatePath(desk, strip, input, signal, sampleRate);
  const parts = [
    pause(beforeS, sampleRate, `${strip}/${input} before`),
    answer,
    pause(afterS, sampleRate, `${strip}/${input} after`),
  ];
  const samples = new Float64Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    samples.set(part, at);
    at += part.length;
  }
  writeFileAtomic(file, encodeDemoWav(samples, sampleRate), demoCaptureKind);
  return file;
}

function prepared({ desk, profile, sampleRate }: RenderTask) {
  const key = JSON.stringify([desk, profile, sampleRate]);
  if (kept?.key === key) return kept;
  const signal = synthesise(buildSignalTable(profile, chooseBand(sampleRate)), sampleRate);
  kept = { key, desk: virtualDesk(desk), signal };
  return kept;
}
