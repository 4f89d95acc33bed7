import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it } from "vitest";
import { storeRound } from "../../src/history/store.js";
import { computeDeskTrends } from "../../src/jobs/trend.js";
import { reading, response } from "../helpers/families.js";
import { family, round } from "../history/rounds-of.js";

it("a trend may come to a limit that is made of a point of a curve in the first round", async () => {
  const desk = mkdtempSync(join(tmpdir(), "trend-"));
  writeFileSync(
    join(desk, "desk.yaml"),
    "name: Big desk\nmains: 50\nstrips: 4\ninputs:\n  mic: { nominal: 4 }\n",
  );
  writeFileSync(
    join(desk, "limits.yaml"),
    "built-in: none\nlimits:\n  quiet: noise <= -82 dBFS + baseline(response(20 Hz))\n",
  );
  for (const year of [2030, 2031, 2032, 2033, 2034]) {
    // 3 dB a year from -100 on strip 2; 2 dB at 20 Hz in the first round, nothing of it later.
    const paths = family(4, (k) => ({
      readings: { noise: reading(-100 + (k === 1 ? 3 * (year - 2030) : 0), "dBFS", 0.1) },
      curves: { response: response((hz) => (year === 2030 && hz < 30 ? 2 : 0)) },
    }));
    const { id: _, ...rest } = round(`${year}-04-02`, paths);
    storeRound(desk, rest);
  }
  const { trends, unread } = await computeDeskTrends({ desk, round: "last" });
  expect(unread).toBe(0);
  const crossing = trends.paths.find(
    ({ path, reading: id }) => path === "2/mic" && id === "noise",
  )?.crossing;
  expect(crossing?.limit).toEqual({ name: "quiet", value: -80, side: "upper" });
  // From -88 dBFS in 2034 at 3 dB a year.
  expect(crossing?.years).toBeCloseTo(8 / 3, 1);
});
