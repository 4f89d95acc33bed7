import type { Disagreement, InterfaceFault } from "../measure/calibration/loopback.js";
import { formatSigned } from "../text/format-signed.js";
import { formatAbsence } from "./absences/format-absence.js";

/** What a loopback needs of the signal, for a return that does not say why it is missing. */
const needed = {
  level: "the signal has no 1 kHz tone",
  response: "the signal has no sweep",
  noise: "the signal has no silence",
} as const;

/** What shows that a loopback is not an interface alone, as part of a sentence. */
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
      return `its noise is ${formatDbfs(fault.dbfs)}; an interface alone is quieter than ${formatDbfs(fault.mostDbfs)}`;
    case "too-quiet":
      return `its noise is ${formatDbfs(fault.dbfs)}, quieter than any converter: the signal never left the computer`;
    case "odd-response":
      return `its response at ${Math.round(fault.hz)} Hz is ${formatDb(fault.db)} relative to 1 kHz; an interface alone stays within ±${fault.mostDb} dB up to 20 kHz`;
    case "distorts": {
      const where = fault.at === "nominal" ? "at nominal level" : "12 dB above nominal";
      return `its distortion ${where} is ${formatDb(fault.db)}: something in the loop clips`;
    }
  }
}

/** How the returns of one input differ, as part of a sentence. */
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
