import type { PartSpec } from "./part-spec.js";

/** How well a part fits a requirement. */
export interface PartFit {
  /** Whether the value is the required one, within the precision of labels. */
  readonly isSame: boolean;
  /** Distance of the value from the required one, as a logarithm of their ratio; 0 for the same. */
  readonly distance: number;
  /** Number of words in its kind that were not required. */
  readonly strangers: number;
}

/** Values this close count as the same: tolerances are far wider. */
const sameRatio = 0.01;

/**
 * Largest factor, up or down, between a value and the required one. An electrolytic itself has ± 20
 * %, so the neighbours in E12 (IEC 60063; a step of 10^(1/12) = 1.21) are within its tolerance;
 * film and ceramic have ± 10 %, resistors ± 5 %, a step of E24 (common practice, no source).
 */
const nearest = { electrolytic: 1.25, capacitor: 1.1, resistor: 1.05 } as const;

/** Words that add nothing to the unit. */
const plain: ReadonlySet<string> = new Set(
  "capacitor cap condenser resistor res radial axial upright new spare the a of".split(" "),
);
const wet: ReadonlySet<string> = new Set([
  "electrolytic",
  "bipolar",
  "non-polar",
  "np",
  "nonpolar",
]);

interface KindWords {
  readonly words: readonly string[];
  /** ± percent. */
  readonly percent?: number;
  readonly watts?: number;
}

/** A kind in the form for comparison: `resistor 1% 0.6 w` is a resistor of 1 % and 0.6 W. */
function readKind(kind: string): KindWords {
  const percent = /(?:±\s*)?(\d+(?:[.,]\d+)?)\s*%/.exec(kind);
  const watts = /(\d+(?:[.,]\d+)?)\s*(m?)w(?:att)?s?(?![a-z])/.exec(kind);
  const number = (text: string) => Number(text.replace(",", "."));
  const rest = [percent?.[0], watts?.[0]].reduce<string>(
    (left, part) => (part === undefined ? left : left.replace(part, " ")),
    kind,
  );
  return {
    words: rest.split(/\s+/).filter((word) => word !== "" && word !== "±"),
    ...(percent === null ? {} : { percent: number(percent[1]) }),
    ...(watts === null ? {} : { watts: number(watts[1]) * (watts[2] === "m" ? 1e-3 : 1) }),
  };
}

/** Tolerance in ± percent given in a part's kind; undefined if none. */
export function getTolerancePercent({ kind }: PartSpec): number | undefined {
  return readKind(kind).percent;
}

/**
 * Rates whether a part fits a requirement: the value or one near it, at least the voltage and
 * power, no wider tolerance, and all words of the required kind; more words do no harm. Without a
 * value, as for a fuse or an op amp, the words must be the same.
 *
 * @returns undefined if it does not fit
 */
export function rateFit(wanted: PartSpec, part: PartSpec): PartFit | undefined {
  if (!isVoltsEnough(wanted, part)) return undefined;
  const [asked, has] = [readKind(wanted.kind), readKind(part.kind)];
  if (asked.percent !== undefined && !(has.percent !== undefined && has.percent <= asked.percent))
    return undefined;
  if (asked.watts !== undefined && !(has.watts !== undefined && has.watts >= asked.watts))
    return undefined;
  if (wanted.value === undefined) {
    const isSame =
      wanted.kind !== "" &&
      part.value === undefined &&
      [...asked.words].sort().join(" ") === [...has.words].sort().join(" ");
    return isSame ? { isSame, distance: 0, strangers: 0 } : undefined;
  }
  if (part.unit !== wanted.unit || part.value === undefined) return undefined;
  const named = asked.words.filter((word) => !plain.has(word));
  // A part without a kind is assumed to be of the right kind.
  if (has.words.length > 0 && !named.every((word) => has.words.includes(word))) return undefined;
  const distance = Math.abs(Math.log(part.value / wanted.value));
  const isSame = distance <= Math.log(1 + sameRatio);
  if (!isSame && distance > Math.log(getReach(wanted, asked, has)) + 1e-9) return undefined;
  const strangers = has.words.filter((word) => !plain.has(word) && !named.includes(word)).length;
  return { isSame, distance: isSame ? 0 : distance, strangers };
}

/** How close a value has to be: within the required tolerance, if one is given. */
function getReach({ unit }: PartSpec, asked: KindWords, has: KindWords): number {
  const usual =
    unit === "Ω"
      ? nearest.resistor
      : [...asked.words, ...has.words].some((word) => wet.has(word))
        ? nearest.electrolytic
        : nearest.capacitor;
  return asked.percent === undefined ? usual : Math.min(usual, 1 + asked.percent / 100);
}

function isVoltsEnough({ volts: least }: PartSpec, { volts }: PartSpec): boolean {
  return least === undefined || (volts !== undefined && volts >= least);
}
