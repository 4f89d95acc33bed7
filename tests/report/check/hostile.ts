import fc from "fast-check";
import type { Round } from "../../../src/history/types.js";
import { type WordedCheck, wordCheck } from "../../../src/report/check/word-check.js";
import { checkRound } from "../../../src/service/limits/check.js";
import { limit, path, reading, round } from "../../service/limits/rounds.js";

/** One path of each verdict: 1/mic passes, 2/mic fails, 3/mic is undecided, 4/mic is missing. */
export async function oneOfEach(
  undecided: "pass" | "fail" = "fail",
  of = eachRound(),
): Promise<WordedCheck> {
  const why = "agreed";
  const check = await checkRound({
    round: of,
    undecided,
    limits: [limit("gain <= 1 dB", { name: "loud", why })],
  });
  return wordCheck(check);
}

export function eachRound(): Round {
  return round([
    path({ path: "1/mic", readings: { gain: reading(0), thd: reading(-90) } }),
    path({ path: "2/mic", readings: { gain: reading(2.5) }, absent: { thd: "no tone" } }),
    path({ path: "3/mic", readings: { gain: reading(0.95) } }),
    path({ path: "4/mic", status: "missing", reason: "no return was assigned to it" }),
  ]);
}

/** Names that mean something to a terminal, a spreadsheet, a parser of XML, TAP or Markdown. */
export const hostileTexts: readonly string[] = [
  "",
  " ",
  "=cmd|' /C calc'!A0",
  "+1+1",
  "-2+3",
  "@SUM(1)",
  "\t=1",
  "\u001b[2J\u001b]0;title\u0007",
  "\u202Eevil",
  "\u0000\u0008\uFFFE\uD800",
  "\u{1F9EA}\u{1F3FF}",
  "a\r\nb\u2028c",
  "]]><x/>&amp;<!--",
  `"'<script>alert(1)</script>`,
  "x # SKIP not really",
  "x # TODO \\# y",
  "ok 1 - forged",
  "...",
  "---",
  "Bail out!",
  "| a | b |",
  "[link](http://example.invalid) ![i](x) `c` **b** ~~s~~ <b>",
  "1. one",
  "# head",
  'a,"b"',
];

/** A check on a round in which every text was written by someone who means harm. */
export const hostileRounds: fc.Arbitrary<Round> = fc
  .array(fc.oneof(fc.constantFrom(...hostileTexts), fc.string({ unit: "binary", maxLength: 30 })), {
    minLength: 8,
    maxLength: 8,
  })
  .map(([desk, strip, input, family, reason, id, absent, date]) => {
    const names = { path: `${strip}/${input}`, strip, input, family };
    const of = round(
      [
        path({ ...names, readings: { gain: reading(2.5) }, absent: { [id]: absent } }),
        path({ ...names, readings: { gain: { ...reading(0), unit: "dB" } } }),
        path({ ...names, readings: { gain: reading(0.95) } }),
        path({ ...names, status: "missing", reason }),
      ],
      id,
    );
    return { ...of, date, desk: { ...of.desk, name: desk } };
  });

export const plain = { colour: "none", width: 80 } as const;

/** Anything that moves a cursor or turns text round, but for line ends. */
export const unprintable = /(?![\r\n])[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u;
