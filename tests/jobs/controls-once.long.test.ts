import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { planControlStops } from "../../src/desk/control-stops.js";
import { readDesk } from "../../src/desk/read/read-desk.js";
import { analyze } from "../../src/jobs/analyze.js";
import { makeSignal } from "../../src/jobs/signal.js";
import { buildMoves } from "../../src/signal/moves.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { synthesise } from "../../src/signal/synthesise.js";
import { addNoise } from "../helpers/captures.js";
import { joined, writeCapture } from "./recordings.js";

// Expected values: the order and the windows of the signals that are put into the recording.

const rate = 48_000;
const folder = mkdtempSync(join(tmpdir(), "desk-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

writeFileSync(
  join(folder, "desk.yaml"),
  [
    "name: Desk",
    "mains: 50",
    "strips: 1-2",
    "inputs:",
    "  mic: { nominal: -40, set: { gain: 44 dB } }",
    "  line: { nominal: 4, set: { gain: 0 dB } }",
    "  tape: { nominal: 4 }",
    "controls:",
    "  gain: knob",
    "  fader: { kind: fader, set: at its mark }",
    "",
  ].join("\n"),
);

describe("a controls pass that moves each control once", () => {
  const desk = readDesk(folder);
  const played = (windows: readonly string[]) => {
    const controls = desk.controls.filter(({ name }) => windows.includes(name));
    return synthesise(buildSignalTable("controls", "base", buildMoves(controls)), rate);
  };

  it("is read by the windows of each path, in the order of its walk", async () => {
    const stops = planControlStops(desk);
    expect(stops.map(({ path, controls }) => [path.path, controls.length])).toEqual([
      ["1/mic", 2],
      ["2/mic", 2],
      ["1/line", 1],
      ["2/line", 1],
    ]);
    const all = joined(...stops.map(({ controls }) => played(controls.map(({ name }) => name))));
    addNoise(all, 1e-5, 1);
    const file = writeCapture(join(folder, "evening.wav"), [all], rate, "float32");
    const round = await analyze(
      { desk: folder, captures: [file], silent: [], keep: "preview" },
      () => {},
    );
    expect(
      round.paths.map(({ path, controls = [] }) => [path, controls.map(({ control }) => control)]),
    ).toEqual(
      [
        ["1/mic", ["gain", "fader"]],
        ["1/line", ["gain"]],
        ["2/mic", ["gain", "fader"]],
        ["2/line", ["gain"]],
      ].sort(
        (a, b) =>
          desk.paths.findIndex(({ path }) => path === a[0]) -
          desk.paths.findIndex(({ path }) => path === b[0]),
      ),
    );
    expect(round.warnings).toEqual([]);
  });

  it("writes a file for each set of controls, and its length into the sheet", async () => {
    const made = await makeSignal({
      desk: folder,
      profile: "controls",
      sampleRate: rate,
      format: "int24",
      write: "new",
      files: "all",
    });
    expect(made.more).toHaveLength(1);
    const [other] = made.sheet.others ?? [];
    expect(other.moves.map(({ control }) => control)).toEqual(["gain"]);
    const all = 2 * made.sheet.signal.lengthS + 2 * other.lengthS;
    expect(made.sheet.totalS - made.sheet.handsS).toBeCloseTo(all, 6);
    expect(made.sheet.partial).toBeUndefined();
  });
});
