import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { listBuiltInLimits } from "../../../src/service/limits/built-in.js";
import { readLimits } from "../../../src/service/limits/read.js";

describe("the limits file", () => {
  it("is not needed, but must be there when it is named", async () => {
    const folder = mkdtempSync(join(tmpdir(), "limits-"));
    expect(await readLimits(folder, undefined, "none")).toStrictEqual(listBuiltInLimits("none"));
    await expect(readLimits(folder, join(folder, "mine.yaml"), "none")).rejects.toMatchObject({
      message: `No limits file can be read at ${folder}/mine.yaml.`,
      hint: "Name another with --limits; without one the built-in limits apply.",
    });
    writeFileSync(join(folder, "limits.yaml"), "built-in: none\nlimits:\n  a: hum <= 1 dBFS\n");
    expect(await readLimits(folder, undefined, "none")).toHaveLength(1);
  });
});
