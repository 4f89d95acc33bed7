import { join } from "node:path";
import { getDeskFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read/read-desk.js";
import { DeskroundError } from "../errors.js";
import { listCautions } from "../service/run-sheet.js";
import type { ToneSheet } from "../service/tone-sheet.js";
import { chooseBand, nominalDbfs, sweepEdges } from "../signal/signal-table.js";
import type { SignalFormat } from "../signal/signal-wav.js";
import { encodeToneWav, toneKind } from "../signal/tone-wav.js";
import { readDangers } from "./read-dangers.js";
import { writePieces } from "./write-pieces.js";

/** What `signal --tone` is asked to do. */
export interface ToneFileRequest {
  /** Folder that holds desk.yaml, or the desk file itself. */
  readonly desk: string;
  readonly frequencyHz: number;
  /** 5 when absent. */
  readonly minutes?: number;
  /** dBFS; the level of the test signal's tones when absent. */
  readonly levelDbfs?: number;
  readonly sampleRate: number;
  readonly format: SignalFormat;
  /** Where the WAV file goes; into the desk's folder when absent. */
  readonly out?: string;
  readonly write: "new" | "replace";
}

export interface ToneFileResult extends ToneSheet {
  readonly file: string;
  /** `kept`: an identical file existed. */
  readonly wav: "written" | "kept";
}

const usualMinutes = 5;
/** Keeps the file small enough for a memory stick; longer tones can be looped. */
const mostMinutes = 30;
const leastMinutes = 0.05;
const quietest = -80;

/**
 * Writes a steady tone for tracing the signal through an open desk.
 *
 * @throws DeskroundError `usage` for a frequency, level or length out of range; `desk-file`;
 *   `cannot-write` when a different file exists and is not to be replaced
 */
export async function makeTone(request: ToneFileRequest): Promise<ToneFileResult> {
  const { frequencyHz, sampleRate, format, write } = request;
  const { minutes = usualMinutes, levelDbfs = nominalDbfs } = request;
  assertRange(request, minutes, levelDbfs);
  const desk = readDesk(request.desk);
  const dangers = await readDangers(request.desk, desk.sections);
  const name = `deskround-tone-${frequencyHz}Hz-${sampleRate}-${format}.wav`;
  const file = request.out ?? join(getDeskFolder(request.desk), name);
  const tone = { frequencyHz, levelDbfs, lengthS: 60 * minutes, sampleRate, format };
  return {
    file,
    wav: writePieces(file, () => encodeToneWav(tone), write, {
      kind: toneKind,
      hint: "--force replaces an earlier tone, --out names another file.",
    }),
    frequencyHz,
    levelDbfs,
    minutes,
    sampleRate,
    format,
    nominalDbfs,
    sockets: desk.inputs.map(({ name: input, nominalDbu }) => ({
      input,
      dbu: Math.round(10 * (nominalDbu + levelDbfs - nominalDbfs)) / 10,
    })),
    ...(dangers.length === 0 ? {} : { dangers }),
    cautions: listCautions(),
  };
}

function assertRange(
  { frequencyHz, sampleRate }: ToneFileRequest,
  minutes: number,
  levelDbfs: number,
): void {
  const { fromHz, toHz } = sweepEdges[chooseBand(sampleRate)];
  if (!(frequencyHz >= fromHz && frequencyHz <= toHz)) {
    const higher = toHz < 42_000 && frequencyHz <= 42_000 && frequencyHz > toHz;
    throw new DeskroundError(
      "usage",
      `A tone of ${frequencyHz} Hz is out of range: at ${sampleRate} Hz it may be ${fromHz} to ${toHz} Hz.`,
      higher
        ? "With --rate 96000 it goes up to 42000 Hz."
        : "Usual are 30 Hz for coupling capacitors, 1000 Hz, and 15000 Hz for lost treble.",
    );
  }
  if (!(minutes >= leastMinutes && minutes <= mostMinutes)) {
    throw new DeskroundError(
      "usage",
      `${minutes} minutes are out of range: a tone lasts ${leastMinutes} to ${mostMinutes} minutes.`,
      "For longer, let the player repeat it.",
    );
  }
  if (!(levelDbfs >= quietest && levelDbfs <= 0)) {
    throw new DeskroundError(
      "usage",
      `A level of ${levelDbfs} dBFS is out of range: it may be ${quietest} to 0 dBFS, where 0 is a full-scale sine.`,
      `Left out, it is ${nominalDbfs} dBFS, as in the test signal.`,
    );
  }
}
