/** A likely explanation of a path's findings. */
export interface Cause {
  readonly cause: string;
  /** In words of the trade: "dried coupling capacitor". */
  readonly name: string;
  readonly kind: "fault" | "setting" | "patch" | "capture";
  /** 0 to 1; absent where the evidence only allows a rule of thumb. */
  readonly probability?: number;
  readonly evidence: readonly string[];
  /** The check that settles it. */
  readonly confirmBy: string;
}
