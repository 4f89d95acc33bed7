import { expect, it } from "vitest";
import type { BenchStep } from "../../../src/diagnose/bench.js";
import type { OpenDanger } from "../../../src/service/notebook/open-dangers.js";
import { listPhases } from "../../../src/service/plan/phases.js";
import type { OutsideItem, PlanPlace } from "../../../src/service/plan/types.js";

// Power stays off while a danger of the whole desk is open: common practice, no source.

const outside: readonly OutsideItem[] = [
  {
    place: "6",
    name: { code: "not-clear" },
    todo: { code: "record-again" },
    kind: "try first",
    measured: "out",
  },
];
const danger = (parts: Partial<OpenDanger>): OpenDanger => ({
  note: "n1",
  date: "2031-03-14",
  words: "",
  dangers: ["burning"],
  ...parts,
});
const powerWith = (...dangers: readonly OpenDanger[]) =>
  listPhases({ outside, steps: [], ...(dangers.length === 0 ? {} : { dangers }) });

it("works outside under power, unless a danger of the whole desk is open", () => {
  expect(powerWith()).toEqual([{ id: "outside", power: "in use" }]);
  expect(powerWith(danger({ strip: "21" }))[0].power).toBe("in use");
  expect(powerWith(danger({ strip: "21", dangers: ["shock"] }))[0].power).toBe("unplugged");
  expect(powerWith(danger({ section: "supply", sectionKind: "supply" }))[0].power).toBe(
    "unplugged",
  );
  expect(powerWith(danger({}))[0].power).toBe("unplugged");
});

it("gives the rest of the desk alone the phases that strips have", () => {
  const place = (...powers: readonly BenchStep["power"][]) =>
    ({
      section: "group 3",
      kind: "group",
      items: [{ steps: powers.map((power) => ({ power, text: "" })) }],
    }) as unknown as PlanPlace;
  const phasesOf = (places: readonly PlanPlace[], ...dangers: readonly OpenDanger[]) =>
    listPhases({ outside: [], steps: [], places, dangers }).map(({ id }) => id);
  expect(phasesOf([place("in use", "unplugged")])).toEqual([
    "outside",
    "open",
    "strips",
    "try",
    "close",
    "use",
  ]);
  expect(phasesOf([place("powered and open")])).toEqual([
    "open",
    "inside",
    "strips",
    "try",
    "close",
    "use",
  ]);
  expect(phasesOf([place("in use")])).toEqual(["outside"]);
  expect(phasesOf([place("bench")], danger({}))).toEqual(["open", "strips"]);
});
