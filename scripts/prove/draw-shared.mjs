/** Draws desks with a fault in a part that strips share, and re-tests of desks: all from one seed. */
import { sharedFaults } from "../../dist/simulate/shared-faults.js";
import { diceOf } from "./draw.mjs";
import { sharedTruths, singleFaults } from "./shared-truth.mjs";

/**
 * @typedef {object} SharedCase
 * @property {number} seed
 * @property {import("../../dist/simulate/types.js").VirtualDeskOptions} sound the desk without
 *   faults, in the round before
 * @property {import("../../dist/simulate/types.js").PlacedSharedFault} placed
 * @property {"told" | "not told"} banks whether the desk file tells which strips share what
 * @property {readonly string[]} paths that it reaches
 * @property {string | undefined} part its name where the desk file tells it
 * @property {readonly import("./draw.mjs").Hidden[]} singles
 *
 * @typedef {object} RetestCase
 * @property {RetestKind} kind
 * @property {readonly import("../../dist/simulate/types.js").PlacedFault[]} repaired
 * @property {readonly object[]} shared
 * @property {number} floorDb
 *
 * @typedef {"repaired" | "not repaired" | "shared change" | "neighbour harmed" | "floor raised"} RetestKind
 */

export const sharedNames = Object.keys(sharedFaults);

/**
 * A desk with a shared fault; seeds that follow each other go through all of them.
 *
 * @param {number} seed
 * @param {number} [strips] of the desk; 9 to 12 when left out
 * @returns {SharedCase}
 */
export function drawSharedCase(seed, strips) {
  const dice = diceOf(`${seed}/prove shared`);
  const drawn = drawSound(dice, seed, strips ?? dice.of([9, 10, 12]));
  const fault = sharedNames[seed % sharedNames.length];
  // An output without a capacitor cannot lose one.
  const sound = fault === "master-bass-loss" ? { ...drawn, output: "capacitor" } : drawn;
  const placed = placeShared(dice, fault, dice.between(0, 1), sound);
  const told = dice.chance(0.5);
  const reach = sharedFaults[fault].reach;
  return {
    seed,
    sound,
    placed,
    banks: told ? "told" : "not told",
    paths: pathsReached(placed, sound),
    part: told && ["feed", "ribbon", "group"].includes(reach) ? placed.at : undefined,
    singles: drawSingles(dice, sound, 2, sharedTruths[fault].hides),
  };
}

/** Shared changes that a re-test must not let pass, and how grave they are at the least. */
const changes = {
  "earth-lifted": 0,
  "bus-noise": 0,
  "interface-hum": 0,
  "interface-noise": 0,
  "bus-treble-loss": 0,
  "master-bass-loss": 0,
  "master-clipping": 0,
  "master-ripple": 0,
  "master-distortion": 0,
  "desk-rails-low": 0,
  "desk-reservoir-dried": 0.3,
  "bad-cable": 0,
  "playing-level": 0.3,
  "level-touched": 0.3,
  "feed-capacitors-dried": 0.3,
  "ribbon-contacts-tarnished": 0,
  "group-noise": 0.3,
};

/** What a careless hand does to a neighbour. */
const harms = ["open-leg", "swapped-wiring", "dead-stage"];

/** @type {readonly RetestKind[]} */
export const retestKinds = [
  "mended",
  "not mended",
  "shared change",
  "neighbour harmed",
  "floor raised",
];

const where = ["left", "right", "both"];

/**
 * A desk with one or two single faults, for a round and the re-tests after it.
 *
 * @param {number} seed
 * @param {boolean} [inStereo] recorded in stereo: faults sit before the pan or on either side
 */
export function drawRetestDesk(seed, inStereo = false) {
  const dice = diceOf(`${seed}/prove gate`);
  const sound = drawSound(dice, seed, 8);
  const singles = drawSingles(dice, sound, dice.whole(1, 2), []);
  const banks = dice.chance(0.5) ? "told" : "not told";
  if (!inStereo) return { seed, sound, singles, banks };
  const stereo = { singles: dice.of(where), shared: dice.of(where), harmed: dice.of(where) };
  return { seed, sound, singles, banks, stereo };
}

/**
 * One re-test of such a desk.
 *
 * @param {ReturnType<typeof drawRetestDesk>} desk
 * @param {RetestKind} kind
 * @param {{ touched: readonly string[], neighbours: readonly string[] }} strips to be tested again
 * @returns {import("../../dist/simulate/retest.js").Retest & { kind: RetestKind, what: string }}
 */
