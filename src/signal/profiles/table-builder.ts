import { getOutputSteps } from "../outputs.js";
import type { Move, Segment, SignalBand, SignalTable } from "../types.js";
import {
  bands,
  gapS,
  markerS,
  nominalDbfs,
  outputStepS,
  pip,
  spacingBaseS,
  spacingStepS,
  sweepEdges,
} from "./constants.js";
import type { ControlsTiming, ControlWindow } from "./control-window.js";
import type { SignalName } from "./signal-name.js";

/**
 * Spacing of a marker's two chirps, seconds; it identifies the signal.
 *
 * @param step the marker's share of what names an output, see `outputs.ts`
 * @example
 * computeSpacing(1, "base", 1) > computeSpacing(1, "base"); // true
 */
export function computeSpacing(code: number, band: SignalBand, step = 0): number {
  const kind = code * bands.length + bands.indexOf(band);
  return round(spacingBaseS + spacingStepS * kind + outputStepS * step);
}

/** Lays segments one after the other; every method returns the builder. */
export class TableBuilder {
  readonly #segments: Segment[] = [];
  #atS = 0;

  /**
   * @param kind which signal it is; `code` names it in the spacing of its markers
   * @param output which output of a pass plays it; undefined if it is the only one
   */
  constructor(
    readonly kind: SignalName,
    readonly band: SignalBand,
    readonly output?: number,
  ) {}

  gap(seconds: number): this {
    this.#atS = round(this.#atS + seconds);
    return this;
  }

  marker(which: "start" | "end"): this {
    const step = this.output === undefined ? 0 : getOutputSteps(this.output)[which];
    const spacingS = computeSpacing(this.kind.code, this.band, step);
    return this.#add({
      kind: "marker",
      name: `marker-${which}`,
      which,
      spacingS,
      levelDbfs: nominalDbfs,
      ...this.#span(markerS),
    });
  }

  silence(seconds: number, name = "silence", move?: Move): this {
    return this.#add({ kind: "silence", name, ...this.#span(seconds), ...(move ? { move } : {}) });
  }

  /** `turns` is f1·L: an integer, so that the responses of all harmonics are in phase with the first. */
  sweep(turns: number, mostS: number, tailS: number): this {
    const { fromHz, toHz } = sweepEdges[this.band];
    const rateS = turns / fromHz;
    const sweepS = rateS * Math.log(toHz / fromHz);
    return this.#add({
      kind: "sweep",
      name: "sweep",
      fromHz,
      toHz,
      rateS,
      sweepS,
      levelDbfs: nominalDbfs,
      ...this.#span(mostS + tailS),
    });
  }

  tone(
    name: string,
    frequencyHz: number,
    aboveNominalDb: number,
    seconds: number,
    move?: Move,
  ): this {
    return this.#add({
      kind: "tone",
      name,
      frequencyHz,
      levelDbfs: nominalDbfs + aboveNominalDb,
      ...this.#span(seconds),
      ...(move ? { move } : {}),
    });
  }

  twin(name: string, lowHz: number, highHz: number, aboveNominalDb: number, seconds: number): this {
    return this.#add({
      kind: "twin",
      name,
      lowHz,
      highHz,
      levelDbfs: nominalDbfs + aboveNominalDb,
      ...this.#span(seconds),
    });
  }

  steps(name: string, frequencyHz: number, stepS: number, aboveNominalDb: readonly number[]): this {
    const levelsDbfs = aboveNominalDb.map((db) => nominalDbfs + db);
    return this.#add({
      kind: "steps",
      name,
      frequencyHz,
      stepS,
      levelsDbfs,
      ...this.#span(stepS * levelsDbfs.length),
    });
  }

  /** Nothing moved at first, then a window for each control. */
  controls(moves: readonly Move[], { unmoved, window }: ControlsTiming): this {
    this.silence(unmoved.silenceS).tone("tone-1k", 1000, 0, unmoved.toneS).gap(gapS);
    for (const [k, move] of moves.entries()) this.#moving(k + 1, move, window);
    return this;
  }

  pips(name: string, count: number, seconds: number): this {
    return this.#add({
      kind: "pips",
      name,
      frequencyHz: pip.frequencyHz,
      count,
      spacingS: pip.spacingS,
      pipS: pip.lengthS,
      levelDbfs: nominalDbfs - pip.belowNominalDb,
      ...this.#span(seconds),
    });
  }

  table(): SignalTable {
    const { kind, band, output } = this;
    return {
      version: kind.version,
      profile: kind.profile,
      band,
      lengthS: this.#atS,
      nominalDbfs,
      ...(output === undefined ? {} : { output }),
      segments: this.#segments,
    };
  }

  #moving(number: number, move: Move, window: ControlWindow): this {
    const { countInS, toneS, silenceS, endS, backS } = window;
    this.pips(`pips-${number}`, 3, countInS);
    this.tone(`tone-${number}`, 1000, 0, toneS, move).gap(gapS);
    this.silence(silenceS, `silence-${number}`, move);
    return this.pips(`end-${number}`, 1, endS).gap(backS);
  }

  #span(seconds: number): { startS: number; lengthS: number } {
    const startS = this.#atS;
    this.#atS = round(this.#atS + seconds);
    return { startS, lengthS: round(seconds) };
  }

  #add(segment: Segment): this {
    this.#segments.push(segment);
    return this;
  }
}

/**
 * Times are whole milliseconds; sums must not drift from them by rounding.
 *
 * @example
 * round(0.1 + 0.2); // 0.3
 */
export function round(seconds: number): number {
  return Math.round(seconds * 1e6) / 1e6;
}
