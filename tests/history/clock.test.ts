import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it } from "vitest";
import { assertClockForward } from "../../src/history/clock.js";
import { storeRound } from "../../src/history/store.js";
import { aRound } from "./a-round.js";

it("a clock that stands before the last round is refused, one at its day or after is not", () => {
  const folder = mkdtempSync(join(tmpdir(), "clock-"));
  assertClockForward(folder, "1970-01-01");
  storeRound(folder, aRound("2030-01-31"));
  assertClockForward(folder, "2030-01-31");
  assertClockForward(folder, "2031-01-01");
  // Stored at UTC+14, then carried to UTC-11: 25 hours, so the calendar may be two days behind.
  assertClockForward(folder, "2030-01-29");
  expect(() => assertClockForward(folder, "1970-01-01")).toThrow(
    "This computer's clock says 1970-01-01, but round 2030-01-31-01 lies in its future.",
  );
});
