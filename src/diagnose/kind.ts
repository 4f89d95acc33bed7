import type { PathCase } from "./case.js";
import type { Cause } from "./types.js";

/** How well a cause explains a path. */
export interface Judgement {
  /**
   * 0 to 1: how much of what the cause's physics demands is seen. A rule of thumb for ordering,
   * not a probability.
   */
  readonly weight: number;
  /** One line each, in words and numbers. */
  readonly evidence: readonly string[];
}

/** One cause: its names, how it is judged from its physics, and the check that settles it. */
export interface CauseKind {
  readonly id: string;
  readonly name: string;
  readonly kind: Cause["kind"];
  readonly confirmBy: string;
  /** Undefined where nothing speaks for the cause. */
  judge(path: PathCase): Judgement | undefined;
}

/** Decibels for evidence lines: sign and one decimal. */
export function db(value: number): string {
  return `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)} dB`;
}

/** Hertz for evidence lines: two digits. */
export function hz(value: number): string {
  return value < 995
    ? `${Number(value.toPrecision(2))} Hz`
    : `${Number((value / 1000).toPrecision(2))} kHz`;
}
