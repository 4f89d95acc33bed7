/**
 * MT19937, the Mersenne Twister (M. Matsumoto, T. Nishimura: "Mersenne Twister: a
 * 623-dimensionally equidistributed uniform pseudo-random number generator", ACM Trans. Model.
 * Comput. Simul. 8(1), 1998), seeded as in its 2002 revision. The same seed gives the same
 * numbers on every machine. Not for secrets.
 */
export interface RandomSource {
  /** Integer, 0 to 2^32 − 1. */
  next32(): number;
  /** 0 ≤ x < 1, with 53 random bits. */
  uniform(): number;
}

const n = 624;
const m = 397;

/**
 * @example
 * const random = createMersenneTwister(1);
 * const dither = random.uniform() + random.uniform() - 1;
 * Math.abs(dither) < 1; // true
 *
 * @param seed integer; its lower 32 bits count
 */
export function createMersenneTwister(seed: number): RandomSource {
  const state = new Uint32Array(n);
  state[0] = seed;
  for (let i = 1; i < n; i++) {
    const before = state[i - 1] ^ (state[i - 1] >>> 30);
    state[i] = Math.imul(1_812_433_253, before) + i;
  }
  let at = n;

  function next32(): number {
    if (at === n) {
      twist(state);
      at = 0;
    }
    let y = state[at++];
    y ^= y >>> 11;
    y ^= (y << 7) & 0x9d2c_5680;
    y ^= (y << 15) & 0xefc6_0000;
    y ^= y >>> 18;
    return y >>> 0;
  }

  function uniform(): number {
    const high = next32() >>> 5;
    const low = next32() >>> 6;
    return (high * 2 ** 26 + low) / 2 ** 53;
  }

  return { next32, uniform };
}

function twist(state: Uint32Array): void {
  for (let i = 0; i < n; i++) {
    const y = (state[i] & 0x8000_0000) | (state[(i + 1) % n] & 0x7fff_ffff);
    state[i] = state[(i + m) % n] ^ (y >>> 1) ^ (y & 1 ? 0x9908_b0df : 0);
  }
}
