import { describe, expect, it } from "vitest";
import { parseDesk } from "../../src/desk/read.js";
import { starterDesk } from "../../src/desk/starter.js";
import { runSheet } from "../../src/service/run-sheet.js";
import { signalTable } from "../../src/signal/profiles.js";

const text = starterDesk({
  name: "Big desk",
  strips: "24",
  inputs: ["mic", "line", "tape"],
  mainsHz: 50,
});
const desk = parseDesk(text, "desk.yaml");
const table = signalTable("standard", "base");
const options = { sampleRate: 48000, file: "signal.wav" };
const sheet = runSheet(desk, table, options);

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

  it("takes the signal and the patching of each path as the time needed", () => {
    expect(sheet.totalS).toBeCloseTo(72 * (table.lengthS + 20), 6);
  });

  it("puts ears, phantom power and the supply first", () => {
    expect(sheet.cautions[0]).toMatch(/Mute the monitors and turn headphones down/);
    expect(sheet.cautions[1]).toMatch(/Phantom power off .* wait/);
    expect(sheet.cautions[2]).toMatch(/licensed/);
  });

  it("leaves room for the loudest step of its own signal", () => {
    const room = (profile: Parameters<typeof signalTable>[0]) =>
      runSheet(desk, signalTable(profile, "base"), options).steps.join(" ");
    expect(room("standard")).toContain("loudest step is 17 dB above: leave 18 dB to clipping");
    expect(room("quick")).toContain("loudest step is 12 dB above: leave 13 dB to clipping");
    expect(room("controls")).not.toContain("loudest step");
  });

  it("sends to the long tone only when its own is too short for a meter", () => {
    expect(sheet.steps.join(" ")).toContain("the same tone lasts 40 s");
    const controls = runSheet(desk, signalTable("controls", "base"), options).steps.join(" ");
    expect(controls).not.toContain("the same tone lasts");
    expect(controls).toContain("turn every knob");
  });
});
