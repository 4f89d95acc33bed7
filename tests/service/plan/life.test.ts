import { describe, expect, it } from "vitest";
import type { RoundFacts } from "../../../src/history/facts/types.js";
import type { Trends } from "../../../src/history/trend/types.js";
import { formatLifeFact, formatLifeTrend } from "../../../src/report/life.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { buildStripLife } from "../../../src/service/plan/life.js";

// Expected: what the lines and rounds below say, in their order.

const book = (...lines: readonly object[]) =>
  parseNotebook(
    Buffer.from(
      lines
        .map((line, k) =>
          JSON.stringify({ note: 1, id: `n${k + 1}`, date: "2031-03-14T12:00:00Z", ...line }),
        )
        .join("\n"),
    ),
    "notebook.jsonl",
  );
const none = book();

const facts = (
  day: string,
  path: Partial<RoundFacts["paths"][number]>,
  more: Partial<RoundFacts> = {},
): RoundFacts => ({
  id: `${day}-01`,
  date: `${day}T10:00:00Z`,
  desk: { name: "Big desk", mainsHz: 50 },
  signal: {} as never,
  calibration: null,
  captures: [],
  paths: [
    {
      path: "7/mic",
      strip: "7",
      input: "mic",
      family: "mic",
      status: "measured",
      oddness: 0,
      readings: {},
      findings: [],
      causes: [],
      ...path,
    },
    {
      path: "8/mic",
      strip: "8",
      input: "mic",
      family: "mic",
      status: "measured",
      oddness: 0,
      readings: {},
      findings: [{ severity: "service", words: "hum" }],
      causes: [],
    },
  ],
  ...more,
});

const words = (life: ReturnType<typeof buildStripLife>) =>
  life.events.map(({ date, kind, fact }) => `${date} ${kind} ${formatLifeFact(fact)}`);

describe("the life of a strip", () => {
  it("reports its own lines and no others, by day", () => {
    const notebook = book(
      { kind: "fault", strip: "8", text: "not this one" },
      {
        kind: "fault",
        strip: "7",
        input: "mic",
        control: "fader",
        symptom: "scratch",
        text: "bad",
      },
      {
        kind: "repair",
        date: "2032-01-02T12:00:00Z",
        strip: "7",
        parts: [{ what: "op amp", count: 2 }],
        text: "amplifier",
      },
      { kind: "repair", strip: "7", parts: [{ what: "op amp", count: 1 }], text: "" },
      { kind: "off", date: "2031-05-06T12:00:00Z", strip: "7", what: "cover", text: "" },
      { kind: "repair", strip: "8", parts: [{ what: "lamp", count: 1 }], text: "" },
    );
    const life = buildStripLife("7", [], notebook, undefined, undefined);
    expect(words(life)).toEqual([
      "2031-03-14 noted n2 mic: fader, scratch: bad",
      "2031-03-14 done 1 × op amp",
      "2031-05-06 done off: cover",
      "2032-01-02 done amplifier; 2 × op amp",
    ]);
    expect(life.parts).toEqual([{ what: "op amp", count: 3 }]);
    expect(life).not.toHaveProperty("ageing");
  });

  it("tells a reading of the meter as one, and what it is closed with", () => {
    const notebook = book(
      {
        kind: "meter",
        strip: "7",
        what: "rail",
        values: [{ at: "plus", value: 12, unit: "V", nominal: 15 }],
        text: "",
      },
      { kind: "close", strip: "7", closes: "n1", figures: ["15 V"], text: "fuse" },
      { kind: "close", strip: "8", figures: [], text: "another's" },
      { kind: "close", strip: "7", figures: [], text: "found by a round" },
    );
    const told = words(buildStripLife("7", [], notebook, undefined, undefined));
    expect(told[0]).toMatch(/^2031-03-14 meter n1 rail: .*12 V/);
    expect(told).toContain("2031-03-14 closed n1 fuse (15 V)");
    expect(told).toContain("2031-03-14 closed found by a round");
    expect(told.join()).not.toMatch(/another/);
  });

  it("tells what each round found on it, with the cause where there is one", () => {
    const findings = [{ severity: "service", words: "hum 12 dB above its siblings" }] as const;
    const cause = [{ kind: "fault", name: "dried capacitor" }] as const;
    const rounds = [
      facts("2030-01-31", {}),
      facts("2031-01-31", { findings, causes: cause }),
      facts("2032-01-31", { findings }),
      facts("2033-01-31", { status: "missing" }),
      facts("2034-01-31", {}, { partial: { wanted: ["7/mic"] } }),
    ];
    expect(words(buildStripLife("7", rounds, none, undefined, undefined))).toEqual([
      "2030-01-31 round 2030-01-31-01: 1 of 1 paths measured, nothing stands out",
      "2031-01-31 round 2031-01-31-01: mic service: dried capacitor (hum 12 dB above its siblings)",
      "2032-01-31 round 2032-01-31-01: mic service (hum 12 dB above its siblings)",
      "2033-01-31 round 2033-01-31-01: not measured",
      "2034-01-31 re-test 2034-01-31-01: 1 of 1 paths measured, nothing stands out",
    ]);
    expect(buildStripLife("9", rounds, none, undefined, undefined).events).toEqual([]);
  });

  it("puts what happened on one day in the order round, noted, metered, done, closed", () => {
    const notebook = book(
      { kind: "close", strip: "7", figures: [], text: "done with" },
      { kind: "repair", strip: "7", parts: [], text: "mended" },
      { kind: "fault", strip: "7", text: "bad" },
    );
    const rounds = [facts("2031-03-14", {})];
    const { events } = buildStripLife("7", rounds, notebook, undefined, undefined);
    expect(events.map(({ kind }) => kind)).toEqual(["round", "noted", "done", "closed"]);
  });

  it("tells the trends of its own paths that are certain and for the worse", () => {
    const trend = {
      path: "7/mic",
      strip: "7",
      reading: "thd",
      perYear: 1.234,
      unit: "dB",
      significant: true,
      course: "worse",
    };
    const trends = {
      paths: [
        { ...trend, crossing: { date: "2041-05-06" } },
        { ...trend, reading: "noise", perYear: -0.5 },
        { ...trend, strip: "8" },
        { ...trend, significant: false },
        { ...trend, course: "better" },
      ],
    } as unknown as Trends;
    expect(buildStripLife("7", [], none, trends, undefined).trends.map(formatLifeTrend)).toEqual([
      "7/mic: distortion +1.2 dB a year; at its limit about 2041",
      "7/mic: noise −0.5 dB a year",
    ]);
  });
});
