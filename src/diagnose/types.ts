import type { EvidenceLine } from "./evidence.js";
/** Where in a strip a fault is, as data, by which of its inputs show it. */
export type FaultPlace =
  /** After the inputs join: stages that all inputs pass. */
  | { readonly code: "every-input"; readonly stages: readonly string[] }
  /** Before they join: stages of this input alone. */
  | { readonly code: "one-input"; readonly stages: readonly string[] }
  | {
      readonly code: "some-inputs";
      readonly inputs: readonly string[];
      /** Inputs that do not show it. */
      readonly without: readonly string[];
      /** Stages passed only by the inputs that show it. */
      readonly stages: readonly string[];
    }
  /** Another path of the strip also measures like another input. */
  | { readonly code: "other-path-too"; readonly path: string };

/** A likely explanation of a path's findings. */
export interface Cause {
  readonly cause: string;
  /** In words of the trade: "dried coupling capacitor". */
  readonly name: string;
  readonly kind: "fault" | "setting" | "patch" | "capture";
  /** 0 to 1, among the causes known and "none of these". */
  readonly probability?: number;
  /** Evidence for it, one line each. */
  readonly evidence: readonly EvidenceLine[];
  /** Evidence against it. */
  readonly against?: readonly EvidenceLine[];
  /** The check that confirms it. */
  readonly confirmBy: string;
  /** What it is easily confused with and what separates the two, one line each. */
  readonly unlike?: readonly string[];
  /** Where in the signal flow to look, in words. */
  readonly where?: string;
  /** The same as data; absent in older rounds. */
  readonly place?: FaultPlace;
  /** Parts to have ready. */
  readonly ready?: string;
  /** Dangers and labour. */
  readonly care?: string;
}
