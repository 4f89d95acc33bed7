import { describe, expect, it } from "vitest";
import { inspectRecording } from "../../src/capture/containers/inspect-recording.js";
import { findEmbeddedSignal, readSignalFile } from "../../src/capture/signal-file.js";
import type { RecordingInfo } from "../../src/capture/types.js";
import { formatDoubt } from "../../src/report/doubts/format-doubt.js";
import {
  buildSignalTable,
  chooseBand,
  getProfileVersion,
  profiles,
} from "../../src/signal/signal-table.js";
import { encodeSignalWav, signalFormats } from "../../src/signal/signal-wav.js";
import { chunk, fmt, int16s, scratchFolder, thrownBy, wav } from "./wav-bytes.js";

const save = scratchFolder();
const quick = buildSignalTable("quick", "base");
const known = getProfileVersion("standard");
const other = known + 1;
const whole = inspectRecording(save("signal.wav", encodeSignalWav(quick, 48_000, "int16")));

/** The file's header with one label changed. */
function relabelled(change: (label: string) => string): RecordingInfo {
  const cues = whole.cues.map(({ position, label }) => ({ position, label: change(label) }));
  const { bext: _, ...rest } = whole;
  return { ...rest, cues };
}

describe("readSignalFile", () => {
  it("rebuilds the table of every profile from the file alone", () => {
    for (const profile of profiles) {
      const rate = profile === "quick" ? 96_000 : 48_000;
      const table = buildSignalTable(profile, chooseBand(rate));
      const info = inspectRecording(save(`${profile}.wav`, encodeSignalWav(table, rate, "int16")));
      expect(readSignalFile(info)).toEqual({ table, sampleRate: rate });
    }
  });

  it("reads every format of samples", () => {
    for (const format of signalFormats) {
      const info = inspectRecording(save(`${format}.wav`, encodeSignalWav(quick, 44_100, format)));
      expect(readSignalFile(info)).toEqual({ table: quick, sampleRate: 44_100 });
      expect(info.doubts.map(formatDoubt)).toEqual([]);
    }
  });

  it("goes by the name in bext where a program has dropped the labels", () => {
    expect(readSignalFile({ ...whole, cues: [] }).table).toEqual(quick);
  });

  it("goes by the labels where a program has dropped bext, or moved and added cues", () => {
    const cues = [{ position: 5, label: "my own mark" }, ...[...whole.cues].reverse()];
    const { bext: _, ...info } = whole;
    expect(readSignalFile({ ...info, cues }).table).toEqual(quick);
  });

  it("refuses the signal of another version, and says what to do", () => {
    const labelled = relabelled((label) => label.replace(/version=\d+/, `version=${other}`));
    const reference = { ...whole.bext!, originatorReference: `v${other}-quick-base-48000-int16` };
    for (const info of [labelled, { ...whole, cues: [], bext: reference }]) {
      const error = thrownBy(() => readSignalFile(info));
      expect(error).toMatchObject({
        code: "signal-version",
        message: expect.stringContaining(
          `signal.wav: made by another version of deskround (signal ${other}; this one reads ${known})`,
        ),
        hint: expect.stringMatching(/deskround signal/),
      });
      expect(thrownBy(() => findEmbeddedSignal(info))).toMatchObject({ code: "signal-version" });
    }
  });

  it("refuses a table that is damaged", () => {
    for (const change of [
      (label: string) => label.replace("kind=sweep", "kind=swoop"),
      (label: string) => label.replace(/ rate=\S+/, ""),
      (label: string) => label.replace("profile=quick", "profile=slow"),
      (label: string) => label.replace("start=0.1", "start=900"),
      (label: string) => label.replace(/^silence/, "sweep"),
      (label: string) => (label.includes("kind=") ? "" : label),
      (label: string) => label.replace(/length=\S+/, "length=1e9"),
    ]) {
      const error = thrownBy(() => readSignalFile(relabelled(change)));
      expect(error).toMatchObject({
        code: "signal-version",
        message: expect.stringMatching(/corrupt/),
      });
    }
  });
});

describe("an ordinary capture", () => {
  const plain = inspectRecording(save("plain.wav", wav(fmt(), chunk("data", int16s(1, 2)))));
  const bext = { description: "take", originator: "recorder", originatorReference: "v1-a-b-c" };

  it("holds no signal", () => {
    expect(findEmbeddedSignal(plain)).toBeUndefined();
    expect(
      findEmbeddedSignal({ ...plain, bext, cues: [{ position: 0, label: "kind=x" }] }),
    ).toBeUndefined();
  });

  it("cannot be read as one", () => {
    const error = thrownBy(() => readSignalFile(plain));
    expect(error).toMatchObject({
      code: "signal-version",
      message: expect.stringMatching(/plain\.wav/),
    });
  });
});
