import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { listFamiliesPastLimits } from "../../../src/analysis/judge/list-families-past-limits.js";
import type { Round, RoundPath } from "../../../src/history/types.js";
import { reading, response } from "../../helpers/families.js";

/** A round of eight line paths, so many of which fall off below a corner of 80 Hz. */
function round(aged: number): Round {
  const paths = Array.from({ length: 8 }, (_, i): RoundPath => {
    const corner = i < aged ? 80 : 3;
    return {
      path: `${i + 1}/line`,
      strip: String(i + 1),
      input: "line",
      family: "line",
      status: "measured",
      readings: { gain: reading(0), thdHot: reading(-70), thd: reading(-80) },
      absent: {},
      curves: { response: response((hz) => -10 * Math.log10(1 + (corner / hz) ** 2)) },
      oddness: 0,
      findings: [],
      causes: [],
    };
  });
  return {
    format: "deskround-round",
    version: 1,
    id: "preview",
    desk: { name: "desk", mainsHz: 50 },
    date: "2031-03-14T10:00:00Z",
    tool: { name: "deskround", version: "0" },
    signal: {
      id: "x",
      version: 1,
      profile: "standard",
      band: "base",
      sampleRate: 48_000,
      nominalDbfs: -18,
    },
    calibration: null,
    captures: [],
    warnings: [],
    remarks: [],
    paths,
  };
}

const folder = () => mkdtempSync(join(tmpdir(), "deskround-ageing-"));

describe("listFamiliesPastLimits", () => {
  it("says of a family that is past a limit as a whole that none of it stands out", async () => {
    // −12.3 dB at 20 Hz, a first-order fall with its corner at 80 Hz; the limit is −3 dB
    expect(await listFamiliesPastLimits(folder(), round(8))).toEqual([
      {
        code: "family-past-limit",
        family: "line",
        count: 8,
        of: 8,
        limit: "band",
        expression: expect.stringContaining("response"),
      },
    ]);
  });

  it("leaves what ails a few to the ranking", async () => {
    expect(await listFamiliesPastLimits(folder(), round(2))).toEqual([]);
    expect(await listFamiliesPastLimits(folder(), round(0))).toEqual([]);
  });

  it("looks at each side of a stereo bus", async () => {
    const [sound, aged] = [round(0), round(8)];
    const balance = reading(0);
    const stereo = {
      ...sound,
      paths: sound.paths.map((path, k) => {
        const { readings, absent, curves } = aged.paths[k];
        const partner = { side: "right" as const, readings, absent, curves };
        return { ...path, readings: { ...path.readings, balance }, partner };
      }),
    };
    const found = await listFamiliesPastLimits(folder(), stereo);
    expect(found).toMatchObject([{ family: "line (right side)", count: 8, of: 8, limit: "band" }]);
  });

  it("leaves a limits file that cannot be used to the check", async () => {
    const desk = folder();
    writeFileSync(join(desk, "limits.yaml"), "limits:\n  x: nonsense <= 3 dB\n");
    expect(await listFamiliesPastLimits(desk, round(8))).toEqual([]);
  });
});
