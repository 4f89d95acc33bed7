import { decodeLatin1 } from "../chunks/chunk-headers.js";
import type { Container } from "../container.js";
import { openPcmSamples } from "../pcm-samples.js";
import { inspectWav } from "./inspect-wav.js";

/** WAV and its relatives beyond 4 GiB, RF64 and BW64. */
export const wav: Container = {
  name: "WAV",
  extensions: ["wav", "wave", "bwf", "rf64", "bw64"],
  isOne: (head) =>
    ["RIFF", "RF64", "BW64", "RIFX"].includes(decodeLatin1(head, 0, 4)) &&
    decodeLatin1(head, 8, 12) === "WAVE",
  inspect: inspectWav,
  openSamples: openPcmSamples,
};
