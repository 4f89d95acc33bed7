/** Draws a virtual desk, what is hidden in it and how it is recorded: all from one seed. */
import { batchWorks } from "../../dist/simulate/batches.js";
import { createRng, uniform } from "../../dist/simulate/rng.js";
import { hideables } from "./answers.mjs";

/**
 * @typedef {object} Plan
 * @property {number} seed
 * @property {import("../../dist/simulate/types.js").VirtualDeskOptions} options
 * @property {"one" | "two, told" | "two, not told"} batches whether the desk
 *   file tells of the two
 * @property {readonly Hidden[]} hidden one a path
 * @property {readonly Take[]} takes one a path
 *
 * @typedef {object} Hidden
 * @property {string} path
 * @property {string} name of `hideables`
 * @property {number | undefined} severity 0 to 1; undefined where there are no degrees
 *
 * @typedef {object} Take
 * @property {string} path whose capture it is said to be
 * @property {number} strip what was really recorded
 * @property {string} input
 * @property {number} take 1 for a second recording of a path
 * @property {number} [turn] how many paths of the round were recorded before it
 * @property {number} beforeS seconds recorded before the signal and after it
 * @property {number} afterS
 */

/** What a desk is drawn from: how many strips and inputs at most. */
export const sizes = {
  any: { leastStrips: 8, mostStrips: 32, mostInputs: 3 },
  small: { leastStrips: 8, mostStrips: 8, mostInputs: 2 },
};

const mostFaults = 8;

/**
 * What a desk is like: `any` as it comes; `slight` and `gross` in what is hidden; `old`, its parts
 * drifted apart two and a half times as far, two batches never told of, its hum fading along the desk
 * with the distance from the supply, its level creeping by up to 0.4 dB until it is warm; `double`, two faults on every ill strip.
 */
export const grades = {
  any: { from: 0, to: 1 },
  slight: { from: 0, to: 1 / 3 },
  gross: { from: 2 / 3, to: 1 },
  old: { from: 0, to: 1, old: true },
  double: { from: 0.3, to: 1, double: true },
};

/**
 * @param {number} seed the same seed and size give the same desk
 * @param {keyof typeof sizes} size
 * @param {keyof typeof grades} grade
 * @param {number} draw of what is hidden in it: the desk, and how its sound paths are recorded, are the
 *   same for all of them
 * @returns {Plan}
 */
export function drawDesk(seed, size, grade = "any", draw = 0) {
  const { from, to, old = false, double = false } = grades[grade];
  const { leastStrips, mostStrips, mostInputs } = sizes[size];
  const dice = diceOf(`${seed}/prove`);
  const strips = dice.whole(leastStrips, mostStrips);
  const inputs = dice.some(["mic", "line", "tape"], dice.whole(1, mostInputs));
  const noise = dice.between(-6, 12);
  const options = {
    seed,
    strips,
    inputs,
    mainsHz: dice.of([50, 60]),
    clockPpm: dice.between(-80, 80),
    output: dice.chance(0.3) ? "direct" : "capacitor",
    interface: { outputNoiseV: raised(55e-9, noise), inputNoiseV: raised(69e-9, noise) },
    cableHum: 0.3 * (10 / 0.3) ** dice.between(0, 1),
    ...(old ? { scatter: 2.5, humGradient: 20, warmUp: drawWarmUp(seed, strips) } : {}),
  };
  const batched = dice.chance(0.5) || old ? drawBatch(dice, strips) : [];
  const told = dice.chance(0.5) && !old;
  const what = { strips, inputs, batched, from, to, double };
  const first = drawHidden(dice, what);
  const inTurn = (takes) => (old ? takes.map((take, turn) => ({ ...take, turn })) : takes);
  const firstTakes = inTurn(drawTakes(dice, strips, inputs, first.list));
  const plan = ({ faults, list }, takes) => ({
    seed,
    options: { ...options, batches: batched, faults },
    batches: batched.length === 0 ? "one" : `two, ${told ? "told" : "not told"}`,
    hidden: list,
    takes,
  });
  if (draw === 0) return plan(first, firstTakes);
  const again = diceOf(`${seed}/prove/${draw}`);
  const hidden = drawHidden(again, what);
  const takes = inTurn(drawTakes(again, strips, inputs, hidden.list)).map((take, k) => {
    const { beforeS, afterS } = firstTakes[k];
    return { ...take, beforeS, afterS };
  });
  return plan(hidden, takes);
}

const raised = (volts, db) => volts * 10 ** (db / 20);

/** A cold desk's level comes to rest within some of its strips' turns. */
function drawWarmUp(seed, strips) {
  const dice = diceOf(`${seed}/prove/warm`);
  return { db: dice.between(-0.4, 0.4), turns: strips * dice.between(0.2, 1) };
}

/** Half of the strips, side by side as they are worked on. */
function drawBatch(dice, strips) {
  const count = Math.floor(strips / 2);
  const first = dice.of([1, strips - count + 1]);
  const members = Array.from({ length: count }, (_, k) => first + k);
  return [{ strips: members, work: dice.of(Object.keys(batchWorks)) }];
}

