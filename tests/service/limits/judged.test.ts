import { parse } from "mathjs";
import { expect, it } from "vitest";
import { findJudged } from "../../../src/service/limits/judged.js";

// Expected values: what each expression says, read by hand.

const other = { code: "other" };

it.each([
  ["gain", { code: "figure", name: "gain" }],
  ["response(20)", { code: "figure", name: "response" }],
  ["abs(gain - siblings(gain))", { code: "distance", name: "gain", from: "siblings" }],
  ["abs(gain - baseline(gain))", { code: "distance", name: "gain", from: "baseline" }],
  [
    "abs(response(20) - siblings(response(20)))",
    { code: "distance", name: "response", from: "siblings" },
  ],
  ["noise - gain", { code: "difference", name: "noise", less: "gain" }],
  ["abs(gain - siblings(thd))", other],
  ["abs(response(20) - siblings(response(40)))", other],
  ["abs(siblings(gain) - gain)", other],
  ["abs(gain + siblings(gain))", other],
  ["abs(gain)", other],
  ["siblings(gain)", other],
  ["gain - siblings(gain)", other],
  ["noise + gain", other],
  ["2 * gain", other],
])("%s is %j", (text, judged) => {
  expect(findJudged(parse(text))).toStrictEqual(judged);
});
