import type { PartRole } from "../../diagnose/bench.js";
import { feedMatch } from "../../diagnose/meter-tolerance.js";
import { formatQuantity } from "../meter/quantity.js";

/** The preferred values in which a part is sold. */
export interface Sold {
  readonly unit: "F" | "Ω";
  /** Of IEC 60063. */
  readonly series: "E6" | "E24";
}

/** Properties of a kind of part. */
export interface PartRoleFacets {
  /** How to find its value if the desk file gives none. */
  readonly value: string;
  /** Absent if it is not sold in preferred values. */
  readonly sold?: Sold;
  /** Set if one of it serves all strips: no spare, nothing to solder. */
  readonly isConsumable?: true;
  /** Set for the two resistors that feed phantom power: its supply gives their value. */
  readonly feedsPhantom?: true;
  /** How well the parts of a pair must match, per cent. */
  readonly pairPercent?: number;
}

const electrolytic = {
  value: "electrolytic, value and voltage like its neighbours'",
  sold: { unit: "F", series: "E6" },
} as const;

/** Every kind of part, by its role in a repair. */
export const partRoles: Readonly<Record<PartRole, PartRoleFacets>> = {
  "coupling capacitor": electrolytic,
  "gain leg capacitor": electrolytic,
  "decoupling capacitor": electrolytic,
  "small capacitor": {
    value: "film or ceramic, value like its neighbours'",
    sold: { unit: "F", series: "E6" },
  },
  "op amp": { value: "the kind that is in the strip" },
  "input device": { value: "the kind that is in the strip" },
  resistor: {
    value: "metal film, 1 %, value like its neighbours'",
    sold: { unit: "Ω", series: "E24" },
  },
  "feed resistor pair": {
    value: "",
    sold: { unit: "Ω", series: "E24" },
    feedsPhantom: true,
    pairPercent: 100 * feedMatch,
  },
  control: { value: "same track, value and shaft" },
  switch: { value: "same poles and travel" },
  socket: { value: "same footprint" },
  fuse: { value: "same rating and speed, never larger" },
  "bias parts": { value: "the diodes and transistors that are in the stage" },
  "ribbon cable": { value: "same ways and length" },
  lamp: { value: "same voltage, current and base" },
  "contact cleaner": { value: "", isConsumable: true },
};

/** Value of the two resistors that feed phantom power. */
export function formatFeedPair(feedOhm: number): string {
  return `2 × ${formatQuantity(feedOhm, "Ω")}, matched within ${100 * feedMatch} % (IEC 61938)`;
}
