import { scaleLinear, scaleLog } from "d3-scale";

/** Size of every plot, in units of its drawing; margins hold the labels. */
export const plotSize = { width: 440, height: 236 } as const;
export const plotArea = { left: 46, right: 430, top: 12, bottom: 200 } as const;

export interface Tick {
  /** Position along the axis, in units of the drawing. */
  readonly at: number;
  /** Absent for a line without a label. */
  readonly label?: string;
}

/** One axis: the position of a value, and the labels along it. */
export interface Axis {
  readonly place: (value: number) => number;
  readonly domain: readonly [number, number];
  readonly ticks: readonly Tick[];
  readonly title: string;
}

/** 1, 2 and 5 of each decade are labelled. */
const labelled = /^[125]0*$/;

/** A logarithmic frequency axis, from 20 Hz. */
export function buildFrequencyAxis(topHz: number, title = "frequency, Hz"): Axis {
  const domain = [20 / 1.02, topHz * 1.02] as const;
  const scale = scaleLog(domain, [plotArea.left, plotArea.right]);
  const ticks = scale.ticks(10).map((hz): Tick => {
    const at = scale(hz);
    return labelled.test(String(hz)) ? { at, label: hertzLabel(hz) } : { at };
  });
  return { place: scale, domain, ticks, title };
}

function hertzLabel(hz: number): string {
  return hz < 1000 ? String(hz) : `${hz / 1000} k`;
}

/**
 * A vertical axis of values, with round numbers at both ends.
 *
 * @param least the smallest span to show, so that small differences do not look alarming
 */
export function buildValueAxis(values: readonly number[], least: number, title: string): Axis {
  const [low, high] = values.length === 0 ? [0, 0] : computeExtent(values);
  const missing = Math.max(0, least - (high - low)) / 2;
  const scale = scaleLinear([low - missing, high + missing], [plotArea.bottom, plotArea.top]).nice(
    5,
  );
  const [from, to] = scale.domain();
  const text = scale.tickFormat(5);
  const ticks = scale.ticks(5).map((value) => ({ at: scale(value), label: text(value) }));
  return { place: scale, domain: [from, to], ticks, title };
}

/** A horizontal axis of values, linear. */
export function buildEvenAxis(from: number, to: number, title: string): Axis {
  const scale = scaleLinear([from, to], [plotArea.left, plotArea.right]);
  const text = scale.tickFormat(8);
  const ticks = scale.ticks(8).map((value) => ({ at: scale(value), label: text(value) }));
  return { place: scale, domain: [from, to], ticks, title };
}

/** Smallest and largest of many values. */
export function computeExtent(values: readonly number[]): readonly [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return [low, high];
}
