import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { analyze } from "../../src/jobs/analyze.js";
import { plan } from "../../src/jobs/plan.js";
import { showRound } from "../../src/jobs/show.js";
import { renderControlsPass } from "../../src/report/controls.js";
import { appendToNotebook } from "../../src/service/notebook/append.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { encodeCaptureWav, encodeSignalWav } from "../../src/signal/signal-wav.js";
import { renderChirp, synthesise } from "../../src/signal/synthesise.js";
import { assembleCapture } from "../../src/simulate/capture.js";
import { simulateControlsPass as play } from "../../src/simulate/controls/pass.js";
import { simulatePath, virtualDesk } from "../../src/simulate/desk.js";

// Expected: what was put into the virtual controls, and what the files are named.

const rate = 44_100;
const folder = mkdtempSync(join(tmpdir(), "deskround-pass-"));
const text = `name: Desk
mains: 50
strips: 2
inputs: { line: { nominal: 4 } }
controls: { phantom: switch, drive level: knob }
`;
const moves = [{ control: "drive level", hand: "turn" }] as const;
const table = buildSignalTable("controls", "base", moves);
const ask = (...captures: string[]) => ({
  desk: folder,
  captures: captures.map((name) => join(folder, name)),
  silent: [],
  keep: "store" as const,
  date: "2031-03-14",
});
const quiet = () => {};

beforeAll(() => {
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, "desk.yaml"), text);
  const desk = virtualDesk({
    seed: 5,
    strips: 2,
    inputs: ["line"],
    mainsHz: 50,
    clockPpm: 40,
    faults: [],
  });
  const pot = {
    kind: "pot",
    markAt: 0.6,
    lowDb: -20,
    highDb: 8,
    roughness: 2e-5,
    wornZones: 0,
    zoneWidth: 0.02,
    wornOhmParts: 0,
    directV: 0,
  } as const;
  const scratchy = { ...pot, wornZones: 5, wornOhmParts: 0.2 };
  const renders = [scratchy, pot].map((control, k) =>
    play(desk, { strip: k + 1, input: "line" }, table, rate, [control], `hand ${k}`),
  );
  const write = (name: string, samples: Float64Array) =>
    writeFileSync(join(folder, name), encodeCaptureWav(samples, rate, "int24"));
  write("both.wav", assembleCapture(renders, [1, 2, 1], rate, 1));
  const quick = synthesise(buildSignalTable("quick", "base"), rate);
  write(
    "quick.wav",
    assembleCapture([simulatePath(desk, 1, "line", quick, rate)], [1, 1], rate, 2),
  );
  writeFileSync(join(folder, "played.wav"), encodeSignalWav(table, rate, "int24"));
  // The pass of version 1: chirps 230 ms apart (docs/files.md of that version), 83.6 s from one
  // marker to the other.
  const old = new Float64Array(Math.round(85 * rate));
  for (const [atS, sign] of [
    [0.1, 1],
    [83.7, -1],
  ]) {
    renderChirp(0.1, -atS, 1 / rate, old);
    renderChirp(0.1 * sign, -(atS + 0.23), 1 / rate, old);
  }
  write("old.wav", old);
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("a controls pass from captures to the screen", () => {
  it("is reported per control and strip, kept apart from the rounds, and ranked nowhere", async () => {
    const round = await analyze(ask("both.wav"), quiet);
    expect(round.signal).toMatchObject({ profile: "controls", version: 3 });
    const [first, second] = round.paths;
    expect(first?.controls?.[0]).toMatchObject({ control: "drive level", hand: "turn" });
    expect(first?.controls?.[0]?.verdicts).toContain("scratchy");
    expect(second?.controls?.[0]?.verdicts).toEqual(["sound"]);
    expect(round.paths.map(({ rank, findings, oddness }) => [rank, findings, oddness])).toEqual([
      [undefined, [], 0],
      [undefined, [], 0],
    ]);
    expect(existsSync(join(folder, "rounds"))).toBe(false);
    expect(readdirSync(join(folder, "controls/rounds"))).toEqual(["2031-03-14-01.json"]);
    const stored = await showRound({ desk: folder, words: [], from: "controls" });
    expect(stored.round).toEqual(round);
    // A path and an id are told apart in either order.
    for (const words of [["2/line", round.id], [round.id, "2/line"], ["2/line"]]) {
      const one = await showRound({ desk: folder, words, from: "controls" });
      expect([one.round.id, one.path?.path]).toEqual([round.id, "2/line"]);
    }
    const lines = renderControlsPass(round, { colour: "none", width: 80 }).split("\n");
    expect(lines.join("\n")).toContain("1 of 2 controls needs attention: 1/line drive level.");
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
  });

  it("puts what wants care on the worklist, until the strip was worked on", async () => {
    const found = () => plan({ desk: folder, date: "2031-04-02" });
    const { plan: list } = await found();
    expect(list.passes).toEqual(["2031-03-14-01"]);
    expect(list.round).toBeNull();
    const items = list.steps.flatMap((step) => (step.kind === "strip" ? step.items : []));
    expect(items).toMatchObject([
      {
        key: "1 control-drive-level",
        inputs: ["line"],
        name: expect.stringMatching(/drive level$/),
      },
    ]);
    const repair = { date: "2031-04-01T12:00:00Z", kind: "repair" as const, strip: "1", parts: [] };
    appendToNotebook(folder, [{ ...repair, text: "pot replaced" }]);
    expect((await found()).plan).toMatchObject({ passes: [], steps: [] });
  });

  it("takes the names of the controls from the file that was played", async () => {
    writeFileSync(join(folder, "desk.yaml"), text.replace("drive level: knob", "a: knob, b: knob"));
    const request = { ...ask("both.wav"), keep: "preview" as const };
    await expect(analyze(request, quiet)).rejects.toThrow(/moves 1 control, but desk.yaml names 2/);
    const round = await analyze({ ...request, signalFile: join(folder, "played.wav") }, quiet);
    expect(round.paths[0]?.controls?.map(({ control }) => control)).toEqual(["drive level"]);
    writeFileSync(join(folder, "desk.yaml"), text);
  });

  it("is not mixed with an ordinary return", async () => {
    await expect(analyze(ask("both.wav", "quick.wav"), quiet)).rejects.toThrow(
      /both.wav holds a controls pass and .*quick.wav a return of the quick signal/,
    );
  });

  it("of the older version is refused with the reason", async () => {
    await expect(analyze(ask("old.wav"), quiet)).rejects.toThrow(/markers of another version/);
  });
});
