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
    expect(words(life)).toStrictEqual([
      "2031-03-14 noted n2 mic: fader, scratch: bad",
      "2031-03-14 done 1 × op amp",
      "2031-05-06 done off: cover",
      "2032-01-02 done amplifier; 2 × op amp",
    ]);
    expect(life.parts).toStrictEqual([{ what: "op amp", count: 3 }]);
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
    expect(words(buildStripLife("7", rounds, none, undefined, undefined))).toStrictEqual([
      "2030-01-31 round 2030-01-31-01: 1 of 1 paths measured, nothing stands out",
      "2031-01-31 round 2031-01-31-01: mic service: dried capacitor (hum 12 dB above its siblings)",
      "2032-01-31 round 2032-01-31-01: mic service (hum 12 dB above its siblings)",
      "2033-01-31 round 2033-01-31-01: not measured",
      "2034-01-31 re-test 2034-01-31-01: 1 of 1 paths measured, nothing stands out",
    ]);
    expect(buildStripLife("9", rounds, none, undefined, undefined).events).toStrictEqual([]);
  });

  it("puts what happened on one day in the order round, noted, metered, done, closed", () => {
    const notebook = book(
      { kind: "close", strip: "7", figures: [], text: "done with" },
      { kind: "repair", strip: "7", parts: [], text: "mended" },
      { kind: "fault", strip: "7", text: "bad" },
    );
    const rounds = [facts("2031-03-14", {})];
    const { events } = buildStripLife("7", rounds, notebook, undefined, undefined);
    expect(events.map(({ kind }) => kind)).toStrictEqual(["round", "noted", "done", "closed"]);
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
    expect(
      buildStripLife("7", [], none, trends, undefined).trends.map(formatLifeTrend),
    ).toStrictEqual([
      "7/mic: distortion +1.2 dB a year; at its limit about 2041",
      "7/mic: noise −0.5 dB a year",
    ]);
  });
});

