import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { storeRound } from "../../src/history/store.js";
import { aDesk } from "../report/html/a-desk.js";
import { newFolder, run } from "./run.js";

let desk: string;

beforeAll(() => {
  desk = newFolder();
  const { id: _, ...earlier } = aDesk(3, undefined, 1);
  const { id: __, ...later } = aDesk(3);
  storeRound(desk, earlier);
  storeRound(desk, later);
});

describe("report", () => {
  it("writes the last round's page into the desk's folder and says so", () => {
    const { code, out, err } = run("report", "--desk", desk);
    const file = join(desk, "reports", "2031-03-14-01.html");
    expect({ code, out }).toEqual({ code: 0, out: "" });
    expect(err).toBe(`Wrote ${file}.\n`);
    expect(readFileSync(file, "utf8")).toMatch(/^<!doctype html>[\s\S]*<\/html>\n$/);
    // Made anew over the old one.
    expect(run("report", "--desk", desk).code).toBe(0);
  });

  it("names round and baseline, and tells as JSON what was written", () => {
    const plots = join(desk, "plots");
    const { code, out } = run(
      ...["report", "2031-03", "--with", "oldest", "--desk", desk, "--plots", plots],
      ...["--out", join(desk, "page.html"), "--json"],
    );
    expect(code).toBe(0);
    const written = JSON.parse(out);
    expect(written).toMatchObject({
      round: "2031-03-14-01",
      baseline: "2030-03-10-01",
      file: join(desk, "page.html"),
    });
    expect(written.plots).toHaveLength(readdirSync(plots).length);
    expect(readFileSync(written.plots[0], "utf8")).toMatch(/^<svg xmlns/);
  });

  it("leaves a file alone that is not a report, and writes nothing then", () => {
    const file = join(desk, "precious.html");
    writeFileSync(file, "name: precious\n");
    const plots = join(desk, "no-plots");
    const { code, err } = run("report", "--desk", desk, "--out", file, "--plots", plots);
    expect(code).toBe(2);
    expect(err).toContain("is not a report written by deskround, so it was left as it is");
    expect(readFileSync(file, "utf8")).toBe("name: precious\n");
    expect(readdirSync(desk)).not.toContain("no-plots");
  });

  it.each([
    [["2029"], "No round of 2029 is stored"],
    [["oldest", "--with", "last"], "No round is stored before 2030-03-10-01"],
    [["oldest", "--with", "2031"], "is later than round"],
    [["last", "--with", "2031-03-14-01"], "cannot be its own baseline"],
  ])("says what is wrong with %j", (args, message) => {
    const { code, out, err } = run("report", ...args, "--desk", desk);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toContain(message);
  });

  it("says where it cannot write", () => {
    const folder = join(desk, "a-folder");
    mkdirSync(folder);
    const { code, err } = run("report", "--desk", desk, "--out", folder);
    expect(code).toBe(2);
    expect(err).toMatch(/^deskround: Cannot write /);
  });
});

describe("show --plot", () => {
  it("draws the response above the path's readings", () => {
    const { code, out } = run("show", "2/mic", "--plot", "--desk", desk);
    expect(code).toBe(0);
    expect(out).toMatch(/\nRESPONSE, dB relative to 1 kHz, over hertz\n[\s\S]*READINGS/);
    for (const line of out.split("\n")) expect([...line].length).toBeLessThanOrEqual(80);
  });

  it("needs a path, and text", () => {
    expect(run("show", "--plot", "--desk", desk).err).toContain("--plot needs a path to draw");
    expect(run("show", "2/mic", "--plot", "--json", "--desk", desk).code).toBe(2);
  });
});
