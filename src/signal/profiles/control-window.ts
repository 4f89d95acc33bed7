/** Timing of the move of one control, seconds. */
export interface ControlWindow {
  /** The pips that count it in. */
  readonly countInS: number;
  /** The control is moved during the tone and during the silence after it. */
  readonly toneS: number;
  readonly silenceS: number;
  /** The pip that ends it. */
  readonly endS: number;
  /** The control is put back. */
  readonly backS: number;
}

/** Timing of a controls pass, seconds. */
export interface ControlsTiming {
  /** Stretches at the beginning during which nothing is moved. */
  readonly unmoved: { readonly silenceS: number; readonly toneS: number };
  readonly window: ControlWindow;
}
