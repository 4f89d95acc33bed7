import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import * as z from "zod";
import { calibrationSchema } from "../../src/history/calibration-schema.js";
import { roundSchema } from "../../src/history/round-schema.js";
import { aPath, aRound } from "./a-round.js";

function published(name: string): unknown {
  return JSON.parse(readFileSync(new URL(`../../docs/${name}`, import.meta.url), "utf8"));
}

describe("the schemas of the files that are written", () => {
  it("are published in docs as they are used", () => {
    expect(published("round.schema.json")).toEqual(z.toJSONSchema(roundSchema));
    expect(published("calibration.schema.json")).toEqual(z.toJSONSchema(calibrationSchema));
  });
});

describe("a measured path that was edited by hand", () => {
  /** Where a round is at fault of which one path has this in place of its own. */
  const faultOf = (edit: Readonly<Record<string, unknown>>) => {
    const round = { ...aRound("2030-04-02"), id: "2030-04-02-01" };
    const path = { ...aPath("1/mic"), ...edit };
    const found = roundSchema.safeParse({ ...round, paths: [path] });
    const [issue] = found.error?.issues ?? [];
    return issue && [issue.path.slice(2).join("."), issue.message];
  };
  const curve = aPath("1/mic").curves.response;
  const response = (edit: object) => ({ curves: { response: { ...curve, ...edit } } });

  it("is taken as it was written", () => {
    expect(faultOf({})).toBeUndefined();
    expect(faultOf(response({ floor: [-100, -100, -100] }))).toBeUndefined();
  });

  it("has a reason with a code for each reading that is absent", () => {
    expect(faultOf({ absences: { noise: { code: "no-roll-off" } } })).toBeUndefined();
    for (const reason of [null, "text", 3, {}, { code: 3 }]) {
      const fault = ["absences.noise", "should be a reason with a code"];
      expect(faultOf({ absences: { noise: reason } })).toEqual(fault);
    }
  });

  it.each(["readings", "absent", "curves"])("has a block of %s", (key) => {
    for (const value of [[], "text", 3, null]) {
      expect(faultOf({ [key]: value })).toEqual([key, "should be a block"]);
    }
  });

  it("has the positions of points that are bounds", () => {
    expect(faultOf(response({ bounds: [0, 2] }))).toBeUndefined();
    const fault = ["curves.response.bounds", "should be positions of points of the curve, from 0"];
    for (const bounds of [[3], [-1], [0.5]]) expect(faultOf(response({ bounds }))).toEqual(fault);
  });

  it.each(["x", "y", "uncertainty", "floor", "bounds"])(
    "has numbers as the %s of a curve",
    (key) => {
      const fault = [`curves.response.${key}`, "should be a list of numbers"];
      expect(faultOf(response({ [key]: ["20", 1000, 20000] }))).toEqual(fault);
      expect(faultOf(response({ [key]: 20 }))).toEqual(fault);
      if (key === "floor" || key === "bounds") return;
      const { [key as "x"]: _, ...without } = curve;
      expect(faultOf({ curves: { response: without } })).toEqual(fault);
    },
  );

  it("has as many of each, and in the order of frequency", () => {
    expect(faultOf(response({ y: [0, 0] }))?.[0]).toBe("curves.response");
    expect(faultOf(response({ x: [20, 20000, 1000] }))?.[0]).toMatch(/^curves\.response/);
  });

  describe("has readings of which each", () => {
    const reading = { value: 1, unit: "dB", uncertainty: 0 };
    const of = (edit: object) => faultOf({ readings: { gain: { ...reading, ...edit } } });

    it("is taken with what it may have besides", () => {
      expect(of({})).toBeUndefined();
      expect(of({ common: 0, limitedBy: "noise", bound: "upper", later: "key" })).toBeUndefined();
      expect(of({ common: 0.1, limitedBy: "interface", bound: "lower" })).toBeUndefined();
    });

    it.each([
      ["value", ["1", null, undefined], "a number"],
      ["unit", [1, null, undefined], "a text"],
      ["uncertainty", ["0", null, undefined, -0.1], "a number of 0 or more"],
      ["common", ["0", null, -0.1], "a number of 0 or more"],
      ["limitedBy", ["path", null], "noise or interface"],
      ["bound", ["left", null], "upper or lower"],
    ])("has %s, and not %j", (key, values, what) => {
      for (const value of values) {
        expect(of({ [key]: value })).toEqual([`readings.gain.${key}`, `should be ${what}`]);
      }
    });

    it("is a block", () => {
      for (const value of [null, 3, "text", [1]]) {
        const fault = ["readings.gain", "should be a reading"];
        expect(faultOf({ readings: { gain: value } })).toEqual(fault);
      }
    });
  });

  it("has a text for each reading that is absent", () => {
    expect(faultOf({ absent: { noise: "why" } })).toBeUndefined();
    expect(faultOf({ absent: { noise: 3 } })).toEqual(["absent.noise", "should be a text"]);
  });

  it("has curves over hertz, in a unit, whose frequencies rise", () => {
    expect(faultOf(response({ xUnit: "kHz" }))).toEqual(["curves.response.xUnit", "should be Hz"]);
    expect(faultOf(response({ yUnit: 3 }))).toEqual(["curves.response.yUnit", "should be a text"]);
    expect(faultOf(response({ uncertainty: [0, 0] }))?.[0]).toBe("curves.response");
    expect(faultOf(response({ x: [20, 20, 1000] }))?.[0]).toMatch(/^curves\.response/);
    const fault = "curves.response.bounds";
    expect(faultOf(response({ bounds: [0, 3] }))?.[0]).toBe(fault);
    for (const value of [null, 3, "text", [1]]) {
      const wrong = ["curves.response", "should be a curve"];
      expect(faultOf({ curves: { response: value } })).toEqual(wrong);
    }
  });
});
