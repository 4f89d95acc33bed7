import { describe, expect, it } from "vitest";
import { expandStrips, parseCountOrStrips } from "../../src/desk/strips.js";

describe("strips", () => {
  it("a bare number is how many there are", () => {
    expect(parseCountOrStrips("4")).toEqual({ names: ["1", "2", "3", "4"], faults: [] });
  });

  it("ranges may carry letters before both numbers", () => {
    expect(expandStrips(["9-11", "A1-A2", "B1 - B2"]).names).toEqual(
      ["9", "10", "11", "A1", "A2", "B1", "B2"], // prettier to read on one line
    );
    expect(expandStrips(["1..3", "4–5", "A1…A2"]).names).toEqual([
      "1",
      "2",
      "3",
      "4",
      "5",
      "A1",
      "A2",
    ]);
  });

  it("names with a sign in them are names, not ranges", () => {
    expect(expandStrips(["FX-1", "ST-L", "1A-1B"]).names).toEqual(["FX-1", "ST-L", "1A-1B"]);
  });

  it.each([
    ["0", "a desk has at least 1 strip"],
    ["12-1", "range 12-1 holds no strip"],
    ["100000", "100000 strips are more than the 512 allowed"],
    ["1,2,2", "strip 2 is there twice"],
    ["3A,3a", "strips 3A and 3a differ only in capitals"],
    ["07,7", "strips 07 and 7 differ only in leading zeros"],
    ["A1,A01", "strips A1 and A01 differ only in leading zeros"],
    ["1.....12", '"1.....12" is not a strip; a range is written 1-12'],
    ["1e9", '"1e9" is not a strip'],
    ["1-4-5", '"1-4-5" is not a strip'],
    ["1--4", '"1--4" is not a strip'],
    ["12-", '"12-" is not a strip'],
    ["1/2", 'strip "1/2": not a usable name'],
    ["1 2", 'strip "1 2": not a usable name'],
    ["\u001b[31m", "not a usable name"],
    ["\u202eabc", "not a usable name"],
    ["1,,2", 'strip "": the name is empty'],
    ["abcdefghijklmnopq", "the name is longer than 16 characters"],
  ])("%j is refused: %s", (text, fault) => {
    expect(parseCountOrStrips(text).faults[0]?.fault).toContain(fault);
  });
});
