import { describe, expect, it } from "vitest";
import { parseTakeNumber, readFileName } from "../../../src/capture/assign/file-names.js";
import type { DeskPath } from "../../../src/desk/types.js";
import { desk, numbered } from "../desks.js";

const usual = desk(numbered(24), ["mic", "line"]);

/** The paths a name picks, joined; or what it says instead. */
function picked(name: string, paths: readonly DeskPath[] = usual): string {
  const reading = readFileName(name, paths);
  return reading.says === "paths" ? reading.paths.map(({ path }) => path).join(" ") : reading.says;
}

const all = (input: string) =>
  numbered(24)
    .map((strip) => `${strip}/${input}`)
    .join(" ");

describe("a file's name", () => {
  it.each([
    "07-mic.wav",
    "7_mic.wav",
    "mic07.wav",
    "mic 7.wav",
    "07Mic.WAV",
    "Strip 7 Mic take 2.wav",
    "strip7-mic.wav",
    "ch07_MIC.wav",
    "Channel 7 (mic).wav",
    "track 7 mic t2.wav",
    "captures/2026/07-mic.wav",
    "C:\\takes 3\\07-mic.wav",
    "2026-11-25 07-mic.wav",
    "20261125_143005_7_mic.wav",
    "2026-11-25_14-30 mic 7.wav",
    "25.11.2026 mic 7.wav",
    "26-11-25 mic 7.wav",
    "12 Nov 2026 - mic 7.wav",
    "14-30-05 7 mic.wav",
    "14h30 mic 7.wav",
    "07-mic_001.wav",
    "7 mic (2).wav",
    "7 mic 96k 24bit -18 dBFS 48V.wav",
    "mic 7 44.1 kHz part 3 v2.wav",
    "round 3 mic 7.wav",
    "mic 7 no 20261125.wav",
    "07-mic",
  ])("%s is 7/mic", (name) => {
    expect(picked(name)).toBe("7/mic");
  });

  it("with an input alone is that input of every strip", () => {
    for (const name of ["mic.wav", "all mic 2026-11-25.wav", "mic take 2.wav", "MIC_003.wav"]) {
      expect(picked(name)).toBe(all("mic"));
    }
    expect(picked("mic and line.wav")).toBe(`${all("mic")} ${all("line")}`);
  });

  it("with a marked strip alone is every input of it", () => {
    for (const name of ["strip 7.wav", "Ch7.wav", "CHANNEL_07 take 3.wav", "Track 7.wav"]) {
      expect(picked(name)).toBe("7/mic 7/line");
    }
  });

  it("says nothing when nothing in it is the desk's", () => {
    for (const name of [
      "2026-11-25.wav",
      "20261125.wav",
      "session.wav",
      "take 2.wav",
      "Audio 1-02.wav",
      "online.wav",
      "micro.wav",
      "part 3.wav",
      ".wav",
      "",
    ]) {
      expect(picked(name)).toBe("nothing");
    }
  });

  it("that is a mere number says nothing on a desk of several inputs, and a strip on one of one", () => {
    const single = desk(numbered(24), ["line"]);
    for (const name of ["07.wav", "7.wav", "007.wav", "7 take 2.wav"]) {
      expect(picked(name)).toBe("nothing");
      expect(picked(name, single)).toBe("7/line");
    }
    expect(picked("evening 7.wav", single)).toBe("nothing");
    expect(picked("99.wav", single)).toBe("nothing");
  });

  it("finds strips that are not numbers, and prefers the longest name", () => {
    const paths = desk(["3", "3A", "3B", "A", "fx-1", "001", "T2"], ["mic", "mic2", "tape-ret"]);
    expect(picked("3A-mic.wav", paths)).toBe("3A/mic");
    expect(picked("3-mic.wav", paths)).toBe("3/mic");
    expect(picked("a mic.wav", paths)).toBe("A/mic");
    expect(picked("3a.wav", paths)).toBe("3A/mic 3A/mic2 3A/tape-ret");
    expect(picked("FX1 mic2.wav", paths)).toBe("fx-1/mic2");
    expect(picked("FX 1 mic2.wav", paths)).toBe("fx-1/mic2");
    expect(picked("fx-1_tape ret.wav", paths)).toBe("fx-1/tape-ret");
    expect(picked("mic_001.wav", paths)).toBe("001/mic");
    expect(picked("t2 mic.wav", paths)).toBe("T2/mic");
    expect(picked("mic2 3b.wav", paths)).toBe("3B/mic2");
  });

  it("that fits two strips is unclear", () => {
    for (const name of ["7 mic 2.wav", "mic 1-24.wav", "strip 7 strip 8.wav", "ch 3 mic 04.wav"]) {
      expect(readFileName(name, usual)).toMatchObject({
        says: "unclear",
        why: expect.stringMatching(/^fits strips \d+ and \d+$/),
      });
    }
    expect(picked("mic 7 strip 7.wav")).toBe("7/mic");
  });

  it("that names a strip or path which the desk has not is unclear", () => {
    expect(readFileName("strip 99 mic.wav", usual)).toEqual({
      says: "unclear",
      why: "says strip 99, but this desk has no strip 99",
    });
    const few = usual.filter(({ path }) => path !== "7/mic");
    expect(readFileName("07-mic.wav", few)).toMatchObject({ says: "unclear" });
  });

  it("raises a doubt about a number that may have been meant as a strip", () => {
    const reading = readFileName("mic 99.wav", usual);
    expect(reading).toMatchObject({
      says: "paths",
      doubt: { code: "name-without-strip", words: ["99"] },
    });
    expect(readFileName("Track 37.wav", usual)).toMatchObject({
      says: "nothing",
      doubt: { code: "name-of-unknown-strip", strip: "37" },
    });
  });
});

describe("takeNumber", () => {
  it("is what the name says, and 1 when it says nothing", () => {
    const rows: [string, number][] = [
      ["07-mic.wav", 1],
      ["07-mic take 3.wav", 3],
      ["07-mic_t2.wav", 2],
      ["07-mic tk04.wav", 4],
      ["07-mic (1).wav", 2],
      ["07-mic retake.wav", 2],
      ["07-mic retake 3.wav", 3],
      ["mixtake 5.wav", 1],
    ];
    for (const [name, number] of rows) expect(parseTakeNumber(name)).toBe(number);
  });

  it("doubts a number that stands apart from the input", () => {
    const mixed = desk(numbered(12), ["mic", "line"]);
    const doubtOf = (name: string) => {
      const reading = readFileName(name, mixed);
      return reading.says === "paths" ? reading.doubt : reading.says;
    };
    expect(doubtOf("line evening 2.wav")).toEqual({
      code: "number-as-strip",
      file: "line evening 2.wav",
      strip: "2",
    });
    for (const name of [
      "07-mic.wav",
      "mic 7.wav",
      "ch 7 evening mic.wav",
      "mic_7 2031-03-14.wav",
    ]) {
      expect(doubtOf(name)).toBeUndefined();
    }
  });
});
