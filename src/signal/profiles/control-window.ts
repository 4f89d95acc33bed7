/** How the moving of one control goes, seconds. */
export interface ControlWindow {
  /** The pips that count it in. */
  readonly countInS: number;
  /** It is moved under the tone, and on in the silence after it. */
  readonly toneS: number;
  readonly silenceS: number;
  /** The pip that ends it. */
  readonly endS: number;
  /** It is put back. */
  readonly backS: number;
}

/** How a controls pass goes, seconds. */
export interface ControlsTiming {
  /** The stretches at the beginning in which nothing is moved. */
  readonly unmoved: { readonly silenceS: number; readonly toneS: number };
  readonly window: ControlWindow;
}
