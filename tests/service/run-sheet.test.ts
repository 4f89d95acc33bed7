import { describe, expect, it } from "vitest";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import { formatStarterDesk } from "../../src/desk/starter.js";
import { buildRunSheet } from "../../src/service/run-sheet.js";
import { buildMoves } from "../../src/signal/moves.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";

const text = formatStarterDesk({
  name: "Big desk",
  strips: "24",
  inputs: ["mic", "line", "tape"],
  mainsHz: 50,
});
const desk = parseDesk(text, "desk.yaml");
const table = buildSignalTable("standard", "base");
const options = { sampleRate: 48000, file: "signal.wav" };
const sheet = buildRunSheet(desk, table, options);

describe("the run sheet", () => {
  it("lists every path once, in the order of the desk", () => {
    expect(sheet.patches.map(({ path }) => path)).toEqual(desk.paths.map(({ path }) => path));
    expect(sheet.patches.map(({ number }) => number)).toEqual(desk.paths.map((_, i) => i + 1));
  });

  it("gives the level at the socket in dBu and as a voltmeter shows it", () => {
    const [mic, line] = sheet.inputs;
    // +4 dBu is 1.228 V (trade use, and the voltage of 1 mW in 600 Ω raised by 4 dB).
    expect(line?.nominalVolts).toBeCloseTo(1.228, 3);
    expect(line?.nominalVolts).toBeCloseTo(Math.sqrt(0.001 * 600) * 10 ** 0.2, 12);
    // −40 dBu = √0.6 / 100 V.
    expect(mic?.nominalVolts).toBeCloseTo(0.007746, 6);
  });

  it("asks for a pad into inputs far below line level, and for none into line inputs", () => {
    expect(sheet.inputs.map(({ padDb }) => padDb)).toEqual([44, undefined, undefined]);
  });

  it("counts what hands do, and takes signal and hands as the time needed", () => {
    // Counted by hand: the mics first, then line and tape of each strip, 24 + 48 plugs. The pad goes
    // in before the first and out after the last mic. One mute is opened at first, and two are pressed at each of the 47
    // borders between strips. Six controls of every strip are looked at; then the gain is set for
    // line, and tape wants it as line does.
    expect(sheet.work).toEqual({ plugs: 72, pads: 2, mutes: 1 + 2 * 47, controls: 24 * (6 + 1) });
    const hands = 72 * (8 + 4) + 2 * 10 + 95 * 2 + 168 * 2;
    expect(sheet.totalS).toBeCloseTo(72 * table.lengthS + hands, 6);
  });

  it("tells every control of a patch, and which of them to touch", () => {
    const first = sheet.patches.find(({ path }) => path === "3/mic");
    expect(first?.settings).toHaveLength(6);
    expect(first?.settings.every(({ move }) => move === "set")).toBe(true);
    const second = sheet.patches.find(({ path }) => path === "3/line");
    expect(second?.settings.filter(({ move }) => move === "set")).toEqual([
      { control: "gain", to: "0 dB", move: "set" },
    ]);
  });

  it("names the map that its recordings want where they want one", () => {
    expect(sheet).not.toHaveProperty("map");
    expect(buildRunSheet(desk, table, { ...options, map: "7/mic,8/mic" }).map).toBe("7/mic,8/mic");
  });

  it("is made for chosen paths alone, in the order of the whole", () => {
    const paths = desk.paths.filter(({ path }) => ["7/tape", "7/mic", "12/line"].includes(path));
    const some = buildRunSheet(desk, table, { ...options, paths });
    expect(some.patches.map(({ path }) => path)).toEqual(["7/mic", "7/tape", "12/line"]);
    expect(some.partial).toEqual({ paths: 3, of: 72 });
    expect(some.inputs.map(({ name }) => name)).toEqual(["mic", "line", "tape"]);
  });

  it("warns of a desk that lies open where it does", () => {
    const open = buildRunSheet(desk, table, { ...options, open: true }).cautions.join(" ");
    expect(open).toMatch(/^The desk is open and live: keep all covers/);
    expect(open).toMatch(/pull the mains plug .* licensed people, under local codes/);
    expect(open).toContain("Mute the monitors");
    expect(open).not.toContain("Nothing here needs the desk opened");
    expect(sheet.cautions.join(" ")).toContain("Nothing here needs the desk opened");
  });

  it("puts ears, phantom power and the supply first", () => {
    expect(sheet.cautions[0]).toMatch(/Mute the monitors and turn headphones down/);
    expect(sheet.cautions[1]).toMatch(/Switch phantom power off .* wait/);
    expect(sheet.cautions[2]).toMatch(/licensed/);
  });

  it("leaves room for the loudest step of its own signal", () => {
    const room = (profile: Parameters<typeof buildSignalTable>[0]) =>
      buildRunSheet(desk, buildSignalTable(profile, "base"), options).steps.join(" ");
    expect(room("standard")).toContain("loudest step is 17 dB above: leave 18 dB of headroom");
    expect(room("quick")).toContain("loudest step is 12 dB above: leave 13 dB of headroom");
    expect(room("controls")).not.toContain("loudest step");
  });

  it("sends to a tone of minutes where its own is too short for a meter", () => {
    const controls = buildRunSheet(desk, buildSignalTable("controls", "base"), options).steps.join(
      " ",
    );
    for (const steps of [sheet.steps.join(" "), controls]) {
      expect(steps).toContain(
        "`deskround signal --tone 1000` writes five minutes of the same tone",
      );
    }
    expect(controls).toContain("knobs and faders from end to end and back");
  });

  it("tells when to move which control in a controls pass, and never to touch phantom power", () => {
    const table = buildSignalTable("controls", "base", buildMoves(desk.controls));
    const pass = buildRunSheet(desk, table, options);
    expect(pass.moves.map(({ control }) => control)).toEqual(
      desk.controls.map(({ name }) => name).filter((name) => name !== "phantom"),
    );
    for (const [k, { countInS, fromS, quietS, untilS }] of pass.moves.entries()) {
      expect(fromS - countInS).toBeCloseTo(1.5, 9);
      expect(quietS).toBeGreaterThan(fromS);
      expect(untilS).toBeGreaterThan(quietS);
      // Two seconds late, the hand is still not in the next control's window.
      expect(pass.moves[k + 1]?.countInS ?? untilS + 2).toBeGreaterThanOrEqual(untilS + 2);
    }
    expect(pass.cautions.join(" ")).toContain("Keep phantom power off");
  });
});

describe("the reference path on the run sheet", () => {
  const withReference = parseDesk(`${text}\nreference-path: { into: insert }\n`, "desk.yaml");
  const { patches } = buildRunSheet(withReference, table, options);

  it("is played before all others and after them", () => {
    const [first, last] = [patches[0], patches[patches.length - 1]];
    expect([first.reference, last.reference]).toEqual(["first", "last"]);
    expect(first.plug).toMatch(/before all others$/);
    expect(last.plug).toMatch(/after all others$/);
    expect(patches).toHaveLength(desk.paths.length + 2);
  });
});
