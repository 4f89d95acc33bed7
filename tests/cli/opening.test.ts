import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { describe, expect, it } from "vitest";
import { slow } from "../helpers/slow.js";
import { newDesk } from "../jobs/recordings.js";
import { run, runAlone, start } from "./run.js";

const opening = (desk: string, ...args: string[]) => run("opening", ...args, "--desk", desk);
const still = (desk: string): { what: string; state: string }[] =>
  JSON.parse(opening(desk, "status", "--json").out).opening?.still ?? [];

describe("opening", () => {
  it("is written down step by step and taken up again", () => {
    const desk = newDesk(4);
    writeFileSync(
      join(desk, "strip-down.yaml"),
      "boards:\n  mic board:\n    strips: 1-3\n    fixings: [2x M3x8]\n    connectors: [CN1 ribbon]\n    steps: [slide it out]\n",
    );
    expect(opening(desk, "status").out).toContain("No opening is in progress");
    expect(opening(desk, "start").code).toBe(0);
    expect(opening(desk, "start").err).toContain("goes on");
    const off = opening(desk, "off", "2", "mic", "board");
    expect(off.out).toMatch(/2: mic board off\n\S+ +2: CN1 ribbon unplugged\n.*slide it out/s);
    opening(desk, "off", "desk", "bottom cover", "--fixings", "6x M4x10");
    opening(desk, "unplugged", "4/mic", "XLR");
    expect(still(desk).map(({ what, state }) => [what, state])).toEqual([
      ["mic board", "off"],
      ["CN1 ribbon", "unplugged"],
      ["bottom cover", "off"],
      ["XLR", "unplugged"],
    ]);
    const early = opening(desk, "end");
    expect(early.code).toBe(1);
    expect(early.out).toContain("4 things to put right");
    opening(desk, "back", "2");
    opening(desk, "back", "desk", "bottom cover");
    expect(opening(desk, "back", "4/mic").out).toMatch(
      /2 × M3x8 of the mic board have not been counted/,
    );
    expect(opening(desk, "counted", "desk", "5x M4x10").out).toContain("1 of 6 × M4x10");
    expect(opening(desk, "end").code).toBe(1);
    expect(opening(desk, "counted", "all").out).toContain("Everything that came off is back");
    const end = opening(desk, "end");
    expect([end.code, end.err]).toEqual([
      0,
      "The opening has ended: everything that came off is back on.\n",
    ]);
    expect(opening(desk, "end").code).toBe(2);
  });

  it("refuses with words what cannot be", () => {
    const desk = newDesk(4);
    writeFileSync(join(desk, "strip-down.yaml"), "boards:\n  mic board:\n    strips: 1-3\n");
    expect(opening(desk, "off", "4", "mic board").err).toMatch(
      /Strip 4 has no mic board.*1, 2, 3/s,
    );
    expect(opening(desk, "off", "2", "mic bord").err).toMatch(
      /no "mic bord".*Did you mean mic board/s,
    );
    expect(opening(desk, "off", "9", "cover").err).toContain('no strip "9"');
    expect(opening(desk, "back", "2").err).toContain("Nothing is noted as taken off");
    expect(opening(desk, "counted", "all").code).toBe(2);
    expect(opening(desk, "off", "2", "mic board").code).toBe(0);
    expect(opening(desk, "off", "2", "Mic Board").err).toContain("noted as off already (n2)");
    expect(opening(desk, "off", "2", "fader", "--fixings", "0x M3").code).toBe(2);
    opening(desk, "off", "2", "fader", "--fixings", "2x M3");
    expect(opening(desk, "counted", "2", "2x M5").err).toMatch(/not one of the fixings.*2x M3/s);
  });

  it("takes off the board of a section, whatever words its name has", () => {
    const desk = newDesk(2);
    writeFileSync(
      join(desk, "strip-down.yaml"),
      "boards:\n  bus board: { sections: [group 1-2, master], connectors: ribbon, fixings: 8x M4 }\n",
    );
    expect(opening(desk, "off", "group", "2", "bus", "board").out).toContain(
      "group 2: bus board off",
    );
    expect(opening(desk, "off", "master", "bus board").out).toContain("master: ribbon unplugged");
    const noted = run("note", "off", "group", "1", "bus", "lead", "--desk", desk);
    expect(noted.out + noted.err).toContain("group 1: off: bus lead");
    expect(opening(desk, "off", "group 3", "bus board").err).toContain("group 3 has no bus board");
    expect(opening(desk, "off", "1", "bus board").err).toMatch(
      /Strip 1 has no bus board.*group 1, group 2, master/s,
    );
    expect(still(desk).map(({ what }) => what)).toEqual([
      "bus board",
      "ribbon",
      "bus board",
      "ribbon",
      "bus lead",
    ]);
  });

  it("is whole after the program is killed, whenever that is", slow, async () => {
    const desk = newDesk(4);
    const from = performance.now();
    runAlone("opening", "off", "1", "first cover", "--desk", desk);
    const took = performance.now() - from;
    const noted: string[] = [];
    for (let k = 0; k < 8; k++) {
      const what = `cover ${k}`;
      const program = start("opening", "off", "1", what, "--json", "--desk", desk);
      let out = "";
      program.stdout?.on("data", (chunk) => {
        out += chunk;
      });
      const ended = new Promise((done) => program.once("close", done));
      await wait(took * (0.6 + 0.12 * k));
      program.kill("SIGKILL");
      await ended;
      if (out.includes('"ids"')) noted.push(what);
    }
    const there = still(desk).map(({ what }) => what);
    // What it has answered is on the disk; what it has not may be.
    expect(there).toEqual(expect.arrayContaining(noted));
    expect(opening(desk, "status").err).toBe("");
    expect(opening(desk, "back", "all").out).toContain("Everything that came off is back");
    expect(opening(desk, "end").code).toBe(0);
  });
});
