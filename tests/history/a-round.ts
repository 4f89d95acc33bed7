import type { Round, RoundPath } from "../../src/history/types.js";

/** One measured path with every optional part present. */
export function aPath(path: string): RoundPath {
  const [strip, input] = path.split("/") as [string, string];
  return {
    path,
    strip,
    input,
    family: input,
    status: "measured",
    take: { file: "take.wav", channel: 0, startSample: 12345.67891, driftPpm: 1.23456 },
    readings: { noise: { value: -86.123456789, unit: "dB", uncertainty: 0.123456 } },
    absent: { hum: "no silence was recorded" },
    curves: {
      response: {
        x: [20, 1000, 20000],
        y: [-0.123456789, 0, 0.0000123456],
        uncertainty: [0.0123456, 0.01, 0.01],
        xUnit: "Hz",
        yUnit: "dB",
      },
    },
    oddness: 1.23456789,
    rank: 1,
    findings: [
      {
        reading: "noise",
        against: "siblings",
        value: -86.1,
        expected: -95.2,
        deviation: 9.1,
        unit: "dB",
        score: 12.3456,
        severity: "service",
        words: "noise 9.1 dB above its siblings",
      },
    ],
    causes: [
      {
        cause: "noisy-input",
        name: "noisy input device",
        kind: "fault",
        probability: 0.87654321,
        evidence: ["noise 9.1 dB above its siblings"],
        confirmBy: "swap the device",
      },
    ],
  };
}

/** A small round of the given day. */
export function aRound(
  day: string,
  paths: readonly string[] = ["1/mic", "2/mic"],
): Omit<Round, "id"> {
  return {
    format: "deskround-round",
    version: 1,
    desk: { name: "Big desk", mainsHz: 50 },
    date: `${day}T10:00:00+01:00`,
    tool: { name: "deskround", version: "0.1.0" },
    signal: {
      id: "standard-base-1",
      version: 1,
      profile: "standard",
      band: "base",
      sampleRate: 48000,
      nominalDbfs: -18,
    },
    calibration: null,
    captures: [
      { file: "take.wav", sha256: "00", sampleRate: 48000, bits: 24, channels: 1, frames: 480000 },
    ],
    warnings: [],
    remarks: [],
    paths: paths.map(aPath),
  };
}