/** Faults, settings and errors of patching on strips of their own. */
function drawHidden(dice, { strips, inputs, batched, from, to, double }) {
  const names = Object.keys(hideables).filter((name) => inputs.length > 1 || !exchanges(name));
  const members = new Set(batched.flatMap((batch) => batch.strips));
  const half = members.size > 0 ? Math.floor(strips / 2) : strips;
  // The comparison with siblings rests on most of them being well.
  const most = Math.floor((half - 1) / 3);
  const ill = new Map();
  const free = dice.shuffled(Array.from({ length: strips }, (_, k) => k + 1));
  const faults = [];
  const list = [];
  for (let left = dice.whole(0, mostFaults); left > 0; left--) {
    const name = dice.of(names);
    const severity = dice.between(from, to);
    const hit = inputsHit(dice, name, inputs);
    const second = double ? secondOf(dice, name) : undefined;
    if (double && second === undefined) continue;
    const families = (strip) => hit.map((input) => `${input} ${members.has(strip)}`);
    const at = free.findIndex((s) => families(s).every((f) => (ill.get(f) ?? 0) < most));
    if (at < 0) continue;
    const [strip] = free.splice(at, 1);
    for (const family of families(strip)) ill.set(family, (ill.get(family) ?? 0) + 1);
    for (const input of hit) {
      const path = `${strip}/${input}`;
      if (!exchanges(name)) faults.push({ at: path, fault: name, severity });
      if (second) faults.push({ at: path, fault: second, severity });
      list.push({
        path,
        name,
        severity: hideables[name].extent === "graded" ? severity : undefined,
        ...(second ? { also: second } : {}),
      });
    }
  }
  return { faults, list };
}

/** What leaves nothing to be seen beside it, or shows in the very readings of the other. */
const alone = ["dead-stage", "nothing-patched", "pad-in", "oscillation"];
const alike = [
  ["dried-coupling", "dried-feedback-leg", "drying-coupling", "low-cut-in", "equaliser-bass-in"],
  ["equaliser-in", "equaliser-middle-in", "equaliser-bass-in", "equaliser-treble-in"],
  ["high-frequency-loss", "series-resistance", "equaliser-treble-in"],
  ["noisy-input-device", "flicker-noise", "leaky-coupling"],
  ["missing-rail", "low-rails"],
  ["dirty-contact", "dirty-jack", "worn-gain-control", "crossover"],
  ["supply-ripple", "open-shield", "open-leg", "dirty-jack"],
  ["gain-off-value", "fader-off-mark", "open-leg", "series-resistance", "worn-gain-control"],
];

/** A second fault that can be told from the first. */
function secondOf(dice, name) {
  if (exchanges(name) || alone.includes(name)) return undefined;
  const others = Object.keys(hideables).filter(
    (one) =>
      one !== name &&
      !exchanges(one) &&
      !alone.includes(one) &&
      !alike.some((group) => group.includes(one) && group.includes(name)),
  );
  return dice.of(others);
}

const exchanges = (name) => name === "wrong-path" || name === "takes-swapped";

function inputsHit(dice, name, inputs) {
  if (name === "takes-swapped") return dice.some(inputs, 2);
  const { reach } = hideables[name];
  const whole = reach === "strip" || (reach === "either" && dice.chance(0.5));
  return whole ? inputs : [dice.of(inputs)];
}

function drawTakes(dice, strips, inputs, hidden) {
  const heldAt = new Map();
  for (const { path, name } of hidden) {
    const [strip, input] = path.split("/");
    if (name === "wrong-path") {
      const other = dice.of(inputs.filter((one) => one !== input));
      heldAt.set(path, { strip: Number(strip), input: other, take: 1 });
    } else if (name === "takes-swapped") {
      const other = hidden.find(
        (one) => one.name === name && one.path !== path && one.path.startsWith(`${strip}/`),
      );
      heldAt.set(path, { strip: Number(strip), input: other.path.split("/")[1], take: 0 });
    }
  }
  return inputs.flatMap((input) =>
    Array.from({ length: strips }, (_, k) => {
      const path = `${k + 1}/${input}`;
      const held = heldAt.get(path) ?? { strip: k + 1, input, take: 0 };
      return { path, ...held, beforeS: dice.between(0.3, 1), afterS: dice.between(0.3, 0.6) };
    }),
  );
}

/**
 * Draws of a named generator; the same name gives the same draws.
 *
 * @param {string} name
 */
export function diceOf(name) {
  const rng = createRng(name);
  const whole = (from, to) => from + Math.floor((to - from + 1) * uniform(rng));
  const shuffled = (list) => {
    const left = [...list];
    return list.map(() => left.splice(whole(0, left.length - 1), 1)[0]);
  };
  return {
    whole,
    shuffled,
    between: (from, to) => from + (to - from) * uniform(rng),
    chance: (share) => uniform(rng) < share,
    of: (list) => list[whole(0, list.length - 1)],
    /** So many of a list, in the list's order. */
    some: (list, count) => {
      const chosen = shuffled(list).slice(0, count);
      return list.filter((one) => chosen.includes(one));
    },
  };
}
