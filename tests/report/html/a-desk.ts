import { buildOctaveGrid } from "../../../src/dsp/octave-grid.js";
import type { Round, RoundPath } from "../../../src/history/types.js";
import { readingKinds } from "../../../src/measure/reading-kinds.js";
import type { Curve, Reading } from "../../../src/measure/types.js";
import { getProfileVersion } from "../../../src/signal/signal-table.js";

/** Texts that a file may hold, and that must stay texts. */
export interface Texts {
  readonly desk: string;
  readonly strip: (number: number) => string;
  readonly inputs: readonly string[];
  readonly note: string;
}

const plain: Texts = {
  desk: "The Harrowmill desk",
  strip: String,
  inputs: ["mic", "line", "tape"],
  note: "measure it",
};

/**
 * A made-up round of any size with everything that a page can show: curves at the points that a
 * measurement gives, all readings, 2/… ailing with marks and causes, 3/… set wrongly, the last path
 * missing. Its numbers mean nothing.
 */
export function aDesk(strips: number, texts: Texts = plain, drift = 0): Round {
  const random = numbers(strips + 1);
  const paths = texts.inputs.flatMap((input) =>
    Array.from({ length: strips }, (_, k) => aPath(k + 1, input, texts, random, drift)),
  );
  return {
    format: "deskround-round",
    version: 1,
    id: drift === 0 ? "2031-03-14-01" : "2030-03-10-01",
    desk: { name: texts.desk, mainsHz: 50 },
    date: drift === 0 ? "2031-03-14T12:00:00Z" : "2030-03-10T12:00:00Z",
    tool: { name: "deskround", version: "0.1.0" },
    signal: {
      id: "v1-standard-base",
      version: getProfileVersion("standard"),
      profile: "standard",
      band: "base",
      sampleRate: 48_000,
      nominalDbfs: -18,
    },
    calibration: null,
    captures: paths.map(({ take }) => ({
      file: take?.file ?? "",
      sha256: "0f".repeat(32),
      sampleRate: 48_000,
      bits: 24,
      channels: 1,
      frames: 600_000,
    })),
    warnings: strips > 4 ? [] : [texts.note],
    remarks: [],
    paths: [...paths.slice(0, -1), missing(paths[paths.length - 1], texts)],
  };
}

function aPath(
  number: number,
  input: string,
  { strip, note, inputs }: Texts,
  random: () => number,
  drift: number,
): RoundPath {
  const ailing = number === 2 && input === inputs[0];
  const setWrong = number === 3 && input === inputs[0];
  const name = strip(number);
  const low = (hz: number) => (ailing || setWrong ? -4 * (20 / hz) ** 2 - drift : -drift / 10);
  const reading = (unit: string, value: number): Reading => ({ value, unit, uncertainty: 0.05 });
  const finding = {
    reading: "response",
    against: "siblings",
    value: -4,
    expected: -0.1,
    deviation: -3.9,
    unit: "dB",
    score: -25,
    severity: ailing ? "service" : "watch",
    words: "response 3.9 dB below its siblings at 20 Hz",
    atHz: 19.953,
  } as const;
  const noise = {
    ...finding,
    reading: "noise",
    words: "noise 9.1 dB above its siblings",
    value: -90,
    expected: -99,
    deviation: 9,
    score: 20,
  };
  const odd = ailing || setWrong;
  return {
    path: `${name}/${input}`,
    strip: name,
    input,
    family: input,
    status: "measured",
    take: {
      file: `/somewhere/${name}-${input}.wav`,
      channel: 0,
      startSample: 25_000,
      driftPpm: 11,
    },
    readings: Object.fromEntries(
      readingKinds.map(({ id, unit }) => [
        id,
        id === "polarity"
          ? { value: 1, unit: "", uncertainty: 0 }
          : reading(unit, (odd && id === "noise" ? -60 : -90) + random()),
      ]),
    ),
    absent: { crosstalk: note },
    curves: {
      response: curve(24, 20, 20_000, "dB", (hz) => low(hz) + 0.02 * random()),
      noise: curve(3, 25, 20_000, "dBFS", (hz) => -160 + 10 * Math.log10(hz) + random()),
      humLines: {
        ...lines((k) => (k === 1 ? -100 : -140)),
        floor: Array.from({ length: 20 }, () => -145),
      },
      ...Object.fromEntries(
        ["distortion", "harmonic2", "harmonic3", "harmonic4", "harmonic5"].map((id, k) => {
          const one = curve(6, 20, 10_000, "dB", () => -85 - 4 * k + 3 * random());
          return [id, { ...one, floor: one.x.map(() => -96) }];
        }),
      ),
    },
    ...(ailing
      ? {
          marks: [
            { kind: "click", atS: 1.2, overDb: 21.5 },
            { kind: "clipped", atS: 10.9, untilS: 11.1 },
            { kind: "dropout", what: "lost", samples: 64, atS: 7.1, untilS: 7.2 },
          ] as const,
        }
      : {}),
    steps: [-60, -40, -20, 0, 6, 12, 17].map((aboveNominalDb) => ({
      aboveNominalDb,
      gainDb: aboveNominalDb === 17 ? -0.4 * random() : 0,
      uncertainty: 0.02,
      distortionDb: -90 + aboveNominalDb,
    })),
    oddness: odd ? 30 / number : 0,
    rank: number,
    findings: odd ? [finding, noise] : [],
    causes: odd
      ? [
          {
            cause: setWrong ? "low-cut-left-in" : "dried-coupling-capacitor",
            name: setWrong ? "low-cut left in" : "dried coupling capacitor",
            kind: setWrong ? "setting" : "fault",
            probability: 0.87,
            evidence: ["response falls towards low frequency", note],
            against: [note],
            confirmBy: note,
            where: note,
            ready: note,
            care: note,
          },
        ]
      : [],
  };
}

function missing(path: RoundPath, { note }: Texts): RoundPath {
  const { take: _, rank: __, ...rest } = path;
  return { ...rest, status: "missing", reason: note, readings: {}, curves: {}, absent: {} };
}

function curve(
  perOctave: number,
  fromHz: number,
  toHz: number,
  yUnit: string,
  at: (hz: number) => number,
): Curve {
  const x = buildOctaveGrid(perOctave, fromHz, toHz);
  return { x, y: x.map(at), uncertainty: x.map(() => 0.01), xUnit: "Hz", yUnit };
}

function lines(at: (order: number) => number): Curve {
  const orders = Array.from({ length: 20 }, (_, k) => k + 1);
  return {
    x: orders.map((k) => 50 * k),
    y: orders.map(at),
    uncertainty: orders.map((k) => (k === 1 ? 0.3 : 6)),
    xUnit: "Hz",
    yUnit: "dBFS",
  };
}

/** The same numbers from 0 to 1 every time (a linear congruence; they need only differ). */
function numbers(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 1_664_525 + 1_013_904_223) % 2 ** 32;
    return state / 2 ** 32;
  };
}
