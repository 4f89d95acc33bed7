import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import type { Round, RoundShared } from "../../../src/history/types.js";
import { type CheckFormat, checkFormats } from "../../../src/report/check/format.js";
import { wordCheck } from "../../../src/report/check/word-check.js";
import { checkRound } from "../../../src/service/limits/check.js";
import type { Check } from "../../../src/service/limits/types.js";
import { limit, path, reading, round } from "../../service/limits/rounds.js";
import { plain } from "./hostile.js";

/** Hum of all paths of a desk whose limits know nothing of hum. */
const hum: RoundShared = {
  part: { kind: "mains" },
  paths: ["1/mic", "2/mic"],
  findings: [
    { reading: "humOdd", deviation: 62.5, unit: "dB", value: -16, expected: -78.5 },
    { reading: "humEven", deviation: 20, unit: "dB", value: -58, expected: -78 },
  ],
  aspect: "hum-odd",
  against: "expectation",
  severity: "service",
};

function alike(shared: readonly RoundShared[]): Round {
  const paths = [1, 2].map((n) => path({ path: `${n}/mic`, readings: { gain: reading(0) } }));
  return { ...round(paths), shared };
}

const check = (shared: readonly RoundShared[], undecided: "pass" | "fail" = "pass") =>
  checkRound({ round: alike(shared), undecided, limits: [limit("gain <= 1 dB")] });

async function render(format: CheckFormat, one: Check): Promise<string> {
  return (await checkFormats[format]())(wordCheck(one), plain);
}

describe("a check of a round with a shared fault", () => {
  it("fails by what wants service, though every path passes its limits", async () => {
    const found = await check([hum]);
    expect(found.paths.map(({ counts }) => counts)).toEqual(["pass", "pass"]);
    expect(found.shared?.map(({ verdict, counts }) => [verdict, counts])).toEqual([
      ["fail", "fail"],
    ]);
    expect(found.verdict).toBe("fail");
  });

  it("leaves what is only to be watched to how undecided verdicts count", async () => {
    const watched: RoundShared = { ...hum, severity: "watch" };
    expect((await check([watched], "pass")).verdict).toBe("pass");
    expect((await check([watched], "fail")).verdict).toBe("fail");
  });

  it.each(["text", "markdown", "tap", "junit", "json", "csv"] as const)(
    "says it in %s before any path",
    async (format) => {
      const text = await render(format, await check([hum]));
      const told = text.search(format === "json" ? /"shared"/ : /hum, odd lines 6[23] dB above/);
      expect(told).toBeGreaterThanOrEqual(0);
      expect(text.slice(0, told)).not.toMatch(/\b1\/mic\b/);
      if (format !== "json") expect(text).toMatch(/fail/i);
    },
  );

  it("has a row of CSV for each of its findings, value and expectation in their columns", async () => {
    const rows: Record<string, string>[] = parse(await render("csv", await check([hum])), {
      columns: true,
      record_delimiter: "\r\n",
    });
    expect(rows.slice(0, 2)).toMatchObject([
      {
        path: "shared 1",
        reading: "humOdd",
        value: "-16",
        unit: "dB",
        limit: "shared: expectation",
        judged: "62.5",
        bound: "-78.5",
        verdict: "fail",
      },
      { path: "shared 1", reading: "humEven", judged: "20", reason: "" },
    ]);
    expect(rows).toHaveLength(4);
  });

  it("counts as a failed test of its own in JUnit and as a point that is not ok in TAP", async () => {
    const one = await check([hum]);
    expect(await render("junit", one)).toMatch(/tests="3" failures="1"/);
    expect(await render("tap", one)).toMatch(/1\.\.3\n.*\nnot ok 1 - shared: /);
  });
});