export function drawRetest({ seed, sound, singles }, kind, { touched, neighbours }) {
  const dice = diceOf(`${seed}/prove gate/${kind}`);
  const all = placedOf(singles);
  const paths = (touched.length + neighbours.length) * sound.inputs.length;
  if (kind === "mended") {
    const { fullScaleDbu } = { fullScaleDbu: 22 + (dice.chance(0.3) ? dice.between(-1, 1) : 0) };
    const interfaceNow = { ...sound.interface, fullScaleDbu, inputFullScaleDbu: 22 };
    return { kind, what: "all mended", mended: all, interface: interfaceNow };
  }
  if (kind === "not mended") {
    const [left, ...mended] = dice.shuffled(all);
    return { kind, what: `${left.fault} left at ${left.at}`, mended };
  }
  if (kind === "shared change") {
    // An output without a capacitor cannot lose one.
    const isLacking = (name) => name === "master-bass-loss" && sound.output === "direct";
    const fault = dice.of(Object.keys(changes).filter((name) => !isLacking(name)));
    const severity = dice.between(changes[fault], 1);
    const strip = Number(dice.of(touched));
    const placed = placeShared(dice, fault, severity, sound, { strip, paths });
    return { kind, what: `${fault} (${severity.toFixed(2)})`, mended: all, shared: [placed] };
  }
  if (kind === "neighbour harmed") {
    const strip = dice.of(neighbours);
    const fault = dice.of(harms);
    const at = dice.chance(0.5) ? strip : `${strip}/${dice.of(sound.inputs)}`;
    const severity = dice.between(0.3, 1);
    return { kind, what: `${fault} at ${at}`, mended: all, harmed: [{ at, fault, severity }] };
  }
  const floorDb = dice.between(12, 35);
  const mended = dice.chance(0.5) ? all : all.slice(1);
  return { kind, what: `floor ${floorDb.toFixed(0)} dB up`, mended, floorDb };
}

/** Single faults as the simulator places them. */
export function placedOf(singles) {
  return singles.map(({ path, name, severity }) => ({
    at: path,
    fault: name,
    severity: severity ?? 0,
  }));
}

function drawSound(dice, seed, strips) {
  const inputs = dice.some(["mic", "line", "tape"], 2);
  const noise = dice.between(-3, 6);
  return {
    seed,
    strips,
    inputs,
    mainsHz: dice.of([50, 60]),
    clockPpm: dice.between(-40, 40),
    output: dice.chance(0.3) ? "direct" : "capacitor",
    interface: {
      outputNoiseV: 55e-9 * 10 ** (noise / 20),
      inputNoiseV: 69e-9 * 10 ** (noise / 20),
    },
    faults: [],
    banks: {
      feeds: banksOf("supply feed", strips, 4),
      ribbons: banksOf("ribbon", strips, 3),
      groups: banksOf("group", strips, Math.ceil(strips / 2)),
    },
    ...(dice.chance(0.3)
      ? { warmUp: { db: dice.between(-0.15, 0.15), turns: strips * dice.between(0.3, 1) } }
      : {}),
  };
}

function banksOf(name, strips, size) {
  return Array.from({ length: Math.ceil(strips / size) }, (_, k) => ({
    name: `${name} ${k + 1}`,
    strips: numbers(k * size + 1, Math.min(strips, (k + 1) * size)),
  }));
}

const numbers = (from, to) => Array.from({ length: to - from + 1 }, (_, k) => from + k);

/** @param {{ strip?: number, paths?: number }} within one that it must reach; paths recorded */
function placeShared(dice, fault, severity, sound, { strip, paths } = {}) {
  const { strips, inputs, banks } = sound;
  const bank = (list) =>
    strip === undefined
      ? dice.of(list.filter((one) => one.strips.length > 2))
      : list.find((one) => one.strips.includes(strip));
  const recorded = paths ?? strips * inputs.length;
  const half = Math.floor(strips / 2);
  const first = dice.of([1, strips - half + 1]);
  const micOf = (list) => (fault === "input-noise" && list.includes("mic") ? ["mic"] : list);
  const places = {
    feed: () => ({ at: bank(banks.feeds).name }),
    ribbon: () => ({ at: bank(banks.ribbons).name }),
    group: () => ({ at: bank(banks.groups).name }),
    strips: () => ({ strips: numbers(first, first + half - 1) }),
    input: () => ({ at: dice.of(micOf(inputs)) }),
    desk: () => ({}),
    turn: () => ({ fromTurn: dice.whole(Math.ceil(recorded / 4), Math.floor((3 * recorded) / 4)) }),
  };
  return { fault, severity, ...places[sharedFaults[fault].reach]() };
}

/** Paths of a round in the order in which they are recorded. */
export function pathsInOrder({ strips, inputs }) {
  return inputs.flatMap((input) => numbers(1, strips).map((strip) => `${strip}/${input}`));
}

function pathsReached({ fault, at, strips, fromTurn }, sound) {
  const all = pathsInOrder(sound);
  const stripOf = (path) => Number(path.split("/")[0]);
  const { feeds, ribbons, groups } = sound.banks;
  const bankIn = (list) => {
    const hit = list.find(({ name }) => name === at).strips;
    return all.filter((path) => hit.includes(stripOf(path)));
  };
  const reached = {
    feed: () => bankIn(feeds),
    ribbon: () => bankIn(ribbons),
    group: () => bankIn(groups),
    strips: () => all.filter((path) => strips.includes(stripOf(path))),
    input: () => all.filter((path) => path.endsWith(`/${at}`)),
    desk: () => all,
    turn: () => all.slice(fromTurn),
  };
  return reached[sharedFaults[fault].reach]();
}

/** Faults of different kinds on strips of their own that nothing shared hides. */
function drawSingles(dice, { strips, inputs }, count, hidden) {
  const names = Object.keys(singleFaults).filter(
    (name) => !singleFaults[name].domain.some((domain) => hidden.includes(domain)),
  );
  const at = dice.shuffled(numbers(1, strips));
  return dice
    .shuffled(names)
    .slice(0, count)
    .map((name, k) => ({
      path: `${at[k]}/${dice.of(inputs)}`,
      name,
      severity: dice.between(singleFaults[name].from, 0.9),
    }));
}
