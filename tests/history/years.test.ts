import { describe, expect, it } from "vitest";
import type { PathFacts, ReadingFacts, RoundFacts } from "../../src/history/facts/types.js";
import { buildYears } from "../../src/history/years.js";

function aRound(id: string, values: Readonly<Record<string, ReadingFacts>>): RoundFacts {
  const paths = Object.entries(values).map(([path, noise]): PathFacts => {
    const [strip, input] = path.split("/") as [string, string];
    const status = "measured";
    const readings = { noise };
    return {
      path,
      strip,
      input,
      family: input,
      status,
      oddness: 0,
      readings,
      findings: [],
      causes: [],
    };
  });
  return { id, date: `${id.slice(0, 10)}T12:00:00Z`, paths } as unknown as RoundFacts;
}

const dbfs = (value: number): ReadingFacts => ({ value, unit: "dBFS" });

describe("readings through the years", () => {
  it("are those of each round, beside the median of the siblings", () => {
    const years = buildYears(
      [
        aRound("2030-01-31-01", {
          "1/mic": dbfs(-90),
          "2/mic": dbfs(-93),
          "3/mic": dbfs(-92),
          "4/mic": dbfs(-97),
          "1/line": dbfs(-100),
        }),
        aRound("2031-01-31-01", {
          "1/mic": dbfs(-80),
          "2/mic": dbfs(-93),
          "3/mic": dbfs(-91),
          "4/mic": dbfs(-90),
        }),
      ],
      ["noise"],
    );
    // Medians of three by hand: -97, -93, -92 and -93, -91, -90.
    expect(years.get("1/mic")?.noise).toEqual([
      {
        round: "2030-01-31-01",
        date: "2030-01-31T12:00:00Z",
        value: -90,
        unit: "dBFS",
        siblings: -93,
      },
      {
        round: "2031-01-31-01",
        date: "2031-01-31T12:00:00Z",
        value: -80,
        unit: "dBFS",
        siblings: -91,
      },
    ]);
    // Once is no course.
    expect(years.get("1/line")).toEqual({});
  });

  it("have siblings of their own family and unit, three at least, and no reading of none", () => {
    const dbu = (value: number): ReadingFacts => ({ value, unit: "dBu" });
    const year = (id: string) =>
      aRound(id, {
        "1/mic": dbfs(-90),
        "2/mic": dbfs(-92),
        "3/mic": dbu(-20),
        "4/mic": dbfs(-94),
        "5/mic": dbfs(-93),
        "1/line": dbfs(-10),
      });
    const rounds = [year("2030-01-31-01"), year("2031-01-31-01")];
    const without = { ...rounds[1].paths[1], path: "6/mic", readings: {} };
    const withMore = rounds.map((one) => ({ ...one, paths: [...one.paths, without] }));
    const years = buildYears(withMore, ["noise", "hum"]);
    const siblings = (path: string) => years.get(path)?.noise.map((one) => one.siblings);
    // Of −92, −94 and −93; of −90, −94 and −93.
    expect(siblings("1/mic")).toEqual([-93, -93]);
    expect(siblings("2/mic")).toEqual([-93, -93]);
    expect(siblings("3/mic")).toEqual([undefined, undefined]);
    expect(siblings("1/line")).toEqual([undefined, undefined]);
    expect(years.has("6/mic")).toBe(false);
    expect(years.get("1/mic")).not.toHaveProperty("hum");
  });

  it("keep to the unit of the last round, and to bounds as bounds", () => {
    const dbu = (value: number): ReadingFacts => ({ value, unit: "dBu", limitedBy: "noise" });
    const rounds = [
      aRound("2029-01-31-01", { "1/mic": dbfs(-90) }),
      aRound("2030-01-31-01", { "1/mic": dbu(-70) }),
      aRound("2031-01-31-01", { "1/mic": dbu(-69) }),
    ];
    const found = buildYears(rounds, ["noise"]).get("1/mic")?.noise ?? [];
    expect(found.map(({ value, bound, siblings }) => [value, bound, siblings])).toEqual([
      [-70, "upper", undefined],
      [-69, "upper", undefined],
    ]);
  });
});
