import { describe, expect, it } from "vitest";
import { findRoundId, pickBaselines, pickRound } from "../../src/history/pick.js";

const known = ["2029-05-01-01", "2030-03-10-01", "2030-03-10-02", "2030-11-02-01", "2031-03-14-01"];

describe("a round is meant", () => {
  it.each([
    ["2030-03-10-01", "2030-03-10-01"],
    ["last", "2031-03-14-01"],
    ["oldest", "2029-05-01-01"],
    ["2030-03-10", "2030-03-10-02"],
    ["2030-03", "2030-03-10-02"],
    ["2030", "2030-11-02-01"],
  ])("by %s", (text, id) => {
    expect(pickRound(known, text, "desk")).toBe(id);
  });

  it("by nothing that is not there, and the nearest is suggested", () => {
    expect(() => pickRound(known, "2030-03-11", "desk")).toThrow(
      "No round of 2030-03-11 is stored in desk.",
    );
    expect(() => pickRound(known, "lsat", "desk")).toThrow(
      expect.objectContaining({ hint: expect.stringContaining("Did you mean last?") }),
    );
    expect(() => pickRound(known, "everything", "desk")).toThrow(
      expect.objectContaining({ hint: expect.not.stringContaining("Did you mean") }),
    );
    expect(() => pickRound([], "last", "desk")).toThrow("No round is stored in desk.");
  });
});

describe("a round is found", () => {
  it.each([
    ["latest", "2031-03-14-01"],
    [" Last ", "2031-03-14-01"],
    ["first", "2029-05-01-01"],
    ["previous", "2030-11-02-01"],
    ["rounds/2030-11-02-01.json", "2030-11-02-01"],
    ["2030-11-02-01.json", "2030-11-02-01"],
    ["2.11.2030", "2030-11-02-01"],
    ["2032", undefined],
    ["203", undefined],
    ["2030-04", undefined],
    ["something", undefined],
  ])("by %s", (text, id) => {
    expect(findRoundId(known, text)).toBe(id);
  });

  it("before the last only where there are two", () => {
    expect(findRoundId(known.slice(0, 1), "previous")).toBeUndefined();
    expect(findRoundId(known.slice(0, 2), "previous")).toBe("2029-05-01-01");
  });

  it("by no word like it where a date was meant", () => {
    // A slip of one letter of an id is asked about, another year is not.
    const hintOf = (text: string) => {
      try {
        return pickRound(known, text, "desk");
      } catch (error) {
        return (error as { hint: string }).hint;
      }
    };
    expect(hintOf("2031-03-14-0l")).toMatch(/^Did you mean 2031-03-14-01\?/);
    expect(hintOf("2031-03-15")).not.toMatch(/Did you mean/);
  });
});

describe("a baseline", () => {
  it("called last is the round before the one in question, and further ones behind it", () => {
    expect(pickBaselines(known, "last", "2030-11-02-01", "desk")).toEqual([
      "2030-03-10-02",
      "2030-03-10-01",
      "2029-05-01-01",
    ]);
  });

  it("called oldest is the first, and later ones behind it", () => {
    expect(pickBaselines(known, "oldest", "2030-11-02-01", "desk")).toEqual([
      "2029-05-01-01",
      "2030-03-10-01",
      "2030-03-10-02",
    ]);
  });

  it("is of an earlier day, unless it is named", () => {
    expect(pickBaselines(known, "last", "2030-03-10-02", "desk")).toEqual(["2029-05-01-01"]);
    expect(pickBaselines(known, "2030-03-10-01", "2030-03-10-02", "desk")).toEqual([
      "2030-03-10-01",
    ]);
    expect(() => pickBaselines(known.slice(1), "last", "2030-03-10-03", "desk")).toThrow(
      expect.objectContaining({
        hint: "Round 2030-03-10-02 is of the same day: name it if you mean that one.",
      }),
    );
    expect(() => pickBaselines(known.slice(1), "last", "2030-03-10-02", "desk")).toThrow(
      "No round of an earlier day than 2030-03-10-02 is stored in desk.",
    );
  });

  it("is not available for the first round", () => {
    expect(() => pickBaselines(known, "last", "2029-05-01-01", "desk")).toThrow(
      "No round is stored before 2029-05-01-01",
    );
  });

  it("called by a date is that round and no other", () => {
    expect(pickBaselines(known, "2029", "2031-03-14-01", "desk")).toEqual(["2029-05-01-01"]);
  });
});
