/** 0 dBu is √0.6 V (the voltage of 1 mW in 600 Ω; IEC 60268-17). */
const zeroDbuV = Math.sqrt(0.6);

/** Volts RMS of a level. */
export function voltsOfDbu(dbu: number): number {
  return zeroDbuV * 10 ** (dbu / 20);
}

/** The factor for a difference in level. */
export function factorOfDb(db: number): number {
  return 10 ** (db / 20);
}

/** Boltzmann constant, J/K (exact, SI 2019), and the temperature inside a desk that is on. */
const boltzmann = 1.380649e-23;
const insideDeskK = 300;

/** Mean square thermal noise of a resistor per hertz, 4kTR in V²/Hz (Nyquist 1928). */
export function thermalV2(ohm: number): number {
  return 4 * boltzmann * insideDeskK * ohm;
}

/** Resistors in parallel. */
export function parallel(a: number, b: number): number {
  return (a * b) / (a + b);
}
