import { describe, expect, it } from "vitest";
import { listReferences } from "../../../src/service/limits/list-references.js";
import { limit, path, reading, round } from "./rounds.js";

const one = round([path({ path: "1/mic", readings: { gain: reading(0) } })]);

describe("listReferences", () => {
  it("tells what a limit refers to by its figures, not by how it is written", async () => {
    const a = limit("abs(gain - siblings (gain)) <= 1 dB");
    const b = limit("gain - baseline( gain) <= 1 dB");
    const c = limit("gain <= 1 dB");
    const found = await listReferences([a, b, c], one, one);
    expect([...(found.get(a) ?? [])].sort()).toEqual(["own", "siblings"]);
    expect([...(found.get(b) ?? [])].sort()).toEqual(["baseline", "own"]);
    expect([...(found.get(c) ?? [])]).toEqual(["own"]);
  });

  it("leaves out a built-in limit that a round has nothing for, and refuses one from the file", async () => {
    const own = limit("gain - baseline(gain) <= 1 dB", { from: "built-in" });
    expect((await listReferences([own], one)).size).toBe(0);
    await expect(listReferences([limit("nonsense <= 3 dB")], one)).rejects.toThrow();
  });
});
