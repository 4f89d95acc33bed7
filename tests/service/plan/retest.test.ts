import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read.js";
import type { Round, RoundPath } from "../../../src/history/types.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { judgeRetest } from "../../../src/service/plan/retest.js";
import { listRetestPaths } from "../../../src/service/plan/retest-paths.js";
import { path, reading, round } from "../limits/rounds.js";

const notes = (...lines: readonly object[]) =>
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

/** Hiss of eight healthy strips: scattered by a few tenths of a decibel. */
const hiss = [-80.1, -79.9, -80.2, -79.8, -80, -80.1, -79.9, -80];

function strip(k: number, value: number, parts: Partial<RoundPath> = {}): RoundPath {
  const name = `${k + 1}/mic`;
  return path({ path: name, readings: { hiss: reading(value, "dBFS", 0.1) }, ...parts });
}

/** The round that found strip 7 noisy: 13 dB above its siblings. */
const base: Round = round(
  hiss.map((value, k) =>
    k === 6
      ? strip(k, -67, {
          oddness: 20,
          findings: [
            {
              reading: "hiss",
              against: "siblings",
              value: -67,
              expected: -80,
              deviation: 13,
              unit: "dBFS",
              score: 20,
              severity: "service",
              words: "hiss 13 dB above its siblings",
            },
          ],
          causes: [
            {
              cause: "noisy-device",
              name: "noisy input device or op amp",
              kind: "fault",
              probability: 0.9,
              evidence: [],
              confirmBy: "swap it",
            },
          ],
        })
      : strip(k, value),
  ),
);

/** Strips 3 to 8 again, all lower by what the interface was turned down. */
function again(values: readonly number[], lower = 0.8): Round {
  const paths = values.map((value, k) => strip(k + 2, value - lower));
  return {
    ...round(paths, "2031-06-01-01"),
    date: "2031-06-01T12:00:00.000Z",
    partial: { wanted: paths.map((one) => one.path) },
  };
}

const outcomes = (later: Round, notebook = notes()) =>
  judgeRetest(base, later, notebook).items.map(({ key, outcome }) => [key, outcome]);
const hissy = { kind: "fault", strip: "7", text: "hissy" };

describe("judgeRetest", () => {
  it("calls mended what is one of the crowd again, whatever the interface did", () => {
    const found = judgeRetest(base, again([-80.2, -79.8, -80, -80.1, -80, -80]), notes(hissy));
    expect(found.items).toMatchObject([
      { key: "7 noisy-device", outcome: "mended", closes: ["n1"], staysOpen: [] },
    ]);
    expect(found.notes.join()).toMatch(/taken out: hiss −0\.8 dB/);
  });

  it("calls unchanged what did not move, better and worse what did", () => {
    expect(outcomes(again([-80.2, -79.8, -80, -80.1, -67, -80]))).toEqual([
      ["7 noisy-device", "unchanged"],
    ]);
    expect(outcomes(again([-80.2, -79.8, -80, -80.1, -72, -80]))).toEqual([
      ["7 noisy-device", "better"],
    ]);
    expect(outcomes(again([-80.2, -79.8, -80, -80.1, -60, -80]))).toEqual([
      ["7 noisy-device", "worse"],
    ]);
  });

  it("tells a new fault on a neighbour, and closes nothing for it", () => {
    expect(outcomes(again([-80.2, -79.8, -80, -80.1, -80, -68]))).toEqual([
      ["8 new-mic", "new fault"],
      ["7 noisy-device", "mended"],
    ]);
  });

  it("leaves open what comes and goes, and what nothing shows", () => {
    const comesAndGoes = { kind: "fault", strip: "7", text: "hiss comes and goes" };
    const found = judgeRetest(
      base,
      again([-80.2, -79.8, -80, -80.1, -80, -80]),
      notes(comesAndGoes, { kind: "fault", strip: "5", text: "lamp is odd" }),
    );
    expect(found.items.flatMap(({ closes }) => closes)).toEqual([]);
    expect(found.items.find(({ strip: name }) => name === "5")?.outcome).toBe("not shown");
  });

  it("takes a meter reading that is in order again for proof", () => {
    const phantom = (pin2: number) => ({
      kind: "meter",
      strip: "6",
      what: "phantom",
      values: [
        { at: "pin 2", value: pin2, unit: "V", nominal: 48 },
        { at: "pin 3", value: 47.8, unit: "V", nominal: 48 },
      ],
      text: "",
    });
    const later = again([-80.2, -79.8, -80, -80.1, -80, -80]);
    const of = (...lines: readonly object[]) =>
      judgeRetest(base, later, notes(...lines)).items.find(({ strip: name }) => name === "6");
    expect(of(phantom(31.2))).toMatchObject({ outcome: "not shown", closes: [] });
    expect(of(phantom(31.2), phantom(47.7))).toMatchObject({
      outcome: "mended",
      closes: ["n1", "n2"],
    });
    expect(of(phantom(31.2), phantom(40))).toMatchObject({ outcome: "better", closes: [] });
    expect(of(phantom(31.2), phantom(20))).toMatchObject({ outcome: "worse", closes: [] });
  });
});

describe("retestPaths", () => {
  const desk = parseDesk(
    "name: x\nmains: 50\nstrips: 8\ninputs: { mic: { nominal: -40 } }\nconstruction:\n  parts:\n    card: { strips: [2, 6], minutes: 5, kind: card }\n",
    "desk.yaml",
  );
  const done = (strip: string) => ({ kind: "repair", strip, text: "x", parts: [] });

  it("takes the strips worked on since the round, their neighbours and those on their card", () => {
    const found = listRetestPaths(desk, notes(done("2")), "2031-03-14", ["8"]);
    expect(found).toMatchObject({ touched: ["2"], neighbours: ["1", "3", "6"] });
    expect(found.paths.map((one) => one.path)).toEqual(["1/mic", "2/mic", "3/mic", "6/mic"]);
  });

  it("takes what the plan pulls where nothing was noted, and three untouched at least", () => {
    const found = listRetestPaths(desk, notes(done("2")), "2031-04-01", ["8"]);
    expect(found).toMatchObject({ touched: ["8"], neighbours: ["5", "6", "7"] });
  });
});
