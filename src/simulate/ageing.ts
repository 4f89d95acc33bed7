import type { Capacitor, PathValues } from "./types.js";

/**
 * What a year in a warm desk does to an electrolytic, in orders of magnitude from memory: the
 * electrolyte escapes through the seal, so capacitance falls and series resistance rises in
 * proportion; with less capacitance, more voltage is left across it and distorts more.
 */
const yearly = { farad: -0.03, seriesOhm: 0.1, bend: 0.03 } as const;

/**
 * A path with its electrolytics aged by some years.
 *
 * @param years in service at the usual rate; parts beside a hot resistor age several times faster
 */
export function aged(values: PathValues, years: number): PathValues {
  return {
    ...values,
    coupling: dried(values.coupling, years),
    gain: { ...values.gain, legCapacitor: dried(values.gain.legCapacitor, years) },
    supply: {
      ...values.supply,
      decouplingFarad: values.supply.decouplingFarad * Math.exp(yearly.farad * years),
    },
  };
}

function dried(capacitor: Capacitor, years: number): Capacitor {
  return {
    farad: capacitor.farad * Math.exp(yearly.farad * years),
    seriesOhm: capacitor.seriesOhm * Math.exp(yearly.seriesOhm * years),
    second: capacitor.second * Math.exp(yearly.bend * years),
    third: capacitor.third * Math.exp(yearly.bend * years),
  };
}
