import { beforeAll, describe, expect, it } from "vitest";
import { newFolder, run } from "../run.js";
import { createTriedDesk } from "./desk.js";
import { collected, invented, type Request, unseen } from "./requests.js";

// What an answer to a slip may take: three lines of a terminal of 80 columns.
const mostLines = 3;
const mostLetters = mostLines * 80;

let desk: string;
let nowhere: string;
let temporary: string;
beforeAll(() => {
  desk = createTriedDesk();
  nowhere = newFolder();
  temporary = newFolder();
});

function answer({ words }: Request) {
  const put = words.map((word) =>
    word
      .replace(/^DESK/, desk)
      .replace(/^NOWHERE/, nowhere)
      .replace(/^TEMP/, temporary),
  );
  // A shell is of no desk.
  const isOfDesk = !words.includes("--desk") && words[0] !== "completion";
  return run(...put, ...(isOfDesk ? ["--desk", desk] : []));
}

const named = (list: readonly Request[]) =>
  list.map((request) => [request.words.join(" "), request] as const);

describe.each([
  ["collected", collected],
  ["invented", invented],
  ["not seen before", unseen],
])("a request that was %s", (_, list) => {
  it("is one of sixty, each another", () => {
    expect(new Set(list.map(({ words }) => words.join(" "))).size).toBe(60);
  });

  it.each(named(list))("%s", (_, request) => {
    const { code, out, err } = answer(request);
    const said = `${out}${err}`;
    expect(code, said).toBe(request.code);
    const flat = (request.code === 2 ? err : said).replaceAll(desk, "DESK").replace(/\s+/g, " ");
    expect(flat.trim()).toMatch(request.says);
    if (request.never !== undefined) expect(flat).not.toMatch(request.never);
    expect(said).not.toMatch(/fault in deskround|\n {4}at .*:\d+:\d+|node:internal/);
    if (request.code !== 2) return;
    expect(out, "nothing but the answer").toBe("");
    expect(err.trim().split("\n").length, err).toBeLessThanOrEqual(mostLines);
    const letters = err.replaceAll(desk, "DESK").replaceAll(nowhere, "NOWHERE").length;
    expect(letters, err).toBeLessThanOrEqual(mostLetters);
  });
});
