import { expect, it } from "vitest";
import type { BenchStep } from "../../../src/diagnose/bench.js";
import type { OpenDanger } from "../../../src/service/notebook/open-dangers.js";
import {
  isPlaceOpened,
  isPlaceWorkedClosed,
  listPhases,
} from "../../../src/service/plan/phases.js";
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
  expect(powerWith()).toStrictEqual([{ id: "outside", power: "in use" }]);
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
  expect(phasesOf([place("in use", "unplugged")])).toStrictEqual([
    "outside",
    "open",
    "strips",
    "try",
    "close",
    "use",
  ]);
  expect(phasesOf([place("powered and open")])).toStrictEqual([
    "open",
    "inside",
    "strips",
    "try",
    "close",
    "use",
  ]);
  expect(phasesOf([place("in use")])).toStrictEqual(["outside"]);
  expect(phasesOf([place("bench")], danger({}))).toStrictEqual(["open", "strips"]);
});

it("has phases for what there is alone", () => {
  const strip = (...powers: readonly BenchStep["power"][]) =>
    ({ kind: "strip", items: [{ steps: powers.map((power) => ({ power, text: "" })) }] }) as never;
  const off = {
    kind: "off",
    part: { name: "panel", kind: "cover", strips: [], minutes: 1 },
  } as const;
  const shut = { items: [{ steps: [{ power: "in use", text: "" }] }] } as never;
  const ids = (parts: Partial<Parameters<typeof listPhases>[0]>) =>
    listPhases({ outside: [], steps: [], ...parts })
      .map(({ id }) => id)
      .join(" ");
  const closing = "try close use";
  expect(ids({})).toBe("");
  expect(ids({ outside })).toBe("outside");
  expect(ids({ shared: [{}] as never })).toBe("outside");
  expect(ids({ steps: [off, strip("in use", "bench")] })).toBe(`open strips ${closing}`);
  expect(ids({ steps: [strip("powered and open")] })).toBe(`open inside strips ${closing}`);
  expect(ids({ steps: [strip("unplugged")], outside })).toBe(`outside open strips ${closing}`);
  // A section that stays shut is worked at beside the strips, and by itself outside.
  expect(ids({ places: [shut] })).toBe("outside");
  expect(ids({ places: [shut], steps: [strip("bench")] })).toBe(`open strips ${closing}`);
  expect(ids({ steps: [strip("bench")], dangers: [danger({ strip: "3" })] })).toBe("open strips");
});

it("opens a place for any of its work that needs it, and works at it closed for any in use", () => {
  const place = (...items: readonly (readonly BenchStep["power"][])[]) =>
    ({
      items: items.map((powers) => ({ steps: powers.map((power) => ({ power, text: "" })) })),
    }) as never;
  const told = (...items: readonly (readonly BenchStep["power"][])[]) => [
    isPlaceOpened(place(...items)),
    isPlaceWorkedClosed(place(...items)),
  ];
  expect(told(["in use"], ["unplugged"])).toStrictEqual([true, true]);
  expect(told(["unplugged"], ["in use"])).toStrictEqual([true, true]);
  expect(told(["unplugged"], ["bench"])).toStrictEqual([true, false]);
  expect(told(["in use"], ["in use"])).toStrictEqual([false, true]);
  expect(told()).toStrictEqual([false, true]);
});
