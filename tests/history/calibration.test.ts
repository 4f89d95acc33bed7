import { createHash } from "node:crypto";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readCalibration, storeCalibration } from "../../src/history/calibration.js";
import { readRound, storeRound } from "../../src/history/store.js";
import type { Calibration } from "../../src/history/types.js";
import { aRound } from "./a-round.js";

function newFolder(): string {
  return mkdtempSync(join(tmpdir(), "calibration-"));
}

function aCalibration(date = "2031-03-14"): Calibration {
  const reading = (value: number, unit: string) => ({ value, unit, uncertainty: 0.0912345 });
  return {
    format: "deskround-calibration",
    version: 1,
    date: `${date}T12:00:00.000Z`,
    desk: { name: "Big desk", mainsHz: 50 },
    tool: { name: "deskround", version: "0.1.0" },
    signal: {
      id: "v1-standard-base",
      version: 1,
      profile: "standard",
      band: "base",
      sampleRate: 48_000,
      nominalDbfs: -18,
    },
    volts: {
      output: { value: 1.228, uncertainty: 0.0123456 },
      input: { value: 1.228, uncertainty: 0.0123456 },
      meterPercent: 1,
    },
    outputFullScale: reading(22.00245678, "dBu"),
    inputs: [
      {
        channel: 0,
        returns: 2,
        fullScale: reading(20.123456789, "dBu"),
        readings: { noise: reading(-112.3456789, "dBFS") },
        curves: {
          response: {
            x: [20, 1000],
            y: [-0.0123456, 0],
            uncertainty: [0.001, 0.001],
            xUnit: "Hz",
            yUnit: "dB",
          },
        },
      },
    ],
    captures: [
      { file: "loop.wav", sha256: "00", sampleRate: 48_000, bits: 24, channels: 1, frames: 9 },
    ],
    warnings: [],
  };
}

describe("a stored calibration", () => {
  it("is given back as it is on disk, with the checksum of the file", async () => {
    const folder = newFolder();
    const stored = storeCalibration(folder, aCalibration());
    expect(stored.inputs[0].fullScale).toEqual({
      value: 20.12346,
      unit: "dBu",
      uncertainty: 0.0912,
    });
    const sha256 = createHash("sha256")
      .update(readFileSync(join(folder, "calibration.json")))
      .digest("hex");
    expect(await readCalibration(folder)).toEqual({ ...stored, sha256 });
  });

  it("takes the place of an earlier one, whole, and leaves nothing else behind", async () => {
    const folder = newFolder();
    storeCalibration(folder, aCalibration("2030-01-01"));
    storeCalibration(folder, aCalibration("2031-01-01"));
    expect((await readCalibration(folder))?.date).toMatch(/^2031/);
    expect(readdirSync(folder)).toEqual(["calibration.json"]);
  });

  it("stands whole in the rounds that used it", async () => {
    const folder = newFolder();
    storeCalibration(folder, aCalibration());
    const calibration = (await readCalibration(folder)) ?? null;
    const { id } = storeRound(folder, { ...aRound("2031-03-15"), calibration });
    expect((await readRound(folder, id)).calibration).toEqual(calibration);
  });

  it("is undefined if there is none", async () => {
    expect(await readCalibration(newFolder())).toBeUndefined();
  });

  it.each([
    ["{", /calibration\.json is damaged: it is not complete JSON/],
    ["{}", /damaged: it is not marked as a calibration/],
    ['{"format":"deskround-round"}', /not marked as a calibration/],
    [
      '{"format":"deskround-calibration","version":2}',
      /newer deskround \(calibration version 2, known up to 1\)/,
    ],
    ['{"format":"deskround-calibration","version":1}', /damaged: date: /],
  ])("is refused when it reads %j", async (text, message) => {
    const folder = newFolder();
    writeFileSync(join(folder, "calibration.json"), text);
    await expect(readCalibration(folder)).rejects.toThrow(message);
    await expect(readCalibration(folder)).rejects.toMatchObject({ code: "calibration-file" });
  });

  it("says where in the file it is damaged", async () => {
    const folder = newFolder();
    const spoilt = structuredClone(aCalibration()) as unknown as { inputs: { returns: unknown }[] };
    spoilt.inputs[0].returns = "two";
    writeFileSync(join(folder, "calibration.json"), JSON.stringify(spoilt));
    await expect(readCalibration(folder)).rejects.toThrow(/inputs\[0\]\.returns/);
  });

  it("that cannot be read is an error, not an absence", async () => {
    const folder = newFolder();
    mkdirSync(join(folder, "calibration.json"));
    await expect(readCalibration(folder)).rejects.toMatchObject({ code: "calibration-file" });
  });
});
