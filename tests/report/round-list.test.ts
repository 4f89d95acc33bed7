import { describe, expect, it } from "vitest";
import { renderRoundList } from "../../src/report/round-list.js";

const style = { width: 80, colour: "none" } as const;

describe("the list of rounds", () => {
  it("does not call alike what all paths share", () => {
    const list = renderRoundList(
      [
        { id: "2031-03-14-01", measured: 8, paths: 8, verdict: { alike: ["1/mic"] } },
        {
          id: "2031-04-14-01",
          measured: 8,
          paths: 8,
          verdict: { alike: ["1/mic"] },
          shared: [{ part: { kind: "bus", side: "right" } }],
        },
        {
          id: "2031-05-14-01",
          measured: 8,
          paths: 8,
          verdict: { alike: ["1/mic"] },
          tooHigh: [{ reading: "hiss", paths: ["1/mic", "2/mic", "4/mic"] }],
        },
      ],
      style,
    );
    expect(list).toMatch(/2031-03-14-01 +all 8 +all alike/);
    expect(list).toMatch(/2031-04-14-01 +all 8 +shared: the right side of the mix bus/);
    expect(list).toMatch(/2031-05-14-01 +all 8 +too high: hiss of 1\/mic to 4\/mic/);
  });
});
