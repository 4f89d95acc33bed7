import { expect, test } from "vitest";
import { simulatePath, virtualDesk } from "../../src/simulate/desk.js";
import { faults, masterFaults } from "../../src/simulate/faults.js";
import type { PlacedFault } from "../../src/simulate/types.js";
import { tone } from "./tone.js";

const options = { seed: 3, strips: 4, inputs: ["mic", "line", "tape"], mainsHz: 60 as const };
const sound = virtualDesk({ ...options, faults: [] });
const ailing = (fault: PlacedFault) => virtualDesk({ ...options, faults: [fault] });

const paths = ["2/mic", "2/line", "2/tape"];
const names = Object.keys(faults) as (keyof typeof faults)[];

test.each(names)("%s changes a named part's value, at every input and severity", (name) => {
  for (const path of paths) {
    for (const severity of [0, 0.5, 1]) {
      const values = ailing({ at: path, fault: name, severity }).paths[path];
      expect(faults[name].show(values)).not.toBe(faults[name].show(sound.paths[path]));
    }
  }
});

test.each(names)("%s gives a finite capture within full scale", (name) => {
  const signal = tone(997, 0.3, 48_000).map((x) => 0.9 * x);
  for (const path of paths) {
    const desk = ailing({ at: path, fault: name, severity: 1 });
    const out = simulatePath(desk, 2, path.slice(2), signal, 48_000);
    expect(out.every((x) => Math.abs(x) <= 1)).toBe(true);
  }
});

test.each(Object.keys(masterFaults) as (keyof typeof masterFaults)[])(
  "%s of the master changes a named part's value",
  (name) => {
    const { master } = ailing({ at: "master", fault: name, severity: 0.5 });
    expect(masterFaults[name].show(master)).not.toBe(masterFaults[name].show(sound.master));
  },
);
