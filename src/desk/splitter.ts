/** A splitter between one output and several inputs, or a multicore with a pad in every leg. */
export interface Splitter {
  /** Attenuation of each leg, dB; 0 for plain joins. */
  readonly padDb: number;
  /** Load resistance of each leg on the output, ohms. */
  readonly legOhm: number;
  /** Source resistance for each input, ohms. */
  readonly sourceOhm: number;
  /** Source resistance of the interface's output, ohms. */
  readonly outputOhm: number;
  /** Whether every leg blocks DC voltage towards the output, by a transformer or capacitors. */
  readonly blocksDc: boolean;
}

/** What is wrong with a splitter. */
export interface SplitterFault {
  readonly about: "phantom" | "load" | "level" | "source";
  readonly message: string;
  readonly hint: string;
}

/** Ohms; the interface's output resistance if the file gives none (common practice, no source). */
export const usualOutputOhm = 100;

/**
 * Lowest load for a line output: it still drives 600 Ω at its rated level (common practice, no
 * source).
 */
const leastLoadOhm = 600;
/** With a larger loss from loading, an output's level depends on what is plugged in. */
const mostLossDb = 1;
/**
 * Sources of a microphone input are rated 200 Ω or less and see at least five times that (IEC 61938
 * / IEC 60268-4, rated load impedance); beyond this the noise measured is that of the source.
 */
const mostSourceOhm = 600;

/** The loss of an output that drives this many legs, dB, relative to no load. */
export function computeSplitterLossDb({ legOhm, outputOhm }: Splitter, legs: number): number {
  const loadOhm = legOhm / legs;
  return 20 * Math.log10((loadOhm + outputOhm) / loadOhm);
}

/**
 * Checks that a splitter is safe and suitable: phantom power is kept from the interface, the output
 * is not overloaded, and the source resistance is that of a microphone.
 *
 * @param input that it feeds: level and, if known, source resistance in the file
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
      hint: "Use one with a transformer or capacitors in every leg and say blocks-phantom: true. Until then do not connect it: it can destroy the interface.",
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
      message: `the inputs would see ${splitter.sourceOhm} ohms; a microphone has 200 or less, and beyond ${mostSourceOhm} the noise measured is that of the pad.`,
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

/** Inputs below this level are microphone inputs, which may carry phantom power. */
export const micBelowDbu = -20;
