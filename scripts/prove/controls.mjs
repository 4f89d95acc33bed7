/**
 * Counts what the controls pass finds: `node scripts/prove/controls.mjs [paths] [version] [first seed]`.
 * Each virtual path has five good controls and seven faulty ones, whose severities, hand and tracks are
 * drawn by its seed.
 */
import { measureControls } from "../../dist/measure/controls/controls.js";
import { buildSignalTable, getProfileVersion } from "../../dist/signal/signal-table.js";
import { simulateControlsPass } from "../../dist/simulate/controls/pass.js";
import { virtualDesk } from "../../dist/simulate/desk.js";
import { createRng, uniform } from "../../dist/simulate/rng.js";

const [paths = 24, version = getProfileVersion("controls"), first = 301] = process.argv
  .slice(2)
  .map(Number);
const rate = 44_100;

const pot = {
  kind: "pot",
  markAt: 0.6,
  lowDb: -25,
  highDb: 12,
  roughness: 2e-5,
  wornZones: 0,
  zoneWidth: 0.01,
  wornOhmParts: 0,
  directV: 0,
};
const fader = { ...pot, markAt: 0.75 };
const toggle = {
  kind: "switch",
  inDb: 0,
  travelS: 0.005,
  lapses: 0,
  lapseS: 0.05,
  lapseOhmParts: 0,
};

/** Name, hand, virtual control, and what is right to say of it. */
function drawControls(seed) {
  const rng = createRng(`severities ${seed}`);
  const between = (low, high) => low * (high / low) ** uniform(rng);
  const gain = { ...pot, lowDb: -between(6, 40), highDb: between(3, 18) };
  const track = (zones, width, ohm) => ({ wornZones: zones, zoneWidth: width, wornOhmParts: ohm });
  const lapses = (count, lengthS, ohm) => ({ lapses: count, lapseS: lengthS, lapseOhmParts: ohm });
  return [
    ["gain", "turn", gain, "sound"],
    ["fader", "slide", { ...fader, lowDb: Number.NEGATIVE_INFINITY, highDb: 10 }, "sound"],
    ["pad", "press", { ...toggle, inDb: -20 }, "sound"],
    ["low cut", "press", toggle, "sound"],
    ["mute", "press", { ...toggle, inDb: -90 }, "sound"],
    ["worn", "turn", { ...pot, ...track(4, between(0.01, 0.03), between(0.03, 0.3)) }, "scratchy"],
    [
      "faint",
      "turn",
      { ...pot, ...track(1, between(0.003, 0.01), between(0.01, 0.05)) },
      "scratchy",
    ],
    ["open", "slide", { ...fader, ...track(5, between(0.01, 0.03), between(4, 40)) }, "drops out"],
    [
      "narrow",
      "slide",
      { ...fader, ...track(1, between(0.002, 0.006), between(1, 10)) },
      "drops out",
    ],
    [
      "leaky",
      "turn",
      { ...pot, roughness: between(5e-4, 1e-2), directV: between(0.1, 3) },
      "scratchy",
    ],
    [
      "dirty",
      "press",
      { ...toggle, ...lapses(2, between(0.03, 0.12), between(1, 100)) },
      "drops out",
    ],
    [
      "once",
      "press",
      { ...toggle, ...lapses(1, between(0.02, 0.06), between(0.3, 3)) },
      "drops out",
    ],
  ];
}

const counts = new Map();
for (let seed = first; seed < first + paths; seed++) {
  const controls = drawControls(seed);
  const moves = controls.map(([control, hand]) => ({ control, hand }));
  const table = buildSignalTable("controls", "base", moves, version);
  const desk = virtualDesk({ seed, strips: 1, inputs: ["line"], mainsHz: 50, faults: [] });
  const parts = controls.map(([, , part]) => part);
  const path = { strip: 1, input: "line" };
  const samples = simulateControlsPass(desk, path, table, rate, parts, `pass ${seed}`);
  const audio = { samples, origin: 0, clock: rate, sampleRate: rate, table, mainsHz: 50 };
  const reports = measureControls(audio);
  for (const [name, , , right] of controls) {
    const report = reports.find(({ control }) => control === name);
    const count = counts.get(name) ?? { right, hits: 0, of: 0 };
    const hits = count.hits + (report.verdicts.includes(right) ? 1 : 0);
    counts.set(name, { right, hits, of: count.of + 1 });
  }
}
const sum = (isFaulty) =>
  [...counts.values()]
    .filter(({ right }) => (right !== "sound") === isFaulty)
    .reduce((all, { hits, of }) => [all[0] + hits, all[1] + of], [0, 0]);
const [found, faulty] = sum(true);
const [good, healthy] = sum(false);
const lines = [...counts].map(
  ([name, { right, hits, of }]) => `${name}: ${right}, ${hits} of ${of}`,
);
const blamed = healthy - good;
lines.push(
  `version ${version}: ${found} of ${faulty} faulty found, ${blamed} of ${healthy} good ones blamed`,
);
process.stdout.write(`${lines.join("\n")}\n`);
