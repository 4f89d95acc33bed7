import { describe, expect, it } from "vitest";
import type { Conditions } from "../../../src/history/compare/conditions.js";
import type { Round, RoundFinding, RoundPath, RoundShared } from "../../../src/history/types.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { type GateInput, openGate } from "../../../src/service/retest/gate.js";
import type {
  Outcome,
  RetestItem,
  SharedChange,
  SharedOutcome,
} from "../../../src/service/retest/types.js";
import { path, reading, round } from "../limits/rounds.js";

// Expected: what the gate promises in its own words. It opens only where nothing speaks against it.

const notebook = (...lines: readonly object[]) =>
  parseNotebook(
    Buffer.from(
      lines
        .map((line, k) =>
          JSON.stringify({ note: 1, id: `n${k + 1}`, date: "2031-03-20T12:00:00Z", ...line }),
        )
        .join("\n"),
    ),
    "notebook.jsonl",
  );

const noRefusal = { calibration: "none", refused: () => undefined } as unknown as Conditions;

/** Strips 1 to 3; strip 1 was worked on, and all were to be measured again. */
const names = ["1/mic", "2/mic", "3/mic"];
const figures = { gain: reading(40, "dB"), hiss: reading(-80, "dBFS"), hum: reading(-90, "dBFS") };
const curve = {
  x: [1000],
  y: [0],
  uncertainty: [0.1],
  xUnit: "Hz" as const,
  yUnit: "dB",
};
const aPath = (name: string, more: Partial<RoundPath> = {}): RoundPath =>
  path({ path: name, readings: figures, curves: { response: curve }, ...more });

interface Given extends Partial<Omit<GateInput, "held" | "scope">> {
  readonly paths?: readonly RoundPath[];
  readonly round?: Partial<Round>;
  readonly held?: Partial<GateInput["held"]>;
  readonly notes?: readonly object[];
  readonly sections?: readonly string[];
}

function gate({ paths, held, notes = [], sections = [], round: more, ...rest }: Given = {}) {
  const was = names.map((name) => aPath(name));
  const is = paths ?? was;
  const all = is.flatMap((now) => {
    const then = was.find((one) => one.path === now.path);
    return then === undefined ? [] : [{ was: then, now }];
  });
  return openGate({
    held: {
      base: round(was),
      round: { ...round(is), ...more },
      conditions: noRefusal,
      pairs: { untouched: all.slice(1), all },
      now: new Map(),
      ...held,
    },
    scope: {
      notebook: notebook(...notes),
      chosen: {
        touched: ["1"],
        paths: was,
        sections,
      } as unknown as GateInput["scope"]["chosen"],
    },
    items: [],
    faults: [],
    shared: [],
    sharedFaults: [],
    ...rest,
  });
}

const codes = (given: Given) => gate(given).reasons.map(({ code }) => code);

const item = (outcome: Outcome, more: Partial<RetestItem> = {}): RetestItem => ({
  key: "1:noisy-device",
  strip: "1",
  cause: "noisy-device",
  name: { code: "cause", name: "noisy device" },
  paths: ["1/mic"],
  outcome,
  figures: [],
  closes: [],
  staysOpen: [],
  ...more,
});

const finding = (of: string): RoundFinding => ({ reading: of }) as RoundFinding;
const change = (standing: SharedChange["standing"], of = "hiss") =>
  ({ reading: of, standing }) as SharedChange;
const fault = (more: Partial<RoundShared> = {}): RoundShared =>
  ({
    part: { kind: "group" },
    aspect: "noise",
    paths: ["1/mic", "2/mic"],
    findings: [finding("hiss")],
    severity: "service",
    against: "siblings",
    ...more,
  }) as unknown as RoundShared;
const sharedOutcome = (outcome: Outcome, severity = "service"): SharedOutcome => ({
  fault: fault({ severity } as Partial<RoundShared>),
  outcome,
});

