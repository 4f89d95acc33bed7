import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import * as z from "zod";
import { calibrationSchema } from "../../src/history/calibration-schema.js";
import { roundSchema } from "../../src/history/round-schema.js";

function published(name: string): unknown {
  return JSON.parse(readFileSync(new URL(`../../docs/${name}`, import.meta.url), "utf8"));
}

describe("the schemas of the files that are written", () => {
  it("are published in docs as they are used", () => {
    expect(published("round.schema.json")).toEqual(z.toJSONSchema(roundSchema));
    expect(published("calibration.schema.json")).toEqual(z.toJSONSchema(calibrationSchema));
  });
});
