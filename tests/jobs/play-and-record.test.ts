import { appendFileSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { inspectRecording } from "../../src/capture/containers/inspect-recording.js";
import { openSamples } from "../../src/capture/containers/open-samples.js";
import { findReturns } from "../../src/capture/find/find-returns.js";
import { DeskroundError } from "../../src/errors.js";
import { playAndRecordOnce } from "../../src/jobs/play-and-record.js";
import { makeSignal } from "../../src/jobs/signal.js";
import { type Misbehaviour, writeSoundPrograms } from "../audio/sound-programs.js";
import { newDesk } from "./recordings.js";

// A player and a recorder that are programs of their own, a wire of gain 0.5 between them.

const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

async function deskThatPlays(how: Misbehaviour = {}): Promise<string> {
  const programs = mkdtempSync(join(tmpdir(), "sound-"));
  const desk = newDesk(2);
  folders.push(programs, desk);
  appendFileSync(
    join(desk, "desk.yaml"),
    `audio: ${JSON.stringify(writeSoundPrograms(programs, 10, how))}\n`,
  );
  await makeSignal({
    desk,
    profile: "quick",
    sampleRate: 48_000,
    format: "int24",
    write: "new",
    files: "all",
  });
  return desk;
}

async function refusalOf(work: Promise<unknown>): Promise<DeskroundError> {
  const error = await work.catch((thrown: unknown) => thrown);
  expect(error).toBeInstanceOf(DeskroundError);
  return error as DeskroundError;
}

describe("a signal that is played and recorded once", () => {
  it("returns the name of the recording, with the whole return in it", async () => {
    const desk = await deskThatPlays();
    const recording = join(desk, "here", "1-mic.wav");
    expect(await playAndRecordOnce({ desk, recording })).toBe(recording);
    const reader = await openSamples(inspectRecording(recording));
    const { returns } = findReturns(reader);
    reader.close();
    expect(returns).toHaveLength(1);
    expect(returns[0].gain).toBeCloseTo(0.5, 2);
    // A recording is never overwritten.
    const again = await refusalOf(playAndRecordOnce({ desk, recording }));
    expect(again.message).toContain("exists already");
  });

  it("says that a device is busy, in the recorder's own words", async () => {
    const desk = await deskThatPlays({ busy: true });
    const error = await refusalOf(playAndRecordOnce({ desk, recording: join(desk, "1.wav") }));
    expect(error.message).toMatch(/which should record, failed \(1\): device or resource busy\./);
    expect(error.hint).toContain("Is the device free");
  });

  it("notices a recorder that dies while the signal plays", async () => {
    const desk = await deskThatPlays({ diesAfterS: 4 });
    const error = await refusalOf(playAndRecordOnce({ desk, recording: join(desk, "1.wav") }));
    expect(error.message).toMatch(/which should record, failed \(1\)\./);
  });

  it("says what desk.yaml is to hold where it names no programs", async () => {
    const desk = newDesk(1);
    folders.push(desk);
    const error = await refusalOf(playAndRecordOnce({ desk, recording: join(desk, "1.wav") }));
    expect(error.message).toContain("does not say how this computer plays and records");
  });
});
