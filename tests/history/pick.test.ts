import { describe, expect, it } from "vitest";
import { pickBaselines, pickRound } from "../../src/history/pick.js";

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
