import { parseDecimal } from "../text/parse-decimal.js";

/** A level: in dBu, or relative to the test tone at its nominal level. */
export interface ExpectedLevel {
  readonly value: number;
  readonly unit: "dB" | "dBu";
}

/**
 * Bounds for all paths of a healthy desk, with one strip open, at the mix output. They judge what
 * all paths share if there is no earlier round.
 */
export interface Expectations {
  /** Most for all mains lines together. */
  readonly hum: ExpectedLevel;
  /** Most for noise without the mains. */
  readonly noise: ExpectedLevel;
  /** Hz; range in which the response is within 3 dB of 1 kHz. */
  readonly band: readonly [fromHz: number, toHz: number];
  /** Total harmonic distortion at the nominal level, at most, dB. */
  readonly distortionDb: number;
  /** The same 12 dB above nominal, at most, dB. */
  readonly overloadDb: number;
  /** dB; least level above nominal at which distortion reaches 1 %. */
  readonly headroomDb: number;
  /** dB; largest difference between inputs fed at their nominal levels. */
  readonly levelDb: number;
}

/**
 * Cautious on purpose: a desk that is only old meets them; one with a fault in a part shared by all
 * paths may not.
 */
export const defaultExpectations: Expectations = {
  // Common practice, no source: hum 60 dB below the programme is audible in every pause.
  hum: { value: -60, unit: "dB" },
  // A mix bus with one strip open lies 80 dB below nominal or more; 10 dB are allowed for age, many
  // strips and a simple interface (common practice, no source). Noise of the recording's word
  // length is added.
  noise: { value: -70, unit: "dB" },
  // Common practice, no source: audio paths reach from 20 Hz to 20 kHz within 3 dB.
  band: [20, 20_000],
  // Common practice, no source: 0.1 %, several times what a worn but working stage gives.
  distortionDb: -60,
  // Overload is counted from 1 % (the rated distortion of IEC 60268-3); line stages have more than
  // 12 dB above nominal (common practice).
  overloadDb: -40,
  headroomDb: 12,
  // Common practice, no source: pads and marks together are accurate within this.
  levelDb: 3,
};

/** Meaning of each expectation and source of its built-in value, for the pages. */
export const expectationGrounds: readonly {
  readonly key: string;
  readonly what: string;
  readonly builtIn: string;
  readonly source: string;
}[] = [
  {
    key: "hum",
    what: "mains lines together, at most",
    builtIn: "-60 dB",
    source: "common practice: hum 60 dB below the programme is audible in every pause",
  },
  {
    key: "noise",
    what: "noise without the mains, at most",
    builtIn: "-70 dB",
    source:
      "common practice: 80 dB below nominal for a mix bus with one strip open, less 10 dB for age, many strips and a simple interface. The dither of the recording's own word length is added to it (Lipshitz, Wannamaker and Vanderkooy, J. Audio Eng. Soc. 40(5), 1992): 93.3 dB below full scale with 16 bits",
  },
  {
    key: "band",
    what: "within 3 dB of 1 kHz from and to",
    builtIn: "20 Hz - 20 kHz",
    source: "common practice: the band of hearing; an audio path is within 3 dB over it",
  },
  {
    key: "distortion",
    what: "total harmonic distortion of the 1 kHz tone at nominal, at most",
    builtIn: "0.1 %",
    source: "common practice: several times what a worn but working stage gives",
  },
  {
    key: "overload",
    what: "the same 12 dB above nominal, at most",
    builtIn: "1 %",
    source: "overload is counted from 1 % (the rated distortion of IEC 60268-3)",
  },
  {
    key: "headroom",
    what: "level above nominal at which distortion reaches 1 %, at least",
    builtIn: "12 dB",
    source: "common practice: line stages have more, +16 dBu with +4 dBu as nominal",
  },
  {
    key: "level",
    what: "difference between inputs fed at their nominal levels, at most",
    builtIn: "3 dB",
    source: "common practice: pads and marks together are accurate within this",
  },
];

/** How each expectation may be written, for messages. */
export const expectationForms: Readonly<Record<string, string>> = {
  hum: "a level, e.g. -60 dB against the tone, or -56 dBu",
  noise: "a level, e.g. -76 dB against the tone, or -72 dBu",
  band: "two frequencies, e.g. 20 Hz - 20 kHz",
  distortion: "a share, e.g. 0.1 %, or -60 dB",
  overload: "a share, e.g. 1 %, or -40 dB",
  headroom: "decibels above nominal, e.g. 12 dB",
  level: "decibels, e.g. 3 dB",
};

/**
 * Reads expectations from the desk file; the rest are the built-in ones.
 *
 * @param written key to text
 * @returns the expectations, and the keys whose value is invalid
 *
 * @example
 * parseExpectations({ hum: "-65 dB" }).expectations.hum; // { value: -65, unit: "dB" }
 */
export function parseExpectations(written: Readonly<Record<string, string>>): {
  readonly expectations: Expectations;
  readonly faults: readonly string[];
} {
  const faults: string[] = [];
  let expectations = defaultExpectations;
  for (const [key, text] of Object.entries(written)) {
    const found = parseOne(key, text);
    if (found === undefined) faults.push(key);
    else expectations = { ...expectations, ...found };
  }
  return { expectations, faults };
}

/** Plausible bounds: dB below audibility, most dBu that a desk delivers, most dB of headroom. */
const lowest = -160;
const highestDbu = 30;
const mostDb = 60;
const highestHz = 200_000;

function parseOne(key: string, text: string): Partial<Expectations> | undefined {
  if (key === "band") return parseBand(text);
  const quantity = parseQuantity(text);
  if (quantity === undefined) return undefined;
  const { value, unit } = quantity;
  if (key === "hum" || key === "noise") {
    const isLevel = unit === "dBu" && value > lowest && value < highestDbu;
    if (!isLevel && !(unit === "dB" && value < 0 && value > lowest)) return undefined;
    return { [key]: { value, unit: unit as ExpectedLevel["unit"] } };
  }
  if (key === "distortion" || key === "overload") {
    const isShare = unit === "%" && value > 0 && value < 100;
    const db = isShare
      ? 20 * Math.log10(value / 100)
      : unit === "dB" && value < 0 && value > lowest
        ? value
        : undefined;
    return db === undefined ? undefined : { [`${key}Db`]: db };
  }
  if (unit !== "dB" || value <= 0 || value > mostDb) return undefined;
  return key === "headroom" ? { headroomDb: value } : { levelDb: value };
}

function parseBand(text: string): Partial<Expectations> | undefined {
  const ends = text.split(/\s+(?:-|to)\s+/).map(parseQuantity);
  const [from, to] = ends.map((one) => {
    if (one?.unit === "kHz") return 1000 * one.value;
    return one?.unit === "Hz" ? one.value : undefined;
  });
  if (ends.length !== 2 || from === undefined || to === undefined) return undefined;
  return from > 0 && from < 1000 && to > 1000 && to <= highestHz ? { band: [from, to] } : undefined;
}

function parseQuantity(
  text: string,
): { readonly value: number; readonly unit: string } | undefined {
  const found = parseDecimal(text);
  const unit = ["dBu", "dB", "%", "Hz", "kHz"].find(
    (one) => one.toLowerCase() === found?.unit.toLowerCase(),
  );
  return found === undefined || unit === undefined ? undefined : { value: found.value, unit };
}
