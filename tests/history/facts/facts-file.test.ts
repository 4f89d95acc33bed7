import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import {
  entryStart,
  type FactsText,
  firstPart,
  formatEntry,
  formatFacts,
  parseEntry,
  parseFacts,
  type ReadBytes,
  type WholeEntry,
} from "../../../src/history/facts/facts-file.js";
import type { Round, RoundPath } from "../../../src/history/types.js";
import { aRound } from "../a-round.js";
import { type Given, path } from "../rounds-of.js";

// Expected: what the round itself says.

const finding = (severity: string, words?: string) =>
  ({ severity, ...(words === undefined ? {} : { words }) }) as RoundPath["findings"][number];
const cause = (kind: string, name: string) => ({ kind, name }) as RoundPath["causes"][number];
const reading = (value: number, more: object = {}) => ({
  value,
  unit: "dBFS",
  uncertainty: 0.1,
  ...more,
});

/** A path and what is kept of it. */
const cases: readonly (readonly [string, Given, object])[] = [
  [
    "1/mic",
    {
      readings: { noise: reading(-86), hiss: reading(-90) },
      findings: [finding("remark", "a"), finding("service", "b"), finding("watch", "c")],
      causes: [cause("fault", "noisy device"), cause("fault", "another")],
      oddness: 9,
      rank: 1,
    },
    {
      readings: { noise: { value: -86, unit: "dBFS" }, hiss: { value: -90, unit: "dBFS" } },
      findings: [
        { severity: "service", words: "b" },
        { severity: "watch", words: "c" },
      ],
      causes: [{ kind: "fault", name: "noisy device" }],
      oddness: 9,
    },
  ],
  // Of another unit; a bound; limited by something.
  [
    "2/mic",
    { readings: { noise: reading(-70, { unit: "dBu" }), hiss: reading(-91, { bound: "upper" }) } },
    {
      readings: {
        noise: { value: -70, unit: "dBu" },
        hiss: { value: -91, unit: "dBFS", bound: "upper" },
      },
    },
  ],
  [
    "3/mic",
    {
      status: "missing",
      readings: {
        noise: reading(0),
        hiss: reading(-92, { bound: "lower", limitedBy: "noise" }),
      },
      findings: [finding("remark", "a")],
    },
    {
      status: "missing",
      readings: {
        noise: { value: 0, unit: "dBFS" },
        hiss: { value: -92, unit: "dBFS", bound: "lower", limitedBy: "noise" },
      },
    },
  ],
  [
    "4/mic",
    { readings: { hiss: reading(-93, { limitedBy: "noise" }) }, causes: [cause("setting", "pad")] },
    {
      readings: { hiss: { value: -93, unit: "dBFS", limitedBy: "noise" } },
      causes: [{ kind: "setting", name: "pad" }],
    },
  ],
  ["1/line", { findings: [finding("watch")] }, { findings: [{ severity: "watch", words: "" }] }],
  ["2/line", {}, {}],
];

const roundOf = (more: Partial<Round> = {}): Round => ({
  ...aRound("2030-01-31"),
  id: "2030-01-31-01",
  paths: cases.map(([name, given]) => path(name, given)),
  ...more,
});

/** What facts say of the round, with these readings looked up one by one. */
function read(text: FactsText, ids: readonly string[]) {
  const { paths, ...facts } = parseFacts(text, ids);
  return {
    ...facts,
    paths: paths.map((one) => ({
      ...one,
      readings: Object.fromEntries(
        ids.flatMap((id) => {
          const own = one.readings[id];
          return own === undefined ? [] : [[id, own]];
        }),
      ),
    })),
  };
}

/** All that is kept of the bare round. */
const { id, date, desk, signal } = roundOf();
const bare = {
  id,
  date,
  desk,
  signal,
  calibration: null,
  captures: [{ sha256: "00" }],
  paths: cases.map(([name, , kept]) => {
    const [strip, input] = name.split("/");
    const usual = { status: "measured", oddness: 0, readings: {}, findings: [], causes: [] };
    return { path: name, strip, input, family: input, ...usual, ...kept };
  }),
};

describe("the facts of a round", () => {
  it("are its paths with the readings asked for, and no key that it has not", () => {
    expect(read(formatFacts(roundOf()), ["noise", "hiss", "hum"])).toStrictEqual(bare);
    const onlyHiss = read(formatFacts(roundOf()), ["hiss"]);
    expect(onlyHiss.paths[0].readings).toEqual({ hiss: { value: -90, unit: "dBFS" } });
    expect(read(formatFacts(roundOf({ paths: [] })), ["noise"]).paths).toEqual([]);
  });

  it("are which paths were asked for, what is shared, what is too high, and a calibration", () => {
    const sum = { unit: "dBFS", value: -80, uncertainty: 1, expected: -90 };
    const facts = read(
      formatFacts(
        roundOf({
          calibration: { sha256: "aa" } as never,
          partial: { wanted: ["1/mic"] },
          shared: [{ part: { kind: "ribbon" }, severity: "service", findings: [] }] as never,
          sums: [
            { ...sum, paths: ["1/mic", "2/mic"], reading: "hiss", verdict: "too-high" },
            { ...sum, paths: ["1/mic", "2/mic"], reading: "hum", verdict: "sound" },
          ] as never,
        }),
      ),
      ["noise", "hiss"],
    );
    expect(facts).toStrictEqual({
      ...bare,
      calibration: {},
      partial: { wanted: ["1/mic"] },
      shared: [{ part: { kind: "ribbon" }, severity: "service" }],
      tooHigh: [{ paths: ["1/mic", "2/mic"], reading: "hiss" }],
    });
    const sound = formatFacts(roundOf({ sums: [{ ...sum, verdict: "sound" }] as never }));
    expect(read(sound, [])).not.toHaveProperty("tooHigh");
  });

  it("are without words and readings where only the head was read", () => {
    const { head } = formatFacts(roundOf());
    expect(read({ head }, ["noise"])).toStrictEqual({
      ...bare,
      paths: bare.paths.map((one) => ({
        ...one,
        readings: {},
        findings: one.findings.map(({ severity }: { severity: string }) => ({
          severity,
          words: "",
        })),
        causes: one.causes.map(({ kind }: { kind: string }) => ({ kind, name: "" })),
      })),
    });
  });

  it("have the second sides after the paths, each with its own readings", () => {
    const side = (value: number) => ({
      partner: {
        side: "right" as const,
        channel: 1,
        readings: { noise: reading(value) },
        absent: {},
        curves: {},
      },
    });
    const stereo = roundOf({
      paths: [1, 2].map((k) =>
        path(`${k}/mic`, { readings: { noise: reading(-80 - k) }, ...side(-70 - k) } as Given),
      ),
    });
    const { sides = [], paths } = parseFacts(formatFacts(stereo), ["noise"]);
    const values = (of: typeof paths) => of.map(({ readings }) => readings.noise.value);
    expect(values(paths)).toEqual([-81, -82]);
    expect(values(sides)).toEqual([-71, -72]);
    expect(sides.map((one) => [one.path, one.findings, one.causes])).toEqual([
      ["1/mic, right side", [], []],
      ["2/mic, right side", [], []],
    ]);
  });
});

