import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { formatStarterDesk } from "../../src/desk/starter.js";
import { storeRound } from "../../src/history/store.js";
import { aRound } from "../history/a-round.js";
import { run, runAlone } from "./run.js";

// What the other files ask of a program that stays, each command is asked here in a process of its
// own, as a user starts it.

const desk = mkdtempSync(join(tmpdir(), "processes-"));
writeFileSync(
  join(desk, "desk.yaml"),
  formatStarterDesk({ name: "Desk", strips: "2", inputs: ["mic"], mainsHz: 50 }),
);
storeRound(desk, aRound("2030-01-31"));
storeRound(desk, aRound("2031-02-01"));
const none = join(desk, "none.wav");

describe("a process of its own", () => {
  it.each<[number, string[]]>([
    [0, ["--version"]],
    [0, ["--help"]],
    [2, ["init"]],
    [0, ["signal", "--sheet-only"]],
    [2, ["signal", "--profile", "loud"]],
    [0, ["show"]],
    [0, ["show", "1/mic", "--json"]],
    [0, ["show", "--list"]],
    [0, ["compare"]],
    [0, ["check"]],
    [0, ["report", "--json", "--out", join(desk, "page.html")]],
    [0, ["plan", "--date", "2031-03-14"]],
    [0, ["note", "list"]],
    [2, ["note", "add", "9", "hum"]],
    [2, ["calibrate", none, "--output-volts", "1.2"]],
    [2, ["analyze", none]],
    [2, ["demo", "--seed", "-1"]],
  ])("ends with %i after %j and says what the program says that stays", (code, args) => {
    const own = ["--version", "--help"].includes(args[0]) || args[0] === "demo";
    const whole = own ? args : [...args, "--desk", desk];
    const alone = runAlone(...whole);
    expect(alone.code).toBe(code);
    expect(alone).toEqual(run(...whole));
    // A result or a message, and never a trace of where in the program it occurred.
    expect(alone.out.length + alone.err.length).toBeGreaterThan(0);
    expect(alone.err).not.toMatch(/\bat .*\.js:\d+/);
  });
});
