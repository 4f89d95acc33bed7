import { describe, expect, it } from "vitest";
import { placesOf } from "../../src/diagnose/where.js";

const cause = (id: string) => ({
  cause: id,
  name: id.replaceAll("-", " "),
  kind: "fault" as const,
  probability: 0.9,
  evidence: [],
  confirmBy: "",
});

function paths(strips: number, inputs: string[], causes: Record<string, string>) {
  return inputs.flatMap((input) =>
    Array.from({ length: strips }, (_, k) => {
      const path = `${k + 1}/${input}`;
      const id = causes[path];
      const found = id === undefined ? [] : [cause(id)];
      return { path, strip: String(k + 1), input, judged: true, causes: found };
    }),
  );
}

describe("placesOf", () => {
  it("puts a fault on every input of a strip after the inputs join, on one input before it", () => {
    const { where } = placesOf(
      paths(6, ["mic", "line", "tape"], {
        "2/mic": "noisy-device",
        "2/line": "noisy-device",
        "2/tape": "noisy-device",
        "4/mic": "noisy-device",
        "5/mic": "open-leg",
        "5/line": "open-leg",
      }),
    );
    expect(where.get("2/line")).toMatch(/after they join/);
    expect(where.get("4/mic")).toMatch(/before the inputs join \(mic socket/);
    expect(where.get("5/mic")).toMatch(/on mic and line but not on the others/);
  });

  it("says nothing of a strip with one input", () => {
    expect(placesOf(paths(6, ["line"], { "2/line": "open-leg" })).where.size).toBe(0);
  });

  it("points neighbours to what they share, and nearly all strips to the master section", () => {
    const ripple = { "3/mic": "supply-ripple", "4/mic": "supply-ripple", "5/mic": "supply-ripple" };
    expect(placesOf(paths(12, ["mic"], ripple)).remarks).toEqual([
      expect.stringMatching(/^Neighbouring strips 3 to 5 show: supply ripple\./),
    ]);
    const all = Object.fromEntries([1, 2, 3, 4, 5].map((n) => [`${n}/mic`, "supply-ripple"]));
    expect(placesOf(paths(6, ["mic"], all)).remarks).toEqual([
      expect.stringMatching(/^5 of 6 strips show: supply ripple\. Look at what all share/),
    ]);
    const flow = {
      own: () => [],
      joined: [],
      shared: [{ name: "supply card B", strips: ["1", "5", "9"] }],
    };
    const apart = { "1/mic": "supply-ripple", "5/mic": "supply-ripple", "9/mic": "supply-ripple" };
    expect(placesOf(paths(12, ["mic"], apart), flow).remarks).toEqual([
      "Strips 1, 5, 9 show: supply ripple. They share supply card B.",
    ]);
  });
});