describe("an entry of the index", () => {
  const source = {
    size: 7,
    mtimeNs: "1",
    ctimeNs: "2",
    inode: "3",
    seenNs: "4",
    sha256: "aa",
  };
  const entry = (head: string, rest: string): WholeEntry => ({
    source,
    facts: { head: Buffer.from(head), rest: Buffer.from(rest) },
  });
  const bytes = formatEntry(entry("{}", "\nrest"));
  /** A file; what was asked of it. */
  function file(of: Buffer): { readonly read: ReadBytes; readonly asked: number[] } {
    const asked: number[] = [];
    const read: ReadBytes = (from, length) => {
      asked.push(length);
      return of.subarray(from, from + length);
    };
    return { read, asked };
  }
  const parse = (of: Buffer, which: "head" | "all" = "all") => parseEntry(file(of).read, which);
  const changed = (from: string, to: string) => {
    const text = bytes.toString("latin1");
    expect(text).toContain(from);
    return Buffer.from(text.replace(from, to), "latin1");
  };

  it("comes back as it was, whole or its head alone", () => {
    expect(parse(bytes)).toEqual(entry("{}", "\nrest"));
    expect(parse(bytes, "head")).toEqual({ source, facts: { head: Buffer.from("{}") } });
    expect(parse(formatEntry(entry("{}", "")))).toEqual(entry("{}", ""));
    expect(bytes.toString().startsWith(entryStart)).toBe(true);
  });

  it("is read at once where it fits into the first bytes, and further where it does not", () => {
    const short = file(bytes);
    parseEntry(short.read, "all");
    expect(short.asked).toEqual([firstPart]);
    const [head, rest] = ["h".repeat(firstPart), "r".repeat(100)];
    const long = file(formatEntry(entry(head, rest)));
    expect(parseEntry(long.read, "all")).toEqual(entry(head, rest));
    expect(long.asked).toEqual([firstPart, head.length, rest.length]);
  });

  it("is another program's where its version is, and spoilt where it is none", () => {
    expect(parse(changed('"version":', '"version":9'))).toBe("other");
    for (const text of ["", "\n", "hello\n", "hello", `${entryStart.slice(0, -2)}\n`]) {
      expect(parse(Buffer.from(text)), text).toBe("spoilt");
    }
  });

  it.each([
    ["its source", '"size":7', '"size":8'],
    ["its head", "{}\nrest", "[]\nrest"],
    ["a length", '"headBytes":2', '"headBytes":1'],
    ["a length that is none", '"headBytes":2', '"headBytes":"2"'],
    ["the line of lengths", '"headBytes":2', '"headBytes"2'],
  ])("is spoilt where %s was changed", (_, from, to) => {
    expect(parse(changed(from, to), "head")).toBe("spoilt");
  });

  it("is spoilt by its readings only where they are read", () => {
    const spoilt = changed("\nrest", "\ntest");
    expect(parse(spoilt)).toBe("spoilt");
    expect(parse(bytes.subarray(0, -1))).toBe("spoilt");
    expect(parse(spoilt, "head")).not.toBe("spoilt");
  });

  it.each(["1e300", "0.5", "70000.5"])("asks for no part of %s bytes", (length) => {
    for (const one of ["frontBytes", "headBytes", "restBytes"]) {
      const text = bytes.toString().replace(new RegExp(`"${one}":\\d+`), `"${one}":${length}`);
      const odd = file(Buffer.from(text));
      expect(parseEntry(odd.read, "all")).toBe("spoilt");
      expect(odd.asked).toEqual([firstPart]);
    }
  });

  it("says with which checksums it was written", () => {
    const sum = (...parts: readonly string[]) =>
      createHash("sha256").update(parts.join("")).digest("hex");
    const [first, front] = bytes.toString().split("\n");
    const { front: ofFront, rest: ofRest, ...sums } = JSON.parse(first);
    expect(ofFront).toBe(sum(`${front}\n`, "{}"));
    expect(ofRest).toBe(sum("\nrest"));
    expect(sums).toMatchObject({ frontBytes: front.length + 1, headBytes: 2, restBytes: 5 });
  });
});
