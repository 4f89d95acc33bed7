/**
 * Seeded random numbers: xoshiro128** (Blackman and Vigna, "Scrambled linear pseudorandom number
 * generators", ACM TOMS 47(4), 2021), seeded through the finaliser of MurmurHash3 walked by the
 * golden ratio (the SplitMix scheme of Steele, Lea and Flood, OOPSLA 2014, in 32 bits).
 * Normal deviates by the ziggurat of Marsaglia and Tsang (J. Stat. Softw. 5(8), 2000) in the form
 * of Doornik ("An improved ziggurat method to generate normal random samples", 2005).
 */

/** Four words of state. */
export type Rng = Uint32Array;

/**
 * A generator of its own for every name, so that no draw depends on the order of others.
 *
 * @example
 * const rng = createRng(`${seed}/7/mic/noise`);
 */
export function createRng(name: string): Rng {
  const state = new Uint32Array(4);
  let walk = fnv1a(name);
  for (let i = 0; i < 4; i++) {
    walk = (walk + 0x9e3779b9) | 0;
    state[i] = mix(walk);
  }
  return state;
}

/** A whole number, 0 to 2³² − 1. */
export function nextUint32(rng: Rng): number {
  const s1 = rng[1];
  const scrambled = Math.imul(s1, 5);
  const result = Math.imul((scrambled << 7) | (scrambled >>> 25), 9);
  rng[2] ^= rng[0];
  rng[3] ^= s1;
  rng[1] ^= rng[2];
  rng[0] ^= rng[3];
  rng[2] ^= s1 << 9;
  rng[3] = (rng[3] << 11) | (rng[3] >>> 21);
  return result >>> 0;
}

/** Evenly distributed in (0, 1). */
export function uniform(rng: Rng): number {
  return (nextUint32(rng) + 0.5) * 2 ** -32;
}

/** Normally distributed, mean 0, standard deviation 1. */
export function gaussian(rng: Rng): number {
  return fromZiggurat(rng, nextUint32(rng) | 0);
}

/** Adds white noise of standard deviation `sigma` to a block. */
export function addGaussian(rng: Rng, sigma: number, block: Float64Array): void {
  const scale = sigma * 2 ** -23;
  let s0 = rng[0] | 0;
  let s1 = rng[1] | 0;
  let s2 = rng[2] | 0;
  let s3 = rng[3] | 0;
  for (let i = 0; i < block.length; i++) {
    // The generator is written out here, as its state must stay in registers.
    const scrambled = Math.imul(s1, 5);
    const bits = Math.imul((scrambled << 7) | (scrambled >>> 25), 9);
    const shifted = s1 << 9;
    s2 ^= s0;
    s3 ^= s1;
    s1 ^= s2;
    s0 ^= s3;
    s2 ^= shifted;
    s3 = (s3 << 11) | (s3 >>> 21);
    const layer = bits & 127;
    const u = (bits >> 8) + 0.5;
    if (Math.abs(u) < inside[layer]) {
      block[i] += scale * u * edge[layer];
    } else {
      rng[0] = s0;
      rng[1] = s1;
      rng[2] = s2;
      rng[3] = s3;
      block[i] += sigma * fromZiggurat(rng, bits);
      s0 = rng[0] | 0;
      s1 = rng[1] | 0;
      s2 = rng[2] | 0;
      s3 = rng[3] | 0;
    }
  }
  rng[0] = s0;
  rng[1] = s1;
  rng[2] = s2;
  rng[3] = s3;
}

/** Right edge of the base strip, and the area of every layer, for 128 layers (Doornik). */
const tailStart = 3.442619855899;
const layerArea = 9.91256303526217e-3;

const edge = new Float64Array(129);
/** Numerators of 2⁻²³ below which a point lies under the curve for certain. */
const inside = new Float64Array(128);
{
  let density = Math.exp(-0.5 * tailStart * tailStart);
  edge[0] = layerArea / density;
  edge[1] = tailStart;
  for (let i = 2; i < 128; i++) {
    edge[i] = Math.sqrt(-2 * Math.log(layerArea / edge[i - 1] + density));
    density = Math.exp(-0.5 * edge[i] * edge[i]);
  }
  for (let i = 0; i < 128; i++) inside[i] = (2 ** 23 * edge[i + 1]) / edge[i];
}

function fromZiggurat(rng: Rng, firstBits: number): number {
  let bits = firstBits;
  for (;;) {
    const layer = bits & 127;
    const numerator = (bits >> 8) + 0.5;
    const x = numerator * 2 ** -23 * edge[layer];
    if (Math.abs(numerator) < inside[layer]) return x;
    if (layer === 0) return numerator < 0 ? -tail(rng) : tail(rng);
    const outer = Math.exp(-0.5 * (edge[layer] * edge[layer] - x * x));
    const inner = Math.exp(-0.5 * (edge[layer + 1] * edge[layer + 1] - x * x));
    if (inner + uniform(rng) * (outer - inner) < 1) return x;
    bits = nextUint32(rng) | 0;
  }
}

/** Beyond the base strip, by the method of Marsaglia (1964). */
function tail(rng: Rng): number {
  for (;;) {
    const x = -Math.log(uniform(rng)) / tailStart;
    const y = -Math.log(uniform(rng));
    if (2 * y >= x * x) return tailStart + x;
  }
}

/** Hash of Fowler, Noll and Vo, 32 bits, over UTF-16 code units. */
function fnv1a(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return hash;
}

function mix(word: number): number {
  let h = word ^ (word >>> 16);
  h = Math.imul(h, 0x85ebca6b);
  h ^= h >>> 13;
  h = Math.imul(h, 0xc2b2ae35);
  return h ^ (h >>> 16);
}
