/** A likely explanation of a path's findings. */
export interface Cause {
  readonly cause: string;
  /** In words of the trade: "dried coupling capacitor". */
  readonly name: string;
  readonly kind: "fault" | "setting" | "patch" | "capture";
  /** 0 to 1, among the causes known and "none of these". */
  readonly probability?: number;
  /** What speaks for it, a line each. */
  readonly evidence: readonly string[];
  /** What speaks against it. */
  readonly against?: readonly string[];
  /** The check that settles it. */
  readonly confirmBy: string;
  /** What it is easily confused with and what separates the two, a line each. */
  readonly unlike?: readonly string[];
  /** Where in the signal flow to look. */
  readonly where?: string;
  /** Parts to have ready. */
  readonly ready?: string;
  /** Dangers and labour. */
  readonly care?: string;
}
