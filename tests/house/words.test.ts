import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const source = fileURLToPath(new URL("../../src/", import.meta.url));

/** Rooms that decide: what they find goes on as data, and `report` words it. */
const deciding = [
  "dsp",
  "capture/find",
  "measure",
  "rank",
  "history",
  "service",
  "sitting",
  "analysis",
];

/**
 * What a person is to do at the desk is content, like the bench records of the causes: it is chosen
 * whole by what was decided, and nothing takes it apart.
 */
const instructions = [
  "service/cautions.ts",
  "service/pass-sheet.ts",
  "service/run-sheet.ts",
  "service/plan/danger-guide.ts",
  "service/plan/section-guides.ts",
];

/** Refusals go to the person as they are, with a code: see `errors.ts`. */
const refusals = /\b(?:new \w*Error|refuse\w*|throw\w+|damaged)\(/g;
const hints = /\b(?:hint|without)(?::| =) (?:"[^"\n]*"|`[^`]*`)/g;

function withoutRefusals(text: string): string {
  let kept = text
    .replace(/\/\*[\s\S]*?\*\//g, "")
    .replace(/^\s*\/\/.*$/gm, "")
    .replace(hints, "");
  for (;;) {
    refusals.lastIndex = 0;
    const found = refusals.exec(kept);
    if (found === null) return kept;
    const from = found.index + found[0].length;
    kept = `${kept.slice(0, found.index)}${kept.slice(findEnd(kept, from))}`;
  }
}

/** Where the bracket ends that was opened before an index, strings passed over. */
function findEnd(text: string, from: number): number {
  let depth = 1;
  let quote = "";
  for (let i = from; i < text.length; i++) {
    const sign = text[i];
    if (quote !== "") {
      if (sign === "\\") i++;
      else if (sign === quote) quote = "";
    } else if (sign === '"' || sign === "`") quote = sign;
    else if (sign === "(") depth++;
    else if (sign === ")" && --depth === 0) return i + 1;
  }
  return text.length;
}

/**
 * Rooms that make no phrases either. What a registry says of its rows is content: the name of a
 * reading, its definition, its source, what a file is.
 */
const wordless = [
  "dsp",
  "measure",
  "history/compare",
  "history/trend",
  "history/facts",
  "history/order",
  "service/retest",
  "analysis/takes",
];
const ofRows = /\b(?:name|definition|source|unlike|wants|what): *(?:"[^"\n]*"|`[^`]*`)/g;
/** What is wrong with a voltage that was typed is the middle of a refusal. */
const ofRefusals = ["measure/calibration/meter.ts"];

/** A text of four words and more. */
const phrase = /(["`])((?:(?!\1)[^\n])*\p{L}{2,} (?:\p{L}+ ){2,}\p{L}{2,}(?:(?!\1)[^\n])*)\1/gu;

/** A text of several words that begins large and ends with a full stop. */
const sentence = /(["`])([A-Z][^"`\n]* [^"`\n]*[a-z)}]\.)\1/g;

describe("words", () => {
  it.each(deciding)("are made in report, not in %s", (room) => {
    const names = readdirSync(join(source, room), { recursive: true, encoding: "utf8" });
    const found = names
      .filter((name) => name.endsWith(".ts") && !instructions.includes(`${room}/${name}`))
      .flatMap((name) => {
        const text = withoutRefusals(readFileSync(join(source, room, name), "utf8"));
        return [...text.matchAll(sentence)].map(([, , words]) => `${room}/${name}: ${words}`);
      });
    expect(found).toEqual([]);
  });

  it.each(wordless)("are not made in %s, not even as a phrase", (room) => {
    const names = readdirSync(join(source, room), { recursive: true, encoding: "utf8" });
    const found = names
      .filter((name) => name.endsWith(".ts") && !ofRefusals.includes(`${room}/${name}`))
      .flatMap((name) => {
        const text = withoutRefusals(readFileSync(join(source, room, name), "utf8"));
        const values = text.replace(ofRows, "").replace(/^import .*$|from "[^"]*"/gm, "");
        return [...values.matchAll(phrase)].map(([, , words]) => `${room}/${name}: ${words}`);
      });
    expect(found).toEqual([]);
  });

  it("are found where they are", () => {
    expect('return "nothing of the sweep came back";'.match(phrase)).toHaveLength(1);
    expect('name: "gain at low level against nominal",'.replace(ofRows, "").match(phrase)).toBe(
      null,
    );
    expect('notes.push("No limit is for it.")'.match(sentence)).toHaveLength(1);
    expect(withoutRefusals('throw new DeskroundError("a", `No (:) is.`, "Do it.");')).toBe(
      "throw ;",
    );
  });
});