describe("the gate", () => {
  it("opens where nothing speaks against it", () => {
    expect(gate()).toStrictEqual({ verdict: "close", reasons: [] });
  });

  it.each<[string, "do-not-close" | "cannot-tell", Given]>([
    [
      "danger-open",
      "do-not-close",
      { notes: [{ kind: "fault", strip: "2", text: "smells burnt" }] },
    ],
    ["new-fault", "do-not-close", { faults: [{ path: aPath("1/mic"), findings: [] }] }],
    ["neighbour-worse", "do-not-close", { faults: [{ path: aPath("2/mic"), findings: [] }] }],
    ["neighbour-worse", "do-not-close", { items: [item("worse", { strip: "2" })] }],
    ["shared-worse", "do-not-close", { shared: [change("beyond")] }],
    ["shared-unsure", "cannot-tell", { shared: [change("unsure")] }],
    ["sum-worse", "do-not-close", { held: { sums: [{ standing: "beyond", paths: [] }] as never } }],
    ["sum-unsure", "cannot-tell", { held: { sums: [{ standing: "unsure", paths: [] }] as never } }],
    ["shared-fault", "do-not-close", { round: { shared: [fault()] } }],
    ["shared-not-mended", "do-not-close", { sharedFaults: [sharedOutcome("unchanged")] }],
    ["shared-not-mended", "do-not-close", { sharedFaults: [sharedOutcome("better")] }],
    ["shared-not-mended", "do-not-close", { sharedFaults: [sharedOutcome("worse")] }],
    ["shared-unclear", "cannot-tell", { sharedFaults: [sharedOutcome("cannot tell")] }],
    ["shared-unclear", "cannot-tell", { sharedFaults: [sharedOutcome("not shown")] }],
    ["not-mended", "do-not-close", { items: [item("unchanged")] }],
    ["not-mended", "do-not-close", { items: [item("better")] }],
    ["not-mended", "do-not-close", { items: [item("worse")] }],
    ["not-mended", "do-not-close", { items: [item("new fault")] }],
    ["item-unclear", "cannot-tell", { items: [item("cannot tell")] }],
    ["item-unclear", "cannot-tell", { items: [item("not shown")] }],
    ["note-unanswered", "cannot-tell", { items: [item("not shown", { staysOpen: ["n4"] })] }],
    [
      "taken-off",
      "do-not-close",
      { notes: [{ kind: "off", strip: "1", what: "ribbon", text: "ribbon" }] },
    ],
    [
      "section-unanswered",
      "cannot-tell",
      { sections: ["bus"], notes: [{ kind: "fault", section: "bus", text: "it hums" }] },
    ],
    [
      "level-drifted",
      "cannot-tell",
      { round: { reference: { drift: { level: { handled: "doubted", changeDb: 1 } } } as never } },
    ],
    ["not-measured", "cannot-tell", { paths: [aPath("2/mic"), aPath("3/mic")] }],
  ])("is barred by %s: %s", (code, verdict, given) => {
    const { reasons, verdict: found } = gate(given);
    expect(reasons.map((one) => one.code)).toStrictEqual([code]);
    expect(found).toBe(verdict);
  });

  it("is not barred by what is within its bound, mended, or only to be watched", () => {
    const given: Given = {
      shared: [change("within")],
      items: [item("mended"), item("unchanged", { strip: "2" })],
      sharedFaults: [sharedOutcome("mended"), sharedOutcome("unchanged", "watch")],
      held: { sums: [{ standing: "within", paths: [] }] as never },
      round: {
        reference: { drift: { level: { handled: "taken off", changeDb: 1 } } } as never,
        shared: [
          fault({ severity: "watch" } as Partial<RoundShared>),
          fault({ against: "baseline" } as Partial<RoundShared>),
        ],
      },
    };
    expect(gate(given)).toStrictEqual({ verdict: "close", reasons: [] });
  });

  it("names the gravest first, and a stop before any doubt", () => {
    const given: Given = {
      notes: [
        { kind: "off", strip: "1", what: "ribbon", text: "ribbon" },
        { kind: "fault", strip: "2", text: "smells burnt" },
      ],
      items: [item("cannot tell"), item("unchanged"), item("worse", { strip: "3" })],
      shared: [change("unsure"), change("beyond", "hum")],
      faults: [{ path: aPath("1/mic"), findings: [] }],
      paths: [aPath("1/mic"), aPath("2/mic")],
    };
    expect(codes(given)).toStrictEqual([
      "danger-open",
      "neighbour-worse",
      "shared-worse",
      "new-fault",
      "not-mended",
      "taken-off",
      "not-measured",
      "shared-unsure",
      "item-unclear",
    ]);
    expect(gate(given).verdict).toBe("do-not-close");
  });

  it("says a new fault of a shared part once: as the change that shows it, where one does", () => {
    const shared = [fault(), fault({ paths: ["3/mic"], findings: [finding("hum")] as never })];
    expect(codes({ round: { shared }, shared: [change("beyond")] })).toStrictEqual([
      "shared-worse",
      "shared-fault",
    ]);
    // A change that is within its bound tells nobody of the fault.
    expect(codes({ round: { shared: [fault()] }, shared: [change("within")] })).toStrictEqual([
      "shared-fault",
    ]);
    // What the earlier round named as well is judged as that.
    const base = { ...round(names.map((name) => aPath(name))), shared: [fault()] };
    expect(codes({ round: { shared: [fault()] }, held: { base } })).toStrictEqual([]);
  });

  it("says how what is off came off, and which fixings are not back", () => {
    const off = (more: object) => ({ kind: "off", strip: "1", what: "ribbon", text: "", ...more });
    const fixings = [{ what: "M3", count: 4 }];
    const taken = (note: string) => ({ code: "taken-off", note, place: "1", what: "ribbon" });
    const notes = [
      off({}),
      off({ how: "unplugged" }),
      off({ fixings }),
      { kind: "close", closes: "n3", figures: [], text: "" },
    ];
    expect(gate({ notes }).reasons).toStrictEqual([
      taken("n1"),
      { ...taken("n2"), unplugged: true },
      { ...taken("n3"), fixing: { what: "M3", count: 4 } },
    ]);
  });

  it("says a shared fault with the change that shows any of its readings", () => {
    const two = fault({ findings: [finding("gain"), finding("hiss")] as never });
    expect(codes({ round: { shared: [two] }, shared: [change("beyond")] })).toStrictEqual([
      "shared-worse",
    ]);
  });

  it("is in doubt where any doubt of the round is about the order of the paths", () => {
    const doubts = (...all: readonly string[]) => ({
      round: { doubts: all.map((one) => ({ code: one })) as never },
    });
    expect(codes(doubts("loopback-inverted", "files-exchanged"))).toStrictEqual(["order-doubt"]);
    expect(codes(doubts("loopback-inverted"))).toStrictEqual([]);
  });

  it("is not in doubt for a reading of several strips at once that is judged as their sum", () => {
    const without = names.map((name) =>
      aPath(name, { readings: { gain: figures.gain, hum: figures.hum } }),
    );
    const sum = (paths: readonly string[]) =>
      ({ standing: "within", paths, reading: "hiss" }) as never;
    expect(codes({ paths: without, held: { sums: [sum(names)] } })).toStrictEqual([]);
    expect(codes({ paths: without, held: { sums: [sum(names.slice(1))] } })).toStrictEqual([
      "not-comparable",
    ]);
  });

  it("counts a path that gave nothing back as measured, and any other that was not as lacking", () => {
    const silent = aPath("2/mic", { status: "no signal" as never, findings: [finding("return")] });
    const lost = aPath("3/mic", { status: "no signal" as never, findings: [finding("hiss")] });
    expect(gate({ paths: [silent, lost] }).reasons).toStrictEqual([
      { code: "not-measured", strips: "touched", paths: ["1/mic"] },
      { code: "not-measured", strips: "neighbours", paths: ["3/mic"] },
    ]);
  });

  it("cannot tell where no path of a family has a needed reading that it had, or has it in another unit", () => {
    const without = (lacking: string) =>
      names.map((name) =>
        aPath(name, {
          readings: Object.fromEntries(Object.entries(figures).filter(([id]) => id !== lacking)),
        }),
      );
    for (const lacking of ["gain", "hiss", "hum"]) {
      expect(gate({ paths: without(lacking) })).toMatchObject({
        verdict: "cannot-tell",
        reasons: [
          {
            code: "not-comparable",
            reading: lacking,
            families: ["mic"],
            because: { code: "not-read-now" },
          },
        ],
      });
    }
    // One of three is enough.
    expect(gate({ paths: [...without("hum").slice(0, 2), aPath("3/mic")] }).verdict).toBe("close");
    const inDbu = names.map((name) =>
      aPath(name, { readings: { ...figures, hiss: reading(-60, "dBu") } }),
    );
    expect(gate({ paths: inDbu }).reasons).toMatchObject([
      {
        reading: "hiss",
        because: { code: "other-unit", earlier: "dBFS", later: "dBu" },
      },
    ]);
    expect(gate({ paths: names.map((name) => aPath(name, { curves: {} })) }).reasons).toMatchObject(
      [{ code: "not-comparable", reading: "response" }],
    );
    const refused = (id: string) => (id === "hum" ? { code: "other-mains" } : undefined);
    expect(
      gate({ held: { conditions: { calibration: "none", refused } as unknown as Conditions } })
        .reasons,
    ).toMatchObject([{ reading: "hum", because: { code: "other-mains" } }]);
  });
});
