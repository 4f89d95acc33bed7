import type { PartRole } from "../../diagnose/bench.js";
import { siPrefixes } from "../../text/si-prefixes.js";

/** A kind of part, from words and values. */
export interface PartSpec {
  /** In lower case: `electrolytic`, `op amp`; empty if only a value is given. */
  readonly kind: string;
  /** Farads or ohms. */
  readonly value?: number;
  readonly unit?: "F" | "Ω";
  readonly volts?: number;
}

const number = String.raw`(\d+(?:[.,]\d+)?)`;
const end = String.raw`(?![\p{L}\p{N}])`;
const start = String.raw`(?<![\p{L}\p{N}.,])`;
const patterns = {
  volts: new RegExp(`${start}${number}\\s*(?:V|volts?|VDC|WV|VW|V ?DC)${end}`, "iu"),
  farads: new RegExp(`${start}${number}\\s*([pnuµμm])\\s*F?${end}`, "u"),
  faradsPlain: new RegExp(`${start}${number}\\s*()F${end}`, "u"),
  faradsPoint: new RegExp(`${start}(\\d+)([pnuµμ])(\\d+)F?${end}`, "u"),
  mfd: new RegExp(`${start}${number}\\s*()mfd${end}`, "iu"),
  ohms: new RegExp(`${start}${number}\\s*([kKM]?)\\s*(?:Ω|Ω|ohms?|R)${end}`, "iu"),
  ohmsBare: new RegExp(`${start}${number}\\s*([kKM])${end}`, "u"),
  ohmsPoint: new RegExp(`${start}(\\d+)([RkKM])(\\d+)${end}`, "u"),
};

/**
 * The kind of part for each role in a plan (common practice, no source); undefined if it has the
 * name of the role.
 */
const kindOfRole: Readonly<Record<PartRole, string | undefined>> = {
  "coupling capacitor": "electrolytic",
  "gain leg capacitor": "electrolytic",
  "decoupling capacitor": "electrolytic",
  "small capacitor": undefined,
  "op amp": undefined,
  "input device": undefined,
  resistor: undefined,
  "feed resistor pair": undefined,
  control: undefined,
  switch: undefined,
  socket: undefined,
  fuse: undefined,
  "bias parts": undefined,
  "ribbon cable": undefined,
  lamp: undefined,
  "contact cleaner": undefined,
};

/** Synonyms for kinds of parts. */
const kindOfName: Readonly<Record<string, string>> = {
  "electrolytic capacitor": "electrolytic",
  "electrolytic cap": "electrolytic",
  elco: "electrolytic",
  lytic: "electrolytic",
  "film capacitor": "film",
  "ceramic capacitor": "ceramic",
  "tantalum capacitor": "tantalum",
};

const kinds = new Map([...Object.entries(kindOfRole), ...Object.entries(kindOfName)]);

/**
 * Parses the label of a part.
 *
 * @example
 * parsePartSpec("electrolytic 10 µF 63 V"); // { kind: "electrolytic", value: 1e-5, unit: "F", volts: 63 }
 * parsePartSpec("resistors 6k8"); // { kind: "resistor", value: 6800, unit: "Ω" }
 */
export function parsePartSpec(text: string): PartSpec {
  let rest = ` ${text
    .replace(/\s+/g, " ")
    .replace(/\b1\s*\/\s*([248])\s*(?=W\b|watt)/gi, (_, part) => `${1 / Number(part)} `)
    .replace(/(\d)\s*(?:VAC|V ?AC|V ?~)/gi, "$1 V ac")} `;
  const take = (pattern: RegExp): RegExpExecArray | null => {
    const found = pattern.exec(rest);
    if (found !== null) {
      rest = `${rest.slice(0, found.index)} ${rest.slice(found.index + found[0].length)}`;
    }
    return found;
  };
  const decimal = (digits: string) => Number(digits.replace(",", "."));
  const tidy = (value: number) => Number(value.toPrecision(12));
  const volts = take(patterns.volts);
  const mfd = take(patterns.mfd);
  const farads = mfd ?? take(patterns.farads) ?? take(patterns.faradsPlain);
  const faradsPoint = farads === null ? take(patterns.faradsPoint) : null;
  const isFarad = farads !== null || faradsPoint !== null;
  const ohms = isFarad ? null : (take(patterns.ohms) ?? take(patterns.ohmsBare));
  const ohmsPoint = isFarad || ohms !== null ? null : take(patterns.ohmsPoint);
  const bare = isFarad || ohms !== null || ohmsPoint !== null ? null : takeBareOhms(rest, take);
  const plain = farads ?? ohms ?? bare;
  const pointed = faradsPoint ?? ohmsPoint;
  const factor = (sign: string) => siPrefixes[sign] ?? 1;
  const value =
    plain !== null
      ? tidy(decimal(plain[1]) * (mfd === null ? factor(plain[2] ?? "") : 1e-6))
      : pointed !== null
        ? tidy(Number(`${pointed[1]}.${pointed[3]}`) * factor(pointed[2]))
        : undefined;
  const unit = isFarad ? "F" : value === undefined ? undefined : "Ω";
  return {
    kind: normalizeKind(rest),
    ...(value === undefined || unit === undefined ? {} : { value, unit }),
    ...(volts === null ? {} : { volts: decimal(volts[1]) }),
  };
}

/** "Resistor 4700", and 4700 alone: a capacitor needs its unit. */
function takeBareOhms(
  rest: string,
  take: (pattern: RegExp) => RegExpExecArray | null,
): RegExpExecArray | null {
  const isOhms =
    /\b(?:resistors?|res|pots?|potentiometers?|trimmers?)\b/i.test(rest) ||
    /^\s*\d+(?:[.,]\d+)?\s*$/.test(rest);
  return isOhms
    ? take(new RegExp(`${start}${number}(?!\\s*(?:%|W\\b|watt|mm|x\\b))${end}(?![.,]\\d)`, "iu"))
    : null;
}

function normalizeKind(text: string): string {
  const words = text
    .toLowerCase()
    // "0,25 w" is a quarter of a watt, not a list.
    .replace(/(\d),(?=\d)/g, "$1.")
    .replace(/[,;:/()@]+/g, " ")
    .trim()
    .split(/\s+/)
    .filter((word) => word !== "")
    .map((word) => (word.length > 3 ? word.replace(/(?<!s)s$/, "") : word));
  const kind = words.join(" ");
  return kinds.get(kind) ?? kind;
}
