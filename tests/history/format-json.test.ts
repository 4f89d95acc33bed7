import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { formatJson } from "../../src/history/format-json.js";

/** Every character that a terminal or an editor would act on; the line ends of the layout stay. */
const acting = /(?!\n)[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u;

describe("JSON as it is laid out", () => {
  // The escapes of RFC 8259, section 7: four hexadecimal digits, a surrogate pair beyond U+FFFF.
  it.each([
    ["\u007f", "\\u007f"],
    ["\u0085\u009b", "\\u0085\\u009b"],
    ["\u200e\u200f", "\\u200e\\u200f"],
    ["\u202a\u202b\u202c\u202d\u202e", "\\u202a\\u202b\\u202c\\u202d\\u202e"],
    ["\u2066\u2067\u2068\u2069", "\\u2066\\u2067\\u2068\\u2069"],
    ["\u2028\u2029", "\\u2028\\u2029"],
    ["\u{e0041}", "\\udb40\\udc41"],
    ["\u001b\n", "\\u001b\\n"],
    ["Zürich 🎚 α/ß", "Zürich 🎚 α/ß"],
  ])("escapes what acts on a terminal, %j, and nothing else", (text, written) => {
    expect(formatJson({ [text]: text })).toBe(`{ "${written}": "${written}" }\n`);
  });

  it("puts what holds no more than values into a line, and what holds more into several", () => {
    // The layout that rounds have on disk: a reading, a curve's list and a path's name are a line each.
    const reading = { value: -86.1, unit: "dB", none: null };
    expect(formatJson(reading)).toBe('{ "value": -86.1, "unit": "dB", "none": null }\n');
    expect(formatJson({ name: "1/mic", readings: { noise: reading } })).toBe(
      [
        "{",
        '  "name": "1/mic",',
        '  "readings": {',
        '    "noise": { "value": -86.1, "unit": "dB", "none": null }',
        "  }",
        "}\n",
      ].join("\n"),
    );
  });

  it("puts a list of numbers into one line, however long it is", () => {
    const y = Array.from({ length: 200 }, (_, k) => k / 8);
    expect(formatJson({ y }).split("\n")).toEqual(["{", `  "y": [${y.join(", ")}]`, "}", ""]);
  });

  it("puts what is empty into two brackets, and leaves out what is undefined", () => {
    expect(formatJson({})).toBe("{}\n");
    expect(formatJson([])).toBe("[]\n");
    expect(formatJson({ a: undefined, b: [], c: {} })).toBe('{\n  "b": [],\n  "c": {}\n}\n');
    expect(formatJson({ a: undefined, b: 1 })).toBe('{ "b": 1 }\n');
    expect(formatJson([undefined, null, true])).toBe("[null, null, true]\n");
  });

  it("puts as much into a line as fits into 100 characters, its indent among them", () => {
    // `{ "a": "…" }` is 11 characters longer than the text in it.
    const lines = (value: unknown) => formatJson(value).trimEnd().split("\n").length;
    const flat = (length: number) => ({ a: "x".repeat(length) });
    expect(lines(flat(89))).toBe(1);
    expect(lines(flat(90))).toBe(3);
    // Two deep it begins at the fourth column: `    { "a": "…" }`.
    expect(lines([[flat(85)]])).toBe(5);
    expect(lines([[flat(86)]])).toBe(7);
    // A list of numbers and a word is no list of numbers.
    const numbers = Array.from({ length: 100 }, () => 7);
    expect(lines(numbers)).toBe(1);
    expect(lines([...numbers, "x"])).toBe(103);
    expect(lines(["x".repeat(60), "y".repeat(60)])).toBe(4);
  });

  it("gives any text back unchanged to a reader of JSON", () => {
    const any = fc.dictionary(
      fc.string({ unit: "binary", minLength: 1 }),
      fc.oneof(fc.string({ unit: "binary" }), fc.array(fc.string({ unit: "binary" }))),
      { noNullPrototype: true },
    );
    fc.assert(
      fc.property(any, (value) => {
        const text = formatJson(value);
        expect(text).not.toMatch(acting);
        expect(JSON.parse(text)).toEqual(value);
      }),
      { seed: 1 },
    );
  });
});
