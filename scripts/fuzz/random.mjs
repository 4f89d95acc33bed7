/** A seeded source of choices, alike on every machine (mulberry32, T. Ettinger, public domain). */
export function randomOf(seed) {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  return {
    next,
    /** A whole number from 0 to below `count`. */
    below: (count) => Math.floor(next() * count),
    /** One of a list. */
    of: (list) => list[Math.floor(next() * list.length)],
    chance: (share) => next() < share,
  };
}
