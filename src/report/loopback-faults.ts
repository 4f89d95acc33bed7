import type { Disagreement, InterfaceFault } from "../measure/calibration/loopback.js";
import { formatSigned } from "../text/format-signed.js";
import { formatAbsence } from "./absences/format-absence.js";

/** What of the signal a loopback needs, where the return does not say why it lacks it. */
const needed = {
  level: "the signal has no 1 kHz tone",
  response: "the signal has no sweep",
  noise: "the signal has no silence",
} as const;

/** What is plainly not an interface about a loopback, as part of a sentence. */
export function formatInterfaceFault(fault: InterfaceFault): string {
  switch (fault.code) {
    case "not-read": {
      const { what, because } = fault;
      return `its ${what} could not be read: ${because ? formatAbsence(because) : needed[what]}`;
    }
    case "level-out": {
      const left =
        fault.is === "high" ? "no headroom for the louder steps" : "too little above the noise";
      return `the 1 kHz tone came back at ${formatDbfs(fault.dbfs)}, which leaves ${left}`;
    }
    case "noisy":
      return `its noise is ${formatDbfs(fault.dbfs)}; an interface on its own is quieter than ${formatDbfs(fault.mostDbfs)}`;
    case "too-quiet":
      return `its noise is ${formatDbfs(fault.dbfs)}, quieter than any converter: the signal never left the computer`;
    case "odd-response":
      return `its response at ${Math.round(fault.hz)} Hz is ${formatDb(fault.db)} against 1 kHz; an interface on its own stays within ±${fault.mostDb} dB up to 20 kHz`;
    case "distorts": {
      const where = fault.at === "nominal" ? "at nominal level" : "12 dB above nominal";
      return `its distortion ${where} is ${formatDb(fault.db)}: something in the loop clips`;
    }
  }
}

/** In what the returns of one input differ, as part of a sentence. */
export function formatDisagreement(differ: Disagreement): string {
  switch (differ.code) {
    case "polarities-differ":
      return "some came back inverted, others did not";
    case "levels-differ":
      return `their levels differ by ${formatDb(differ.db)}`;
    case "noise-differs":
      return `their noise differs by ${formatDb(differ.db)}`;
    case "responses-differ":
      return `their responses differ by ${formatDb(differ.db)} at ${Math.round(differ.hz)} Hz`;
  }
}

function formatDb(value: number): string {
  return `${formatSigned(value.toFixed(Math.abs(value) < 10 ? 2 : 1))} dB`;
}

function formatDbfs(value: number): string {
  return `${formatDb(value)}FS`;
}
