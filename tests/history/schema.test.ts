import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import * as z from "zod";
import { roundSchema } from "../../src/history/schema.js";

describe("the schema of a round", () => {
  it("is published in docs as it is used", () => {
    const published = readFileSync(
      new URL("../../docs/round.schema.json", import.meta.url),
      "utf8",
    );
    expect(JSON.parse(published)).toEqual(z.toJSONSchema(roundSchema));
  });
});
