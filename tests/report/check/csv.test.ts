import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { renderCsv } from "../../../src/report/check/csv.js";
import { formatCsvTable } from "../../../src/report/csv-row.js";
import { renderRoundCsv } from "../../../src/report/round-csv.js";
import {
  eachRound,
  hostileRounds,
  hostileTexts,
  oneOfEach,
  plain,
  unprintable,
} from "./hostile.js";

type Row = Readonly<Record<string, string>>;

/** Reads CSV as RFC 4180 has it; a row with more or fewer cells than the first is an error. */
const read = (text: string): readonly Row[] =>
  parse(text, { columns: true, record_delimiter: "\r\n" });

describe("CSV", () => {
  it("ends every row with CRLF and quotes what holds a comma or quotes (RFC 4180)", () => {
    expect(
      formatCsvTable(
        ["a", "b"],
        [
          ['x"y', "1,5"],
          [-1.5, undefined],
        ],
      ),
    ).toBe('a,b\r\n"x""y","1,5"\r\n-1.5,\r\n');
  });

  // The signs by which spreadsheets take a cell for a formula (common practice of web security).
  it.each(["=1+1", "+1", "-1+2", "@x", "\t=1", " =1", "\r\n=1", "\uFF1D1"])(
    "gives a spreadsheet no formula in %j",
    (text) => {
      const [row] = read(formatCsvTable(["a"], [[text]]));
      expect(row?.a).toMatch(/^'/);
    },
  );

  it("leaves numbers alone: a level below zero is not a formula", () => {
    expect(formatCsvTable(["a"], [[-82.5], [1e-7]])).toBe("a\r\n-82.5\r\n1e-7\r\n");
  });

  it("of a check has a row for each path and reading, with limit and verdict", async () => {
    const rows = read(renderCsv(await oneOfEach(), plain));
    expect(rows.map((row) => [row.path, row.reading, row.value, row.verdict])).toEqual([
      ["1/mic", "gain", "0", "pass"],
      ["1/mic", "thd", "-90", ""],
      ["2/mic", "gain", "2.5", "fail"],
      ["2/mic", "thd", "", ""],
      ["3/mic", "gain", "0.95", "undecided"],
      ["4/mic", "", "", "incomplete"],
    ]);
    expect(rows[2]).toMatchObject({
      unit: "dB",
      uncertainty: "0.1",
      limit: "loud",
      judged: "2.5",
      relation: "at most",
      bound: "1",
      bound_unit: "dB",
      guard: "0.1",
    });
    expect(rows[3]?.reason).toBe("no tone");
    expect(rows[5]).toMatchObject({
      status: "missing",
      reason: "missing: no return was assigned to it",
    });
  });

  it("of a round has a row for each path and reading", () => {
    const rows = read(renderRoundCsv(eachRound().paths));
    expect(rows).toHaveLength(6);
    expect(rows[5]).toMatchObject({ path: "4/mic", status: "missing", reading: "" });
    expect(Object.keys(rows[0] ?? {}).at(-1)).toBe("reason");
  });

  it("stays a table without formulas, whatever names desk and strips have", async () => {
    await fc.assert(
      fc.asyncProperty(hostileRounds, async (of) => {
        for (const text of [
          renderCsv(await oneOfEach("fail", of), plain),
          renderRoundCsv(of.paths),
        ]) {
          expect(text).not.toMatch(unprintable);
          expect(text.replaceAll("\r\n", "")).not.toMatch(/[\r\n]/);
          for (const row of read(text)) {
            for (const [column, cell] of Object.entries(row)) {
              const isNumber = cell !== "" && Number.isFinite(Number(cell));
              const number = ["value", "judged", "bound"].includes(column) && isNumber;
              if (!number) expect(cell).not.toMatch(/^[=+\-@\t\r]/);
            }
          }
        }
      }),
      { numRuns: 150 },
    );
    expect(hostileTexts.length).toBeGreaterThan(20);
  });
});
