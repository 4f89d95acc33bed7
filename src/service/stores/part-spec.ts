/** A kind of part as far as words and figures say it. */
export interface PartSpec {
  /** In small letters: `electrolytic`, `op amp`; empty where only a value is said. */
  readonly kind: string;
  /** Farads or ohms. */
  readonly value?: number;
  readonly unit?: "F" | "Ω";
  readonly volts?: number;
}

const prefixes: Readonly<Record<string, number>> = {
  p: 1e-12,
  n: 1e-9,
  u: 1e-6,
  µ: 1e-6,
  μ: 1e-6,
  m: 1e-3,
  "": 1,
  k: 1e3,
  K: 1e3,
  M: 1e6,
};
const number = String.raw`(\d+(?:[.,]\d+)?)`;
const end = String.raw`(?![\p{L}\p{N}])`;
const start = String.raw`(?<![\p{L}\p{N}.,])`;
const patterns = {
  volts: new RegExp(`${start}${number}\\s*V${end}`, "iu"),
  farads: new RegExp(`${start}${number}\\s*([pnuµμm])\\s*F?${end}`, "u"),
  faradsPlain: new RegExp(`${start}${number}\\s*()F${end}`, "u"),
  faradsPoint: new RegExp(`${start}(\\d+)([pnuµμ])(\\d+)F?${end}`, "u"),
  ohms: new RegExp(`${start}${number}\\s*([kKM]?)\\s*(?:Ω|Ω|ohms?|R)${end}`, "iu"),
  ohmsBare: new RegExp(`${start}${number}\\s*([kKM])${end}`, "u"),
  ohmsPoint: new RegExp(`${start}(\\d+)([RkKM])(\\d+)${end}`, "u"),
};

/** Roles that a plan asks for, by the kind that lies in a drawer (common practice). */
const kindOfRole: Readonly<Record<string, string>> = {
  "coupling capacitor": "electrolytic",
  "gain leg capacitor": "electrolytic",
  "decoupling capacitor": "electrolytic",
  "electrolytic capacitor": "electrolytic",
  "film capacitor": "film",
  "ceramic capacitor": "ceramic",
  "tantalum capacitor": "tantalum",
};

/**
 * What a part is, from what somebody wrote on the bag.
 *
 * @example
 * parsePartSpec("electrolytic 10 µF 63 V"); // { kind: "electrolytic", value: 1e-5, unit: "F", volts: 63 }
 * parsePartSpec("resistors 6k8"); // { kind: "resistor", value: 6800, unit: "Ω" }
 */
export function parsePartSpec(text: string): PartSpec {
  let rest = ` ${text.replace(/\s+/g, " ")} `;
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
  const farads = take(patterns.farads) ?? take(patterns.faradsPlain);
  const faradsPoint = farads === null ? take(patterns.faradsPoint) : null;
  const isFarad = farads !== null || faradsPoint !== null;
  const ohms = isFarad ? null : (take(patterns.ohms) ?? take(patterns.ohmsBare));
  const ohmsPoint = isFarad || ohms !== null ? null : take(patterns.ohmsPoint);
  const plain = farads ?? ohms;
  const pointed = faradsPoint ?? ohmsPoint;
  const factor = (sign: string) => (sign.toUpperCase() === "R" ? 1 : (prefixes[sign] ?? 1));
  const value =
    plain !== null
      ? tidy(decimal(plain[1]) * factor(plain[2]))
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

function normalizeKind(text: string): string {
  const words = text
    .toLowerCase()
    .replace(/[,;:/()@]+/g, " ")
    .trim()
    .split(/\s+/)
    .filter((word) => word !== "")
    .map((word) => (word.length > 3 ? word.replace(/(?<!s)s$/, "") : word));
  const kind = words.join(" ");
  return kindOfRole[kind] ?? kind;
}

/** Two values that are one on every bag: their tolerance is far wider. */
const sameRatio = 0.01;

/**
 * Whether a part does for what is wanted: the same value, at least the voltage, and the same kind
 * where both say one. Where no value is wanted the kinds must be the same to the letter.
 */
export function isFit(wanted: PartSpec, part: PartSpec): boolean {
  const isKindSame = wanted.kind === part.kind;
  if (wanted.value === undefined) {
    return (
      wanted.kind !== "" && isKindSame && part.value === undefined && isVoltsEnough(wanted, part)
    );
  }
  if (part.unit !== wanted.unit || part.value === undefined) return false;
  if (Math.abs(part.value / wanted.value - 1) > sameRatio) return false;
  return (isKindSame || wanted.kind === "" || part.kind === "") && isVoltsEnough(wanted, part);
}

function isVoltsEnough({ volts: least }: PartSpec, { volts }: PartSpec): boolean {
  return least === undefined || (volts !== undefined && volts >= least);
}
