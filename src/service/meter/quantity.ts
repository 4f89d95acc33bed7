import { DeskroundError } from "../../errors.js";
import { siPrefixes } from "../../text/si-prefixes.js";

export type MeterUnit = "V" | "Ω" | "F";

const unitNames: Readonly<Record<MeterUnit, RegExp>> = {
  V: /^(V|v|volts?)$/,
  Ω: /^(Ω|Ω|R|ohms?|Ohms?)$/,
  F: /^(F|f|farads?)$/,
};

interface UnitKind {
  readonly name: string;
  readonly example: string;
  /** Prefixes after which the unit can be omitted. */
  readonly bare: readonly string[];
  /** Letters used as decimal point (IEC 60062; from memory), and their factor. */
  readonly point: Readonly<Record<string, number>>;
  readonly least: number;
  readonly most: number;
}

const kinds: Readonly<Record<MeterUnit, UnitKind>> = {
  V: {
    name: "voltage",
    example: "31.2 or 31.2V, 120mV",
    bare: [""],
    point: {},
    least: -1000,
    most: 1000,
  },
  Ω: {
    name: "resistance",
    example: "6.8k, 6k8, 680ohm, 1M",
    bare: ["k", "K", "M"],
    point: { R: 1, k: 1e3, K: 1e3, M: 1e6 },
    least: 0,
    most: 1e9,
  },
  F: {
    name: "capacitance",
    example: "47u, 4u7, 47uF, 100n, 22pF",
    bare: ["p", "n", "u", "µ", "μ"],
    point: { p: 1e-12, n: 1e-9, u: 1e-6, µ: 1e-6, μ: 1e-6 },
    least: 1e-13,
    most: 1,
  },
};

/**
 * Reads a value as it is written beside a meter: `31.2`, `120mV`, `6.79k`, `6k8`, `47uF`, `0,47 µ`.
 * Volts need no unit; ohms and farads need a prefix or the unit, since a plain 47 may be micro or
 * nano.
 *
 * @param text as written
 *
 * @param unit kind of value
 * @param what for the message: "pin 2"
 * @returns volts, ohms or farads
 * @throws DeskroundError `usage`: no number, another unit, no unit where one is needed, or more
 *   than any desk can hold
 */
export function parseQuantity(text: string, unit: MeterUnit, what: string): number {
  const kind = kinds[unit];
  const hint = `A ${kind.name} is written ${kind.example}.`;
  const plain = text.trim().replace(/^−/, "-");
  const value = pointed(plain, kind) ?? prefixed(plain, unit, what, hint);
  if (value < kind.least || value > kind.most) {
    throw new DeskroundError(
      "usage",
      `${what}: ${text.trim()} is impossible for a ${kind.name}.`,
      `Look at the decimal point and the unit. ${hint}`,
    );
  }
  return value;
}

/** `6k8`: the letter is the decimal point. */
function pointed(text: string, { point }: UnitKind): number | undefined {
  const match = /^(\d+)(\p{L})(\d+)$/u.exec(text);
  const factor = match === null ? undefined : point[match[2]];
  return match === null || factor === undefined
    ? undefined
    : tidy(Number(`${match[1]}.${match[3]}`) * factor);
}

function prefixed(text: string, unit: MeterUnit, what: string, hint: string): number {
  const match = /^([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(\S*)$/u.exec(text);
  if (match === null) {
    throw new DeskroundError("usage", `${what}: "${text}" is not a ${kinds[unit].name}.`, hint);
  }
  const number = Number(match[1].replace(",", "."));
  const tail = match[2];
  if (kinds[unit].bare.includes(tail)) return tidy(number * siPrefixes[tail]);
  if (unitNames[unit].test(tail)) return number;
  const prefix = tail.charAt(0);
  if (Object.hasOwn(siPrefixes, prefix) && unitNames[unit].test(tail.slice(1))) {
    return tidy(number * siPrefixes[prefix]);
  }
  throw new DeskroundError(
    "usage",
    tail === ""
      ? `${what}: ${text} has no unit, and a ${kinds[unit].name} needs one.`
      : `${what}: "${tail}" in ${text} is not a unit of ${kinds[unit].name}.`,
    hint,
  );
}

/** Removes binary rounding errors: 4.7 millionths are 0.0000047, not 0.0000046999…. */
function tidy(value: number): number {
  return Number(value.toPrecision(12));
}

const shown: readonly (readonly [least: number, prefix: string])[] = [
  [1e6, "M"],
  [1e3, "k"],
  [1, ""],
  [1e-3, "m"],
  [1e-6, "µ"],
  [1e-9, "n"],
  [1e-12, "p"],
];

/**
 * Formats a value to three figures with its prefix.
 *
 * @example
 * formatQuantity(6790, "Ω"); // "6.79 kΩ"
 */
export function formatQuantity(value: number, unit: MeterUnit): string {
  const size = Math.abs(Number(value.toPrecision(3)));
  if (size === 0) return `0 ${unit}`;
  // Millifarads are not used: 4700 µF.
  const usable = unit === "F" ? shown.filter(([least]) => least < 1e-3 || least === 1) : shown;
  const [by, letter] = usable.find(([from]) => size >= from) ?? usable[usable.length - 1];
  return `${value < 0 ? "−" : ""}${Number((size / by).toPrecision(3))} ${letter}${unit}`;
}
