import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  findInputsInName,
  parseTakeNumber,
  readFileName,
} from "../../src/capture/assign/file-names.js";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import { recordingExtension, recordingKinds } from "../../src/desk/recording-kinds.js";
import { measureProcessorS } from "../helpers/processor-time.js";

// Expected values: what each pattern's own words say of the name beside it.

/** A desk of strips 1 to 24, 3A and Übertrag, whose line goes to strips 1 to 8 alone. */
function deskWith(captures: string) {
  const text = `name: Desk
mains: 50
strips: [1-24, 3A, A, Übertrag]
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4, strips: 1-8 }
  tape-ret: { nominal: 4 }
captures: ${captures}
`;
  const { paths, captures: patterns } = parseDesk(text, "desk.yaml");
  return { paths, patterns };
}

/** The paths that a name picks and its take; else what it says instead. */
function picked(name: string, captures: string): string {
  const { paths, patterns } = deskWith(captures);
  const reading = readFileName(name, paths, patterns);
  if (reading.says !== "paths") return reading.says;
  const own = reading.paths.map(({ path }) => path);
  const which = own.length > 3 ? `${own.slice(0, 2).join(" ")} … ${own.length}` : own.join(" ");
  return `${which}, take ${parseTakeNumber(name, paths, patterns)}`;
}

describe("the ending of a recording's name", () => {
  it.each(recordingKinds.flatMap(({ endings }) => [...endings]))(
    "says nothing: .%s",
    (extension) => {
      expect(`7.${extension}`.replace(recordingExtension, "")).toBe("7");
      expect(picked(`Kanalzug 4.${extension}`, "[Kanalzug <strip>]")).toBe(
        "4/mic 4/line 4/tape-ret, take 1",
      );
    },
  );
});

