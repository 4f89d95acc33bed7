/**
 * How what a shared part adds stands in a reading.
 *
 * - `power`: noise, mains lines and harmonics of another source add as power
 * - `shift`: a gain in the way moves it by as much, in the reading's own unit
 * - `least`: the worst stage of a path alone sets it, so that it hides what is less bad
 * - `none`: it describes, and is left as it is
 */
export type ShareDomain = "power" | "shift" | "least" | "none";

const domains: Readonly<Record<string, ShareDomain>> = {
  gain: "shift",
  level: "shift",
  balance: "shift",
  stereoPhase: "shift",
  delay: "shift",
  linearity: "shift",
  noiseSlope: "shift",
  instability: "shift",
  clicks: "shift",
  dc: "shift",
  polarity: "shift",
  compression: "least",
  headroom: "least",
  thd: "power",
  thdN: "power",
  thd100: "power",
  thdHot: "power",
  imd: "power",
  imd2: "power",
  imd3: "power",
  noise: "power",
  noiseA: "power",
  noise468: "power",
  noise20k: "power",
  hiss: "power",
  ein: "power",
  hum: "power",
  humOdd: "power",
  humEven: "power",
};

/** How a shared part's share stands in a reading. */
export function getShareDomain(reading: string): ShareDomain {
  return domains[reading] ?? (reading.startsWith("harmonic") ? "power" : "none");
}
