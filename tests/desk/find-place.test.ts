import { describe, expect, it } from "vitest";
import { findPlaceAtStart, findPlaceInText } from "../../src/desk/find-place.js";
import { formatPlace, isWithinPlace, parsePlace } from "../../src/desk/place.js";
import { parseDesk } from "../../src/desk/read/read-desk.js";

// Names of the trade for the parts of a desk, British and American: common practice, no source.

const head = `name: Desk
mains: 50
strips: [1-12, 3A]
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
`;
const bare = parseDesk(head, "desk.yaml");
const named = parseDesk(
  `${head}places:
  group 1-8: group
  master: master
  control room: monitor
  PSU A: { kind: supply, feeds: [1-6, group 1-4] }
  PSU B: { kind: supply, feeds: "7-12, 3A, master" }
  talkback: other
`,
  "desk.yaml",
);

const start = (text: string, desk = bare) => {
  const found = findPlaceAtStart(text, desk);
  return found && [formatPlace(found.place), text.slice(found.end).trim()];
};

describe("findPlaceAtStart", () => {
  it.each([
    ["6 hums", "6", "hums"],
    ["6/mic hums", "6/mic", "hums"],
    ["ch 6 hums", "6", "hums"],
    ["CH6: hums", "6", ": hums"],
    ["channel 12 dull", "12", "dull"],
    ["#3A dead", "3A", "dead"],
    ["strip 3/line dead", "3/line", "dead"],
    ["grp 3 fader scratchy", "group 3", "fader scratchy"],
    ["sub-group 3 hums", "group 3", "hums"],
    ["the master hums", "master", "hums"],
    ["mix bus distorts", "master", "distorts"],
    ["aux 2 master noisy", "send 2", "noisy"],
    ["fx return 1 dead", "return 1", "dead"],
    ["buss 12 dead", "bus 12", "dead"],
    ["psu fan noisy", "supply", "fan noisy"],
    ["power supply 2 hums", "supply 2", "hums"],
    ["patch bay dirty", "patchbay", "dirty"],
    ["VU bridge flickers", "meters", "flickers"],
    ["moniter dim dead", "monitor", "dim dead"],
    ["automation lost", "automation", "lost"],
    ["whole desk buzzes", "desk", "buzzes"],
  ])("takes %j for %s", (text, place, rest) => {
    expect(start(text)).toEqual([place, rest]);
  });

  it.each([
    "10 dB louder",
    "2 weeks after",
    "48V missing",
    "13 hums",
    "2-bus hum",
    "hum",
    "send it",
  ])("takes no strip from %j", (text) => {
    expect(findPlaceAtStart(text, bare)?.place.strip).toBeUndefined();
  });

  it("goes by the names of the desk file, where it has any of the kind", () => {
    expect(start("grp 3 hums", named)).toEqual(["group 3", "hums"]);
    expect(start("group 9 hums", named)).toBeUndefined();
    expect(start("psu a -17 V low", named)).toEqual(["PSU A", "-17 V low"]);
    expect(start("psu hums", named)).toEqual(["supply", "hums"]);
    expect(start("control room dim dead", named)).toEqual(["control room", "dim dead"]);
    expect(start("phones dead", named)).toEqual(["control room", "dead"]);
    expect(start("aux 2 hums", named)).toEqual(["send 2", "hums"]);
  });
});

describe("findPlaceInText", () => {
  it.each([
    ["the fader on strip 4 is scratchy", "4"],
    ["hum on 7/mic", "7/mic"],
    ["got a shock off the mic on 12", "12"],
    ["fader 3 scratches", "3"],
    ["scratchy fader on the group 3", "group 3"],
    ["smoke from the psu", "supply"],
    ["hum, 6 dB down on ch 5", "5"],
  ])("finds in %j %s", (text, place) => {
    const found = findPlaceInText(text, bare);
    expect(found && formatPlace(found.place)).toBe(place);
  });

  it("finds none where none is named", () => {
    expect(findPlaceInText("6 dB down since 2 weeks", bare)).toBeUndefined();
    expect(findPlaceInText("came to me in a dream", bare)).toBeUndefined();
  });
});

describe("parsePlace", () => {
  it("takes a whole text for a place, or refuses it with what is near", () => {
    expect(parsePlace("group 3", bare)).toEqual({ section: "group 3", sectionKind: "group" });
    expect(parsePlace("psu b", named)).toEqual({ section: "PSU B", sectionKind: "supply" });
    expect(parsePlace("Talkback", named)).toEqual({ section: "talkback", sectionKind: "other" });
    expect(parsePlace("desk", bare)).toEqual({});
    expect(() => parsePlace("13", bare)).toThrow('no strip "13"');
    expect(() => parsePlace("master hums", bare)).toThrow("no strip");
    expect(() => parsePlace("6/mc", bare)).toThrow('no input "mc"');
  });

  it("knows what lies within what", () => {
    expect(isWithinPlace({ strip: "6", input: "mic" }, { strip: "6" })).toBe(true);
    expect(isWithinPlace({ strip: "6" }, { strip: "6", input: "mic" })).toBe(false);
    expect(isWithinPlace({ section: "master" }, {})).toBe(true);
    expect(isWithinPlace({ strip: "6" }, { section: "master" })).toBe(false);
  });
});

describe("places in desk.yaml", () => {
  it("spreads ranges, and says what a supply feeds", () => {
    expect(named.sections.map(({ name }) => name)).toEqual([
      ...Array.from({ length: 8 }, (_, k) => `group ${k + 1}`),
      "master",
      "control room",
      "PSU A",
      "PSU B",
      "talkback",
    ]);
    const feeds = named.sections.find(({ name }) => name === "PSU A")?.feeds;
    expect(feeds).toEqual([
      "1",
      "2",
      "3",
      "4",
      "5",
      "6",
      "group 1",
      "group 2",
      "group 3",
      "group 4",
    ]);
    expect(named.sections.find(({ name }) => name === "PSU B")?.feeds).toContain("3A");
    expect(bare.sections).toEqual([]);
  });

  it.each([
    ["  6: group", "not taken for a strip"],
    ["  group 8-1: group", "holds none"],
    ["  master: mains", "allowed: supply"],
    ["  psu: { kind: supply, feed: 1 }", '"feed" is not a key'],
    ["  psu: { kind: supply, feeds: 1-99 }", 'no strip or place "13"'],
    ["  psu: { kind: supply, feeds: group 1 }", 'no strip or place "group 1"'],
    ["  group 1-3: group\n  Group 2: group", "is the name of a place already"],
    ["  a name that is far too long for a list: other", "longer than 24"],
  ])("refuses %j", (lines, message) => {
    expect(() => parseDesk(`${head}places:\n${lines}\n`, "desk.yaml")).toThrow(message);
  });
});
