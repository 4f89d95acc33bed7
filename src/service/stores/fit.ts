import type { PartSpec } from "./part-spec.js";

/** How well a part does for what is wanted. */
export interface PartFit {
  /** The value is the one wanted, as near as any bag says it. */
  readonly isSame: boolean;
  /** How far the value is from the one wanted, as a ratio of logarithms; 0 for the same. */
  readonly distance: number;
  /** Words of its kind that were not asked for. */
  readonly strangers: number;
}

/** Two values that are one on every bag: their tolerance is far wider. */
const sameRatio = 0.01;

/**
 * How far a value may be from the one wanted, as a factor up or down. An electrolytic has ± 20 %
 * itself, so the neighbours of E12 (IEC 60063; a step of 10^(1/12) = 1.21) are within what was in
 * there; film and ceramic have ± 10 %, resistors ± 5 %, a step of E24 (common practice, no source).
 */
const nearest = { electrolytic: 1.25, capacitor: 1.1, resistor: 1.05 } as const;

/** Words that say no more than the unit does. */
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

/** A kind as it is compared: `resistor 1% 0.6 w` is a resistor of 1 % and 0.6 W. */
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

/** ± percent that a part's kind says; undefined where it says none. */
export function getTolerancePercent({ kind }: PartSpec): number | undefined {
  return readKind(kind).percent;
}

/**
 * Whether a part does for what is wanted: the value or one near it, at least the voltage and power,
 * no wider a tolerance, and all that the wanted kind says; a word more on the bag does no harm.
 * Where no value is wanted, as for a fuse or an op amp, the words must be the same.
 *
 * @returns undefined where it does not
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
  // A bag that names no kind at all is taken at its owner's word.
  if (has.words.length > 0 && !named.every((word) => has.words.includes(word))) return undefined;
  const distance = Math.abs(Math.log(part.value / wanted.value));
  const isSame = distance <= Math.log(1 + sameRatio);
  if (!isSame && distance > Math.log(getReach(wanted, asked, has)) + 1e-9) return undefined;
  const strangers = has.words.filter((word) => !plain.has(word) && !named.includes(word)).length;
  return { isSame, distance: isSame ? 0 : distance, strangers };
}

/** How near a value has to be: as near as the wanted tolerance, where one is said. */
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
