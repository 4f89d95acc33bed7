import { decodeLatin1 } from "../chunks/chunk-headers.js";
import type { Container } from "../container.js";
import { openPcmSamples, type PcmInfo } from "../pcm-samples.js";
import { inspectAiff } from "./inspect-aiff.js";

/**
 * AIFF, and AIFF-C with samples that are not compressed. Both have few chunks around plain samples,
 * so they are read here without a library.
 */
export const aiff: Container<PcmInfo> = {
  name: "AIFF",
  isOne: (head) =>
    decodeLatin1(head, 0, 4) === "FORM" && ["AIFF", "AIFC"].includes(decodeLatin1(head, 8, 12)),
  inspect: inspectAiff,
  openSamples: openPcmSamples,
  // The length is written when the file is closed.
  growth: { beginnings: ["FORM"], isOver: () => true },
};
