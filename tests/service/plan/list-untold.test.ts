import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { formatUntold } from "../../../src/report/plan/phrases.js";
import { formatPlanVerdict } from "../../../src/report/plan/text.js";
import { wordPlan } from "../../../src/report/plan/word-plan.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { listUntold, nothingUnread } from "../../../src/service/plan/list-untold.js";
import { makePlan, type PlanInput } from "../../../src/service/plan/plan.js";
import { path, round } from "../limits/rounds.js";

const deskText =
  "name: Desk\nmains: 50\nstrips: 8\ninputs:\n  mic: { nominal: -40 }\n  line: { nominal: 4 }\n";
const family = ["1/mic", "2/mic", "3/mic", "4/mic"];
const sound = round(family.map((name) => path({ path: name })));
const unmeasured = (name: string) => path({ path: name, status: "missing" });
const some = (...paths: readonly ReturnType<typeof path>[]) => ({
  ...round(paths, "2031-05-01-01"),
  partial: { wanted: paths.map((one) => one.path) },
});

describe("what the sources of a plan leave open", () => {
  it("is nothing after a whole round in which every path was judged", () => {
    expect(listUntold(sound, [], nothingUnread)).toStrictEqual([]);
  });

  it("is everything without a round", () => {
    expect(listUntold(undefined, [], nothingUnread)).toStrictEqual([{ code: "no-round" }]);
  });

  it("are rounds and controls passes that are damaged", () => {
    const rounds = { rounds: ["2032-03-14-01"], passes: [] };
    const passes = { rounds: [], passes: ["2032-04-01-01"] };
    expect(listUntold(sound, [], rounds)).toStrictEqual([{ code: "unread", ...rounds }]);
    expect(listUntold(sound, [], passes)).toStrictEqual([{ code: "unread", ...passes }]);
  });

  it("is the whole round where the order of its returns is in doubt", () => {
    const doubted = (code: string) => ({ ...sound, doubts: [{ code }] as never });
    expect(listUntold(doubted("order-shifted"), [], nothingUnread)).toStrictEqual([
      { code: "order", round: "2031-03-14-01" },
    ]);
    expect(listUntold(doubted("no-reference"), [], nothingUnread)).toStrictEqual([]);
  });

  it("are paths that were not measured, until a later round measures them", () => {
    const base = round([...sound.paths, unmeasured("5/mic"), unmeasured("6/mic")]);
    expect(listUntold(base, [], nothingUnread)).toStrictEqual([
      { code: "unjudged", paths: ["5/mic", "6/mic"] },
    ]);
    const later = some(...sound.paths, path({ path: "6/mic" }), unmeasured("1/mic"));
    expect(listUntold(base, [later], nothingUnread)).toStrictEqual([
      { code: "unjudged", paths: ["5/mic"] },
    ]);
  });

  it("are paths with too few siblings to be judged by", () => {
    const base = round([...sound.paths, path({ path: "5/line" })]);
    expect(listUntold(base, [], nothingUnread)).toStrictEqual([
      { code: "unjudged", paths: ["5/line"] },
    ]);
  });
});

describe("the verdict of a plan without work", () => {
  const verdict = (parts: Partial<PlanInput>) =>
    formatPlanVerdict(
      wordPlan(
        makePlan({
          desk: parseDesk(deskText, "desk.yaml"),
          round: sound,
          notebook: parseNotebook(Buffer.from(""), "notebook.jsonl"),
          done: new Map(),
          date: "2031-06-01",
          ...parts,
        }),
      ),
    );

  it("says that nothing calls for opening only where nothing is left open", () => {
    expect(verdict({})).toBe("Nothing calls for opening the desk.");
    const left: readonly Partial<PlanInput>[] = [
      { round: undefined },
      { unread: { rounds: ["2032-03-14-01"], passes: [] } },
      { unread: { rounds: [], passes: ["2032-04-01-01"] } },
      { round: round([...sound.paths, unmeasured("5/mic")]) },
    ];
    for (const parts of left) expect(verdict(parts)).toMatch(/ cannot be told: /);
  });

  it("names what is left open", () => {
    expect(formatUntold({ code: "unread", rounds: ["2032-03-14-01"], passes: [] })).toBe(
      "round 2032-03-14-01 is damaged",
    );
    expect(
      formatUntold({ code: "unread", rounds: ["2032-03-14-01"], passes: ["2032-04-01-01"] }),
    ).toBe("round 2032-03-14-01, controls pass 2032-04-01-01 are damaged");
  });
});
