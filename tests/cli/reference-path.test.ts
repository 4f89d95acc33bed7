import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { createRecordedDesk } from "../helpers/recorded-desk.js";
import { slow } from "../helpers/slow.js";
import { run } from "./run.js";

const desk = createRecordedDesk(518, 4, "reference-path: { into: insert, plug: patchbay 40 }\n");
afterAll(() => rmSync(desk.folder, { recursive: true, force: true }));
const said = (...args: readonly string[]) => run(...args, "--desk", desk.folder);

/** One recording in the run sheet's order, of an occasion and with what is wrong then. */
function record(name: string, ...[options]: Parameters<typeof desk.play>): string {
  const [first, last] = desk.playPast("insert-return", options);
  return desk.write(name, [first, ...desk.play(options), last]);
}

describe("a desk with a reference path", () => {
  it("has it first and last on the run sheet, with what to plug", () => {
    const { out } = said("signal", "--sheet-only");
    const patches = out.split("\n").filter((line) => line.startsWith("[ ]"));
    expect(patches).toHaveLength(10);
    for (const end of [patches[0], patches[9]]) expect(end).toContain("reference");
    expect(out).toContain("plug    patchbay 40: the reference path, before all others");
    expect(out).toContain("8, 12.0 s of signal each, and the reference path first and last");
  });

  it("says on which side of it a shared fault lies, and in which rounds it changed", slow, () => {
    const first = said("analyze", record("first"), "--date", "2030-04-02");
    expect(first.code).toBe(0);
    expect(first.err).toMatch(
      /reference first and last, between them 8\s+returns, 1\/mic to 4\/line/,
    );
    expect(first.out).toContain("mix insert return): the same first and last.");

    const noise = {
      occasion: 1,
      sharedFaults: [{ fault: "bus-noise", severity: 0.37 }],
    } as const;
    const second = said("analyze", record("second", noise), "--date", "2031-04-02");
    expect(second.out).toMatch(
      /mix bus, or all strips alike.*reference path does\s+not\s+show it/s,
    );
    const { shifts } = JSON.parse(said("compare", "--json").out);
    expect(shifts.map((one: { reference?: string }) => one.reference)).toContain("clean");
    expect(said("check").out).toContain("Reference path (reference, mix insert return)");
    expect(said("show", "reference").out).toContain("round 2031-04-02-01: reference path");
    expect(JSON.parse(said("show", "reference", "2030-04-02-01", "--json").out)).toMatchObject({
      name: "reference",
      into: "insert",
      turns: [{ turn: "first" }, { turn: "last" }],
    });
    const stored = JSON.parse(
      readFileSync(join(desk.folder, "rounds", "2031-04-02-01.json"), "utf8"),
    );
    expect(stored.shared[0]).toMatchObject({ part: { kind: "bus" }, reference: "clean" });
  });

  it("subtracts a level that was touched, in the check too", { ...slow, timeout: 120_000 }, () => {
    const touched = {
      occasion: 2,
      sharedFaults: [{ fault: "level-touched", severity: 0.41, fromTurn: 6 }],
    } as const;
    const { out } = said("analyze", record("touched", touched), "--date", "2032-04-02");
    // 1.5 dB · 8^0.41 = 3.52 dB.
    expect(out).toMatch(/level −3\.5\d dB from\s+first\s+to\s+last,\s+in one step before/);
    expect(out).toContain("level changed during the round");
    expect(said("check", "--with", "2030-04-02-01").out).not.toMatch(/level-kept.*fail/);
  });

  it("is reported in one line where it was not recorded, with what to do", () => {
    const file = desk.write("without", desk.play({ occasion: 3 }));
    const { code, out } = said("analyze", file, "--preview", "--date", "2033-04-02");
    expect(code).toBe(0);
    expect(out.replace(/\s+/g, " ")).toContain(
      "The reference path (reference) was not recorded: faults of bus, interface and strips are harder to tell apart, and what drifted is not known. Play it first and last, or take `reference-path` out of desk.yaml.",
    );
  }, 120_000);

  it("lets no skipped path pass, though the reference path makes the number right", slow, () => {
    const [first, last] = desk.playPast("insert-return", { occasion: 4 });
    const paths = desk.play({ occasion: 4 }).filter((_, k) => k !== 6);
    const file = desk.write("skipped", [first, ...paths, last]);
    const { code, out } = said("analyze", file, "--preview", "--date", "2034-04-02");
    expect(code).toBe(3);
    expect(out).toMatch(/^Which path each return belongs to is in doubt/m);
  });
});
