import { existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { storeRound } from "../../src/history/store.js";
import { readNotebook } from "../../src/service/notebook/read.js";
import { reading } from "../helpers/families.js";
import { slow } from "../helpers/slow.js";
import { family, round } from "../history/rounds-of.js";
import { answer, joined, newDesk, writeCapture } from "../jobs/recordings.js";
import { newFolder, run } from "./run.js";

/** A desk of four paths with a round on each of the days. */
function aDesk(...days: readonly string[]): string {
  const folder = newFolder();
  writeFileSync(
    join(folder, "desk.yaml"),
    "name: Big desk\nmains: 50\nstrips: 4\ninputs:\n  mic: { nominal: 4 }\n",
  );
  for (const day of days) {
    const paths = family(4, (k) => ({ readings: { noise: reading(-90 + 0.01 * k, "dBFS", 0.1) } }));
    const { id: _, ...rest } = round(day, paths);
    storeRound(folder, rest);
  }
  return folder;
}

describe("deskround withdraw", () => {
  const desk = aDesk("2030-04-02", "2031-04-02", "2032-04-02");
  const said = (...args: readonly string[]) => run(...args, "--desk", desk);

  it("keeps the round, and counts it nowhere until it is brought back", () => {
    const done = said("withdraw", "2031-04-02-01", "strip", "3", "was", "skipped");
    expect(done.code).toBe(0);
    expect(done.err).toContain("Withdrew round 2031-04-02-01: strip 3 was skipped.");
    expect(existsSync(join(desk, "rounds", "2031-04-02-01.json"))).toBe(true);
    expect(said("show", "--list").out).toMatch(/2031-04-02-01 .*withdrawn .*strip 3 was skipped/s);
    expect(said("compare").out).toContain("against 2030-04-02-01");
    expect(said("show", "2031-04-02-01").err).toContain("was withdrawn on");
    expect(said("compare", "--with", "2031-04-02-01")).toMatchObject({ code: 2, out: "" });
    expect(said("check", "--with", "2031-04-02-01").err).toContain("it does not count");

    expect(said("withdraw", "2031-04-02-01", "--undo").err).toContain("counts again");
    expect(said("compare").out).toContain("against 2031-04-02-01");
  });

  it("makes the one before the last of them the last one", () => {
    said("withdraw", "last", "wrong desk");
    expect(said("show").out).toContain("round 2031-04-02-01");
    said("withdraw", "last", "--undo");
    expect(said("show").out).toContain("round 2032-04-02-01");
  });

  it("opens again what only that round proved repaired", () => {
    const folder = aDesk("2030-04-02", "2031-04-02");
    const day = "2031-04-02T12:00:00+00:00";
    const noted = { note: 1, id: "n1", date: day, kind: "fault", strip: "2", text: "hum" };
    const closed = { kind: "close", note: 1, date: day, round: "2031-04-02-01", figures: [] };
    const lines = [
      noted,
      { ...closed, id: "n2", closes: "n1", strip: "2", text: "fixed" },
      { ...closed, id: "n3", strip: "3", what: "dried-coupling-capacitor", text: "fixed" },
      { ...noted, id: "n4", strip: "4" },
      // Whoever closed it by hand saw more than the round.
      { note: 1, date: day, kind: "close", id: "n5", closes: "n4", figures: [], text: "mended" },
    ];
    writeFileSync(
      join(folder, "notebook.jsonl"),
      lines.map((line) => `${JSON.stringify(line)}\n`).join(""),
    );
    const open = () => {
      const { entries, closings } = readNotebook(folder);
      return [entries.flatMap(({ id, closed }) => (closed ? [] : [id])), closings.length];
    };
    expect(open()).toEqual([[], 1]);
    const { err } = run("withdraw", "last", "line", "instead", "of", "mic", "--desk", folder);
    expect(err).toContain("2 faults that it proved repaired are open again");
    expect(open()).toEqual([["n1"], 0]);
    run("withdraw", "last", "--undo", "--desk", folder);
    expect(open()).toEqual([[], 1]);
  });

  it("is refused without a reason, for a round that is not there, and twice", () => {
    expect(said("withdraw", "2031-04-02-01")).toMatchObject({ code: 2, out: "" });
    expect(said("withdraw", "2031-04-02-09", "no").err).toContain("Did you mean 2031-04-02-0");
    expect(said("withdraw", "2030-04-02-01", "--undo").err).toContain("was not withdrawn");
    said("withdraw", "2030-04-02-01", "twice");
    expect(said("withdraw", "2030-04-02-01", "again").err).toContain("was withdrawn already");
  });
});

describe("a round of the same day", () => {
  it("is not a baseline unless it is named", () => {
    const desk = aDesk("2030-04-02", "2031-04-02", "2031-04-02");
    expect(run("compare", "--desk", desk).out).toContain(
      "round 2031-04-02-02 against 2030-04-02-01",
    );
    expect(run("compare", "--with", "2031-04-02-01", "--desk", desk).out).toContain(
      "against 2031-04-02-01",
    );
    const two = aDesk("2031-04-02", "2031-04-02");
    const alone = run("compare", "--desk", two);
    expect(alone.code).toBe(2);
    expect(alone.err).toMatch(
      /No round of an earlier day .*Round 2031-04-02-01 is of the same day/s,
    );
  });
});

describe("a partial round", () => {
  it("is not a baseline of a comparison or a check unless it is named", () => {
    const desk = aDesk("2029-04-02");
    const store = (day: string, partial: boolean) => {
      const paths = family(4, (k) => ({
        readings: { noise: reading(-90 + 0.01 * k, "dBFS", 0.1) },
      })).slice(0, partial ? 2 : 4);
      const { id: _, ...rest } = round(day, paths);
      const wanted = paths.map(({ path }) => path);
      storeRound(desk, partial ? { ...rest, partial: { wanted } } : rest);
    };
    store("2030-04-02", true);
    store("2031-04-02", false);
    const compared = run("compare", "--desk", desk);
    expect(compared.out).toContain("against 2029-04-02-01");
    expect(compared.err + compared.out).toContain("Round 2030-04-02-01 is partial");
    const checked = JSON.parse(run("check", "--with", "last", "--json", "--desk", desk).out);
    expect(JSON.stringify(checked)).toContain("2029-04-02-01");
    expect(run("compare", "--with", "2030-04-02-01", "--desk", desk).out).toContain(
      "against 2030-04-02-01",
    );
  });
});

describe("recordings that were analyzed before", () => {
  it("are told, and the round of the same day is followed or replaced as asked", slow, () => {
    const desk = newDesk(3);
    const rate = 48_000;
    const takes = [1, 2, 3].map((seed) => answer(rate, { seed, gain: 0.9 - seed / 100 }));
    const file = writeCapture(join(desk, "evening.wav"), [joined(...takes)], rate);
    const said = (...args: readonly string[]) => run(...args, "--desk", desk);
    expect(said("analyze", file, "--date", "2031-04-02").code).toBe(0);
    const again = said("analyze", file, "--date", "2031-04-02");
    expect(again.err).toContain("Stored round 2031-04-02-02.");
    expect(again.out.replace(/\s+/g, " ")).toContain(
      `The recordings are the same as in round 2031-04-02-01. If this round is to take its place: deskround withdraw 2031-04-02-01 --desk ${desk}.`,
    );
    expect(said("compare").code).toBe(2);
    const third = said("analyze", file, "--date", "2031-04-02", "--replace", "last");
    expect(third.err).toContain("Stored round 2031-04-02-03.");
    expect(said("show", "--list").out).toMatch(
      /2031-04-02-02 .*replaced by round\s+2031-04-02-03/s,
    );
    expect(existsSync(join(desk, "rounds", "2031-04-02-02.json"))).toBe(true);
  });
});
