import { describe, expect, it } from "vitest";
import { findSwappedTakes, type Stranger } from "../../src/diagnose/swapped-takes.js";
import { formatEvidence } from "../../src/report/evidence/format-evidence.js";

// Expected behaviour as docs/diagnosis.md and the causes' own words tell it.

function stranger(path: string, like: string, probability = 0.9): Stranger {
  const [strip, input] = path.split("/");
  const cause = {
    cause: "wrong-path-recorded",
    name: "another input recorded under this name",
    kind: "patch" as const,
    probability,
    evidence: [],
    confirmBy: "",
  };
  return { path, strip, input, causes: [cause], like: new Set([like]) };
}

describe("swappedTakes", () => {
  it("tells two paths of a strip that each measure as the other does", () => {
    const found = findSwappedTakes([stranger("7/mic", "line"), stranger("7/line", "mic", 0.8)]);
    const [swap, alone] = found.get("7/mic") ?? [];
    expect(swap).toMatchObject({ cause: "takes-swapped", kind: "patch", probability: 0.76 });
    expect(swap.evidence.map(formatEvidence)).toEqual([
      "7/mic measures like the line paths, and 7/line like the mic paths",
    ]);
    expect(alone).toMatchObject({ cause: "wrong-path-recorded", probability: 0.14 });
    expect(found.get("7/line")?.[0].cause).toBe("takes-swapped");
  });

  it("says nothing about one alone, of two that do not fit, and of two strips", () => {
    expect(findSwappedTakes([stranger("7/mic", "line")]).size).toBe(0);
    expect(findSwappedTakes([stranger("7/mic", "line"), stranger("7/line", "tape")]).size).toBe(0);
    expect(findSwappedTakes([stranger("7/mic", "line"), stranger("8/line", "mic")]).size).toBe(0);
  });
});