describe("an event of a strip, as data", () => {
  const at = "2031-03-14T12:00:00Z";
  const eventsOf = (...lines: readonly object[]) =>
    buildStripLife("7", [], book(...lines), undefined, undefined).events;
  const own = { strip: "7", text: " as \n noted " };

  it.each([
    [{ kind: "fault", ...own }, "noted", { code: "noted", note: "n1", tags: [], text: "as noted" }],
    [
      { kind: "fault", ...own, input: "mic", symptom: "hum" },
      "noted",
      { code: "noted", note: "n1", input: "mic", tags: ["hum"], text: "as noted" },
    ],
    [
      { kind: "fault", ...own, symptom: "hum", control: "pan" },
      "noted",
      { code: "noted", note: "n1", tags: ["pan", "hum"], text: "as noted" },
    ],
    [
      { kind: "repair", ...own, parts: [{ what: "fuse", count: 2 }] },
      "done",
      { code: "repair", text: "as noted", parts: [{ what: "fuse", count: 2 }] },
    ],
    [
      { kind: "off", ...own, input: "mic", what: "lid" },
      "done",
      { code: "off", input: "mic", what: "lid" },
    ],
    [
      { kind: "check", ...own, round: "r", check: "pad", outcome: "gone", figures: [] },
      "noted",
      { code: "check", note: "n1", check: "pad", outcome: "gone" },
    ],
    [
      {
        kind: "accept",
        ...own,
        round: "r",
        findings: [{ path: "7/mic", reading: "hiss", against: "siblings", deviation: 3 }],
      },
      "noted",
      { code: "left-alone", note: "n1", text: "as noted" },
    ],
  ])("of %j is %s", (line, kind, fact) => {
    expect(eventsOf(line)).toStrictEqual([{ date: "2031-03-14", kind, fact }]);
  });

  it("closes what was noted by its number, and not what was noted under another head", () => {
    const noted = { kind: "fault", ...own };
    const closed = {
      kind: "close",
      closes: "n1",
      figures: ["0.1 dB"],
      text: "new part",
      date: "2031-04-05T00:00:00Z",
    };
    expect(eventsOf(noted, closed).slice(1)).toStrictEqual([
      {
        date: "2031-04-05",
        kind: "closed",
        fact: { code: "closed", note: "n1", text: "new part", figures: ["0.1 dB"] },
      },
    ]);
    // A line that says what it closes closes a finding of a round.
    expect(eventsOf(noted, { ...closed, what: "hiss" })).toHaveLength(1);
    const alone = { kind: "close", strip: "7", what: "hiss", figures: [], text: "gone" };
    expect(eventsOf(alone)).toStrictEqual([
      { date: "2031-03-14", kind: "closed", fact: { code: "closed", text: "gone", figures: [] } },
    ]);
    expect(eventsOf({ ...alone, strip: "8" })).toStrictEqual([]);
  });

  it("of a round counts its paths there, and names the input, cause and finding of each odd one", () => {
    const findings = [{ severity: "service", words: "hum" }] as const;
    const made = facts("2031-01-31", { findings, causes: [{ kind: "fault", name: "dry" }] });
    const two = {
      ...made,
      paths: [
        ...made.paths,
        {
          ...made.paths[0],
          path: "7/line",
          input: "line",
          status: "missing",
          findings: [],
          causes: [],
        },
      ],
    } as RoundFacts;
    expect(buildStripLife("7", [two], none, undefined, undefined).events).toStrictEqual([
      {
        date: "2031-01-31",
        kind: "round",
        fact: {
          code: "round",
          round: "2031-01-31-01",
          measured: 1,
          of: 2,
          odd: [{ input: "mic", standing: "service", cause: "dry", finding: "hum" }],
        },
      },
    ]);
    const wordless = facts("2031-01-31", { findings: [{ severity: "service" }] as never });
    const [{ fact }] = buildStripLife("7", [wordless], none, undefined, undefined).events;
    expect(fact).toMatchObject({ odd: [{ input: "mic", standing: "service", finding: "" }] });
    expect(fact.code === "round" && fact.odd[0]).not.toHaveProperty("cause");
    // A remark is no finding.
    const remark = facts("2031-01-31", { findings: [{ severity: "remark", words: "hum" }] });
    expect(buildStripLife("7", [remark], none, undefined, undefined).events[0].fact).toMatchObject({
      odd: [],
    });
  });

  it("stands by its day, then by what it is, and keeps what is known of its age", () => {
    const ageing = { strip: "7", since: 2011, years: 12, due: 2023 };
    const life = buildStripLife(
      "7",
      [facts("2031-03-14", {}, { partial: { wanted: ["7/mic"] } }), facts("2031-03-15", {})],
      book(
        {
          kind: "repair",
          ...own,
          date: at,
          parts: [
            { what: "fuse", count: 1 },
            { what: "lamp", count: 2 },
          ],
        },
        {
          kind: "meter",
          ...own,
          date: at,
          what: "rail",
          values: [{ at: "plus", value: 1, unit: "V" }],
        },
        { kind: "fault", ...own, date: "2031-03-13T12:00:00Z" },
        { kind: "close", closes: "n1", figures: [], text: "" },
        {
          kind: "repair",
          ...own,
          date: "2031-03-16T12:00:00Z",
          parts: [{ what: "fuse", count: 3 }],
        },
      ),
      undefined,
      ageing,
    );
    expect(life.events.map(({ date, kind }) => `${date.slice(8)} ${kind}`)).toStrictEqual([
      "13 noted",
      "14 meter",
      "14 done",
      "14 re-test",
      "14 closed",
      "15 round",
      "16 done",
    ]);
    expect(life).toMatchObject({ strip: "7", ageing, trends: [] });
    expect(life.parts).toStrictEqual([
      { what: "fuse", count: 4 },
      { what: "lamp", count: 2 },
    ]);
  });
});
