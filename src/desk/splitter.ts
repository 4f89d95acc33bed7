/**
 * What stands between one output and several inputs: a splitter, or a multicore with a pad in every
 * leg.
 */
export interface Splitter {
  /** Attenuation of each leg, dB; 0 for plain joins. */
  readonly padDb: number;
  /** Resistance that each leg shows the output, ohms. */
  readonly legOhm: number;
  /** Resistance that each input sees, ohms. */
  readonly sourceOhm: number;
  /** Source resistance of the interface's output, ohms. */
  readonly outputOhm: number;
  /** Whether every leg keeps DC voltage from the output, by a transformer or capacitors. */
  readonly blocksDc: boolean;
}

/** What is wrong with a splitter. */
export interface SplitterFault {
  readonly about: "phantom" | "load" | "level" | "source";
  readonly message: string;
  readonly hint: string;
}

/** Resistance of the interface's output where the file gives none (common practice). */
export const usualOutputOhm = 100;

/**
 * A line output is made for loads from here up: 600 Ω is what a rated line output still drives at its
 * rated level (common practice).
 */
const leastLoadOhm = 600;
/** Loaded to this share of its open voltage, an output's level depends on what is plugged. */
const mostLossDb = 1;
/**
 * Sources of a microphone input are rated 200 Ω or less and see at least five times that
 * (IEC 61938 / IEC 60268-4, rated load impedance); beyond this the noise read is the source's.
 */
const mostSourceOhm = 600;

/** The loss of an output that drives this many legs, dB, from none of them. */
export function computeSplitterLossDb({ legOhm, outputOhm }: Splitter, legs: number): number {
  const loadOhm = legOhm / legs;
  return 20 * Math.log10((loadOhm + outputOhm) / loadOhm);
}

/**
 * Whether a splitter does no harm and passes what it should: phantom power kept from the interface,
 * an output that is not overloaded, a source resistance that is a microphone's.
 *
 * @param input what it feeds: its level and, where known, the resistance that the file says it sees
 */
export function listSplitterFaults(
  splitter: Splitter,
  legs: number,
  input: { readonly name: string; readonly nominalDbu: number; readonly sourceOhm?: number },
): readonly SplitterFault[] {
  const faults: SplitterFault[] = [];
  const isMic = input.nominalDbu < micBelowDbu;
  if (isMic && !splitter.blocksDc) {
    faults.push({
      about: "phantom",
      message:
        `phantom power switched on at any of ${legs} ${input.name} inputs would reach the interface's ` +
        "output and all the other inputs through this splitter.",
      hint: "Use one with a transformer or capacitors in every leg and say blocks-phantom: true. Until then connect none of it: it can destroy the interface.",
    });
  }
  const loadOhm = splitter.legOhm / legs;
  const lossDb = computeSplitterLossDb(splitter, legs);
  if (loadOhm < leastLoadOhm) {
    faults.push({
      about: "load",
      message: `${legs} legs of ${splitter.legOhm} ohms load the output with ${loadOhm.toFixed(0)} ohms; a line output needs ${leastLoadOhm} or more.`,
      hint: "Feed fewer inputs from it, or put a pad with a higher input resistance into each leg.",
    });
  } else if (lossDb > mostLossDb) {
    faults.push({
      about: "level",
      message: `the output of ${splitter.outputOhm} ohms loses ${lossDb.toFixed(1)} dB into ${legs} legs: each plug that comes or goes would move the level of all others.`,
      hint: `Up to ${mostLossDb} dB is allowed: fewer legs, or legs of a higher resistance.`,
    });
  }
  if (isMic && splitter.sourceOhm > mostSourceOhm) {
    faults.push({
      about: "source",
      message: `the inputs would see ${splitter.sourceOhm} ohms; a microphone has 200 or less, and beyond ${mostSourceOhm} the noise read is the pad's.`,
      hint: "Use a pad whose output resistance is 50 to 200 ohms.",
    });
  }
  if (input.sourceOhm !== undefined && Math.abs(input.sourceOhm / splitter.sourceOhm - 1) > 0.1) {
    faults.push({
      about: "source",
      message: `input ${input.name} says its source is ${input.sourceOhm} ohms, the splitter ${splitter.sourceOhm}.`,
      hint: "Equivalent input noise is worked out from it: write the same in both places.",
    });
  }
  return faults;
}

/** Inputs below this level are microphones', which may carry phantom power. */
export const micBelowDbu = -20;
