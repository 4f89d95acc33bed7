import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readNote } from "../../../src/diagnose/notes/read-note.js";
import { weighWords } from "../../../src/diagnose/notes/weigh-words.js";

const root = new URL("../../../", import.meta.url);
const read = (name: string) => readFileSync(new URL(name, root), "utf8");

describe("the words that notes are weighed by", () => {
  // tests/diagnose/notes/note-words.long.test.ts learns them anew.
  it("are learned of the notes and by the program that are kept beside them", () => {
    const { sha256 } = JSON.parse(read("data/note-words.json")) as { readonly sha256: string };
    const names = readdirSync(new URL("fixtures/notes/", root))
      .filter((name) => name !== "phrasings-held.tsv")
      .sort()
      .map((name) => `fixtures/notes/${name}`);
    const programs = ["learn-weights", "read-rows", "settings", "train"].map(
      (name) => `scripts/notes/${name}.mjs`,
    );
    const hash = createHash("sha256");
    for (const name of [...names, ...programs]) hash.update(read(name));
    expect(sha256).toBe(hash.digest("hex"));
  });

  it("give probabilities", () => {
    for (const question of ["symptom", "control", "danger"] as const) {
      const logs = [...weighWords(question, "fader scratchy").values()];
      expect(logs.reduce((sum, log) => sum + Math.exp(log), 0)).toBeCloseTo(1, 12);
    }
  });

  // What a service engineer would take the words for: common practice of the trade, no source.
  it.each([
    ["polarity button: thock in both speakers", { control: "polarity", symptom: "pop" }],
    ["assign to 3-4 does not take", { control: "routing", symptom: "dead" }],
    ["treble rolled off from 8k up, 20k is 5 dB down", { symptom: "dull" }],
  ])("say of %j what no rule does", (text, fault) => {
    expect(readNote(text).faults).toMatchObject([fault]);
  });

  // A fan that stopped is not a fault that stopped: common practice.
  it("do not take a fan that stopped for one that is in order", () => {
    expect(readNote("fan stopped but it is cool", "supply").isInOrder).toBe(false);
  });

  it("leave a reading alone of which the rules are sure", () => {
    expect(readNote("fader scratchy and pan dead left").faults).toEqual([
      { control: "fader", symptom: "scratch" },
      { control: "pan", symptom: "dead" },
    ]);
    expect(readNote("stopped humming")).toEqual({ faults: [], isInOrder: true });
  });
});