describe("a pattern of the desk file", () => {
  it.each([
    ["[mic: Mikrofon <strip> (<take>)]", "Mikrofon 07 (003).wav", "7/mic, take 3"],
    ["[mic: Mikrofon <strip> (<take>)]", "MIKROFON 7 (12)", "7/mic, take 12"],
    ["[mic: Mikrofon <strip> (<take>).WAV]", "sub/mikrofon 3a (1).bwf", "3A/mic, take 1"],
    ["{ mic: Mikrofon <strip>, line: Leitung <strip> }", "C:\\x 9\\Leitung 0008.rf64", "8/line"],
    ["{ mic: [M<strip>, Mikro <strip>] }", "m24.wav", "24/mic"],
    ["<strip><input>_T<take>", "03AMic_t04.wav", "3A/mic, take 4"],
    ["<input><strip>", "TAPE-RET11.wav", "11/tape-ret"],
    ["<take>. <strip> <Input>", "09. übertrag mic.wav", "Übertrag/mic, take 9"],
    ["<take>. <strip> <input>", "9. U\u0308BERTRAG mic.wav", "Übertrag/mic, take 9"],
    ['["Spur 1<strip> <any>: <input>"]', "spur 107 x: line", "7/line"],
    ["Spur 0<strip> <input>", "Spur 012 mic.wav", "12/mic"],
    ["Sitzung 002 <input> <strip>", "sitzung 2 mic  4 .wav", "4/mic"],
    ["[line: Lei\u0301tung <strip>]", "LE\u00cdTUNG 5.wav", "5/line"],
    ["<any><strip><any> <input>", "Sonntag spät 17-b mic.wav", "17/mic"],
    ["<any><take> <input> <strip>", "2031-03-14 0930 line 2.wav", "2/line, take 930"],
    ["[mic: 'Aufnahme #<strip>']", "aufnahme #06.wav", "6/mic"],
    ["[mic: <any> Mikrofon <any> <strip> <any>]", "mikrofon 5.wav", "5/mic"],
    ["[mic: Mikrofone]", "mikrofone.wav", "1/mic 2/mic … 27, take 1"],
    ["[Kanalzug <strip>]", "kanalzug 4.wav", "4/mic 4/line 4/tape-ret, take 1"],
  ])("of %s reads %s as %s", (captures, name, expected) => {
    expect(picked(name, captures)).toBe(
      expected.includes("take") ? expected : `${expected}, take 1`,
    );
  });

  it("goes before what the name says as it comes", () => {
    expect(picked("mic 7 line.wav", "[line: mic <strip> line]")).toBe("7/line, take 1");
    expect(picked("take 4 mic 7.wav", "take <strip> mic <take>")).toBe("4/mic, take 7");
    expect(picked("strip 7 mic (4).wav", "strip <take> mic (<strip>)")).toBe("4/mic, take 7");
  });

  it("leaves a name that it does not fit to what that says as it comes", () => {
    const captures = "[mic: Mikrofon <strip>]";
    expect(picked("07-mic take 2.wav", captures)).toBe("7/mic, take 2");
    expect(picked("Mikrofon 7 x.wav", captures)).toBe("nothing");
    expect(picked("Mikrofon.wav", captures)).toBe("nothing");
    expect(picked(`Mikrofon ${"x".repeat(9000)}.wav`, captures)).toBe("nothing");
  });

  it("takes the take from the name's own words where it holds no <take>", () => {
    expect(picked("Mikrofon 7 take 5.wav", "[mic: Mikrofon <strip><any>]")).toBe("7/mic, take 5");
  });

  it("does not cut <any> out of a number, nor a strip or an input out of a word", () => {
    const captures = '"<any><strip>: <input><any>"';
    for (const name of ["217: mic", "extra: mic", "7: micro", "7: atomic"]) {
      expect(picked(name, captures)).not.toMatch(/^\w+\/mic, /);
    }
    expect(picked("2-17: mic4", captures)).toBe("17/mic, take 1");
  });

  it("is unclear where a name fits two paths by it, or by it and another", () => {
    const why = (name: string, captures: string) => {
      const { paths, patterns } = deskWith(captures);
      return readFileName(name, paths, patterns);
    };
    expect(why("M 2 3.wav", "[mic: M <strip> <take>, mic: M <take> <strip>]")).toEqual({
      says: "unclear",
      why: 'fits 2/mic ("M <strip> <take>") and 3/mic ("M <take> <strip>"), by `captures` of the desk file',
      hint: expect.stringContaining("--map"),
    });
    expect(why("Spur 2 und 3 mic.wav", "<any> <strip> <any><input>")).toMatchObject({
      says: "unclear",
      why: expect.stringMatching(/^fits 2\/mic .* and 3\/mic /),
    });
    expect(why("Spur 7.wav", "[mic: Spur <any>, line: Spur <strip>]")).toMatchObject({
      why: expect.stringMatching(/^fits every strip's mic .* and 7\/line /),
    });
    expect(picked("M 7 03.wav", "[mic: M <strip> <take>, mic: M <strip> <any>]")).toBe(
      "7/mic, take 3",
    );
  });

  it("is unclear where a name fits by it what is not a path, doubted if it is not a strip", () => {
    const { paths, patterns } = deskWith("[line: Leitung <strip>]");
    expect(readFileName("Leitung 12.wav", paths, patterns)).toMatchObject({
      says: "unclear",
      why: "names strip 12 and input line, no path of this desk",
    });
    expect(readFileName("Leitung 031.wav", paths, patterns)).toEqual({
      says: "nothing",
      doubt: {
        code: "name-near-pattern",
        file: "Leitung 031.wav",
        pattern: "Leitung <strip>",
        strip: "31",
      },
    });
  });

  it("tells the input of a file whose channels are strips", () => {
    const { paths, patterns } = deskWith("[line: Leitung <any>, Alle <strip>]");
    const inputs = (name: string) => [...findInputsInName(name, paths, patterns)];
    expect(inputs("Leitung abends mic.wav")).toEqual(["line"]);
    expect(inputs("alle 7.wav")).toEqual([]);
    expect(inputs("mic.wav")).toEqual(["mic"]);
  });

  it("reads back any name written after it, in capitals, accents apart, with zeros before", () => {
    const { paths } = deskWith("<strip> <input>");
    const between = fc.constantFrom(" - ", "_", " (", "Übung-", " No. ", ").", "ß ");
    const order = fc.shuffledSubarray(["<strip>", "<input>", "<take>", "<any>"], { minLength: 4 });
    const texts = fc.tuple(between, between, between, between, between);
    const values = fc.record({
      path: fc.constantFrom(...paths),
      take: fc.integer({ min: 0, max: 9999 }),
      any: fc.constantFrom("", "Abend", "x"),
      zeros: fc.constantFrom("", "0", "000"),
      spelt: fc.constantFrom("NFC", "NFD"),
      loud: fc.boolean(),
    });
    fc.assert(
      fc.property(order, texts, values, (parts, [first, ...gaps], value) => {
        const { path, take, any, zeros, spelt, loud } = value;
        const pattern = first + parts.map((part, k) => part + gaps[k]).join("");
        const number = (text: string) => text.replace(/^(?=\d)/, zeros);
        const written = pattern
          .replace("<strip>", number(path.strip))
          .replace("<input>", path.input)
          .replace("<take>", number(String(take)))
          .replace("<any>", any)
          .normalize(spelt);
        // A capital ß is two letters, which no file system takes for one.
        const name = loud ? written.replace(/[^ß]/g, (sign) => sign.toUpperCase()) : written;
        const { patterns } = deskWith(JSON.stringify(pattern));
        expect(readFileName(`${name}.wav`, paths, patterns)).toEqual({
          says: "paths",
          paths: [path],
        });
        expect(parseTakeNumber(name, paths, patterns)).toBe(take);
      }),
      { numRuns: 500, seed: 1 },
    );
  });

  it("is matched in bounded time, whatever it holds", async () => {
    const { paths, patterns } = deskWith(`"${"<any>1".repeat(38)}<any><strip>x"`);
    const read = () =>
      expect(readFileName(`${"1 ".repeat(120)}7y`, paths, patterns).says).toBe("nothing");
    // Each way tried in turn, this would outlast the universe.
    expect(await measureProcessorS(read)).toBeLessThan(1);
  });
});
