import { describe, expect, it } from "vitest";
import { renderAssignment } from "../../src/report/assignment.js";
import { returnAt } from "../capture/desks.js";

const taken = (file: string, path: string, by: "name" | "order" | "map" = "name") => ({
  path,
  by,
  return: returnAt(file, 0),
});

describe("the assignment of returns", () => {
  it("reports each capture which paths it holds, and how that was decided", () => {
    const long = ["1/mic", "2/mic", "3/mic", "4/mic"].map((path) =>
      taken("evening.wav", path, "order"),
    );
    const takes = [taken("7-mic.wav", "7/mic"), taken("7-mic.wav", "7/mic")];
    expect(renderAssignment([...long, ...takes], 80)).toBe(
      [
        "Assigned to:",
        "  evening.wav: 4 returns, 1/mic to 4/mic, in order",
        "  7-mic.wav: 2 takes of 7/mic, by its name",
      ].join("\n"),
    );
  });

  it("reports a run sheet gone through twice as takes of each path", () => {
    const once = ["1/mic", "2/mic", "3/mic", "4/mic"].map((path) => taken("a.wav", path, "order"));
    expect(renderAssignment([...once, ...once], 80)).toContain(
      "  a.wav: 2 takes each of 4 paths, 1/mic to 4/mic, in order",
    );
    const pair = once.slice(0, 2);
    expect(renderAssignment([...pair, ...pair], 80)).toContain(
      "  a.wav: 2 takes each of 1/mic, 2/mic, in order",
    );
  });

  it("sums up what is more than a screen can hold, and shows no control characters", () => {
    const many = Array.from({ length: 72 }, (_, k) =>
      taken(`\u001b[2J${k + 1}-mic.wav`, `${k + 1}/mic`),
    );
    const lines = renderAssignment(many, 80).split("\n");
    expect(lines).toHaveLength(9);
    expect(lines.at(-1)).toBe("  65 more recordings: 65 returns, 8/mic to 72/mic");
    expect(lines.join("")).not.toContain("\u001b");
  });
});
