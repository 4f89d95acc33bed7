import { expect, test } from "vitest";
import { virtualDesk } from "../../src/simulate/desk.js";
import { scenario } from "../../src/simulate/scenario.js";

test("the demo's desk hides six different faults on six paths of different strips", () => {
  const { hidden, options } = scenario;
  expect(new Set(hidden.map(({ path }) => path.split("/")[0])).size).toBe(6);
  expect(new Set(options.faults.map(({ fault }) => fault)).size).toBe(6);
});

test("each is reported as a part whose value went from one to another", () => {
  for (const { component } of scenario.hidden) {
    const [, from, to] = /^.+: (.+) → (.+)$/.exec(component) ?? [];
    expect(from).toMatch(/\d/);
    expect(to).toMatch(/\d/);
    expect(to).not.toBe(from);
  }
});

test("the other 66 paths are those of the same desk without faults", () => {
  const ailing = virtualDesk(scenario.options);
  const sound = virtualDesk({ ...scenario.options, faults: [] });
  const changed = Object.keys(sound.paths).filter(
    (path) => JSON.stringify(ailing.paths[path]) !== JSON.stringify(sound.paths[path]),
  );
  expect(changed.sort()).toEqual(scenario.hidden.map(({ path }) => path).sort());
  expect(Object.keys(sound.paths).length).toBe(72);
});
