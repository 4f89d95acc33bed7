import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { explainNoReturn } from "../analysis/read/no-return.js";
import { measureTakes } from "../analysis/takes/measure-takes.js";
import { playAndRecord } from "../audio/run-audio.js";
import { inspectRecording } from "../capture/containers/inspect-recording.js";
import { openSamples } from "../capture/containers/open-samples.js";
import { findReturns } from "../capture/find/find-returns.js";
import { findMarker } from "../capture/find/locate-return.js";
import { buildReturnTable } from "../capture/find/return-table.js";
import { hasTwoClocks } from "../capture/one-clock.js";
import { sliceReturn } from "../capture/slice-return.js";
import type { RecordingInfo, SignalReturn } from "../capture/types.js";
import type { AudioSetup } from "../desk/audio.js";
import type { Desk } from "../desk/types.js";
import { amplitudeToDb, dbToAmplitude } from "../dsp/decibels.js";
import type { Heard } from "../not-measured.js";
import { buildSignalTable, chooseBand } from "../signal/signal-table.js";
import { encodeCaptureWav } from "../signal/signal-wav.js";
import { synthesise } from "../signal/synthesise.js";

/** What came back of a soft signal that was played through the chain: plain data. */
export interface ChainCheck {
  readonly sampleRate: number;
  /** How far below the signal itself it was played, dB. */
  readonly softerDb: number;
  /** What came back instead of the signal; absent if the signal did. */
  readonly heard?: Heard;
  /** Level that came back relative to the level sent, dB. */
  readonly gainDb?: number;
  /** Difference in level between parts of the signal, dB; it should be 0. */
  readonly levelMovesDb?: number;
  /** Recording clock relative to playing clock, ppm. */
  readonly driftPpm?: number;
  /** Samples lost or repeated on the way. */
  readonly slipSamples?: number;
  readonly isInverted?: true;
  readonly isClipped?: true;
}

/** The first sound of a sitting is this much softer than the signal, dB. */
export const softerDb = 30;

/** Without processing in the chain, the level differs by less than this between parts, dB. */
const steadyWithinDb = 0.5;
/** A larger difference means an unexpected fader, knob or pad in the way, dB. */
const mostOffDb = 20;

export type ChainFault =
  | "nothing"
  | "clips"
  | "slips"
  | "level-moves"
  | "two-clocks"
  | "level-off"
  | "inverted";

/** What is wrong with a chain for measuring, the worst first; common practice. */
export function listChainFaults(chain: ChainCheck): readonly ChainFault[] {
  const { heard, gainDb = 0, slipSamples, levelMovesDb = 0, driftPpm = 0 } = chain;
  if (heard !== undefined) return ["nothing"];
  const found: [ChainFault, boolean][] = [
    ["clips", chain.isClipped === true],
    ["slips", slipSamples !== undefined],
    ["level-moves", levelMovesDb > steadyWithinDb],
    ["two-clocks", hasTwoClocks(driftPpm)],
    ["level-off", Math.abs(gainDb) > mostOffDb],
    ["inverted", chain.isInverted === true],
  ];
  return found.flatMap(([fault, is]) => (is ? [fault] : []));
}

/**
 * Plays a soft signal through the chain and checks what comes back.
 *
 * @throws DeskroundError `usage` if playing or recording does not work
 */
export async function checkChain(
  setup: AudioSetup,
  desk: Desk,
  sampleRate: number,
): Promise<ChainCheck> {
  const folder = mkdtempSync(join(tmpdir(), "deskround-try-"));
  try {
    const table = buildSignalTable("quick", chooseBand(sampleRate));
    const soft = dbToAmplitude(-softerDb);
    const samples = synthesise(table, sampleRate).map((sample) => soft * sample);
    const signalFile = join(folder, "soft.wav");
    writeFileSync(signalFile, encodeCaptureWav(samples, sampleRate, "int24"));
    const recording = join(folder, "return.wav");
    await playAndRecord(setup, { signalFile, recording, sampleRate });
    return await readChain(recording, desk);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** What a recording of the soft signal shows about the chain. */
export async function readChain(recording: string, desk: Desk): Promise<ChainCheck> {
  const info = inspectRecording(recording);
  const { sampleRate } = info;
  const reader = await openSamples(info);
  const found = findReturns(reader);
  reader.close();
  const [one] = found.returns;
  const head = { sampleRate, softerDb };
  if (one === undefined)
    return { ...head, heard: explainNoReturn(found, { sampleRate, doubts: [] }).heard };
  const gainDb = amplitudeToDb(one.gain) + softerDb;
  const came = { ...head, gainDb, ...(one.inverted ? { isInverted: true as const } : {}) };
  if (one.slipSamples !== undefined) return { ...came, slipSamples: one.slipSamples };
  const takes = await measureTakes(
    new Map([["return", [one]]]),
    [{ info }],
    desk,
    undefined,
    () => {},
  );
  const [taken] = takes.get("return") ?? [];
  const moves = await compareMarkers(info, one);
  return {
    ...came,
    driftPpm: one.driftPpm,
    levelMovesDb: Math.abs(moves),
    ...(taken?.doubts?.includes("clipped") ? { isClipped: true as const } : {}),
  };
}

/**
 * How much louder the end marker came back than the start marker, dB. They were sent at the same
 * level, so only processing that changes the gain makes a difference, not the chain's response.
 */
async function compareMarkers(info: RecordingInfo, found: SignalReturn): Promise<number> {
  const reader = await openSamples(info);
  try {
    const { samples, origin, clock } = sliceReturn(reader, found);
    const table = buildReturnTable(found);
    const [start, end] = (["start", "end"] as const).map((which) => {
      const { startS, lengthS } = findMarker(table, which);
      const from = Math.max(0, Math.round(origin + startS * clock));
      const part = samples.subarray(from, Math.round(from + lengthS * clock));
      return Math.sqrt(part.reduce((sum, sample) => sum + sample * sample, 0) / part.length);
    });
    return amplitudeToDb(end / start);
  } finally {
    reader.close();
  }
}
