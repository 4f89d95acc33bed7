/** mulberry32: uniform numbers in [0, 1) from a seed. */
export function generator(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export const between = (next, low, high) => low + (high - low) * next();
export const logBetween = (next, low, high) => low * (high / low) ** next();
export const sign = (next) => (next() < 0.5 ? -1 : 1);

/** Gaussian numbers of variance 1, two at a time (G. E. P. Box, M. E. Muller, 1958). */
export function gaussian(next) {
  let kept;
  return () => {
    if (kept !== undefined) {
      const value = kept;
      kept = undefined;
      return value;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - next()));
    const angle = 2 * Math.PI * next();
    kept = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
}
