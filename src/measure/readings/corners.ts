import { isAbsent } from "../absence.js";
import type { ReadingFacets, ReadingKind } from "../reading-kind.js";
import type { ResponseEnd } from "../roll-off.js";

type Facets<Id extends string> = Omit<
  ReadingFacets<Id>,
  "unit" | "source" | "segment" | "aspect" | "harm" | "least"
>;

/** Smallest relative change of a corner that matters (common practice, no source). */
const cornerShare = 0.15;
/** The two batches of a family may differ by this much in their corners, octaves. */
const batchOctaves = 0.4;

/**
 * Among siblings the response shows what a corner shows; from year to year a corner shows it
 * earlier.
 */
function cornerKind<Id extends string>(facets: Facets<Id>, end: ResponseEnd): ReadingKind<Id> {
  return {
    unit: "Hz",
    source: "common practice",
    segment: "sweep",
    aspect: "band",
    compared: "ratio",
    harm: "none",
    least: 0,
    batch: { group: facets.id, leastOctaves: batchOctaves },
    leastChange: { share: cornerShare },
    ...facets,
    read(context) {
      const found = context.rollOff(end);
      if (isAbsent(found)) return found;
      const { corner } = found;
      if (isAbsent(corner)) return corner;
      return { value: corner.hz, unit: "Hz", uncertainty: corner.uncertainty };
    },
  };
}

function orderKind<Id extends string>(facets: Facets<Id>, end: ResponseEnd): ReadingKind<Id> {
  return {
    unit: "",
    source: "Butterworth, textbook formula",
    segment: "sweep",
    aspect: "band",
    harm: "none",
    least: 0,
    leastChange: 0.5,
    ...facets,
    read(context) {
      const found = context.rollOff(end);
      if (isAbsent(found)) return found;
      const { order } = found;
      return isAbsent(order) ? order : { ...order, unit: "" };
    },
  };
}

/** Lower −3 dB corner relative to 1 kHz. */
export const cornerLow = cornerKind(
  {
    id: "cornerLow",
    name: "lower corner",
    definition: "where the response has fallen by 3 dB below 1 kHz",
    role: "lower-corner",
    harmInTime: "up",
    ageing: {
      order: 10,
      scale: "logarithm",
      wants: "capacitors",
      law: "drying",
      bandEnd: { hz: 20, side: "upper" },
    },
  },
  "low",
);

/** Upper −3 dB corner relative to 1 kHz. */
export const cornerHigh = cornerKind(
  {
    id: "cornerHigh",
    name: "upper corner",
    definition: "where it has fallen by 3 dB above 1 kHz",
    harmInTime: "down",
    atBandEnd: true,
    ageing: {
      order: 70,
      scale: "logarithm",
      wants: "a look at its treble",
      bandEnd: { hz: 20_000, side: "lower" },
    },
  },
  "high",
);

/** Steepness of the lower roll-off in orders of 6 dB per octave: 1 is one capacitor. */
export const orderLow = orderKind(
  {
    id: "orderLow",
    name: "order of the lower roll-off",
    definition: "how steeply it falls at the lower end, in steps of 6 dB per octave",
  },
  "low",
);

/** Steepness of the upper roll-off. */
export const orderHigh = orderKind(
  {
    id: "orderHigh",
    name: "order of the upper roll-off",
    definition: "how steeply it falls at the upper end",
    atBandEnd: true,
  },
  "high",
);
