import type { Container } from "../container.js";
import { openFlacSamples } from "./flac-samples.js";
import { type FlacInfo, inspectFlac } from "./inspect-flac.js";

/** FLAC: RFC 9639. */
export const flac: Container<FlacInfo> = {
  name: "FLAC",
  isOne: (head) => Buffer.from(head.subarray(0, 4)).toString("latin1") === "fLaC",
  inspect: inspectFlac,
  openSamples: openFlacSamples,
};
