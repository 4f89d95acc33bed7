import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const source = fileURLToPath(new URL("../../src/", import.meta.url));

describe("exported names", () => {
  it("belong to one file each, so that a search finds one thing", () => {
    const filesByName = new Map<string, string[]>();
    for (const file of readdirSync(source, { recursive: true, encoding: "utf8" })) {
      if (!file.endsWith(".ts")) continue;
      const exported = readFileSync(join(source, file), "utf8").matchAll(
        /^export (?:async )?(?:function\*?|const|class|interface|type|enum) (\w+)/gm,
      );
      // Overloads of a function are one.
      for (const name of new Set(Array.from(exported, ([, each]) => each))) {
        filesByName.set(name, [...(filesByName.get(name) ?? []), file]);
      }
    }
    expect(filesByName.size).toBeGreaterThan(1000);
    expect([...filesByName].filter(([, files]) => files.length > 1)).toEqual([]);
  });
});
