import { describe, expect, it } from "vitest";
import { applyBatches, findBatches } from "../../src/rank/batches.js";
import { rankPaths } from "../../src/rank/rank.js";
import { family, measurement, reading } from "../helpers/families.js";

// Two crowds drawn apart by more than Ashman's D of 5 in several readings.

const wobble = (i: number, size: number) => size * (((i * 7) % 5) - 2);

function strip(i: number, renewed: boolean, hissDb = 0) {
  return measurement({
    gain: reading(wobble(i, 0.05)),
    hiss: reading(-100 + (renewed ? -4 : 0) + wobble(i, 0.1) + hissDb, "dBFS", 0.1),
    thd: reading(-80 + (renewed ? -9 : 0) + wobble(i + 1, 0.2)),
    cornerLow: reading((renewed ? 2 : 4) * (1 + wobble(i, 0.01)), "Hz", 0.01),
  });
}

describe("batchesOf", () => {
  it("finds renewed and original strips by two readings that part a family alike, and names them", () => {
    const paths = family(Array.from({ length: 12 }, (_, i) => strip(i, i >= 7)));
    expect(findBatches(paths)).toStrictEqual([
      {
        family: "mic",
        members: [
          paths.slice(0, 7).map(({ path }) => path),
          paths.slice(7).map(({ path }) => path),
        ],
        differ: expect.arrayContaining(["thd", "hiss"]),
      },
    ]);
  });

  it("ranks within the batch: what is usual for an original is odd for a renewed one", () => {
    const strips = Array.from({ length: 16 }, (_, i) => strip(i, i >= 8, i === 12 ? 4 : 0));
    const paths = family(strips);
    const ranked = rankPaths(applyBatches(paths, findBatches(paths)));
    expect(ranked[12].rank).toBe(1);
    expect(ranked[12].findings[0]).toMatchObject({
      reading: "hiss",
      expected: expect.closeTo(-104, 0),
    });
    expect(ranked.filter(({ findings }) => findings.length > 0)).toHaveLength(1);
  });

  it("sees one crowd in healthy strips, and in a family of which two in five are badly faulty in the same way", () => {
    expect(
      findBatches(family(Array.from({ length: 12 }, (_, i) => strip(i, false)))),
    ).toStrictEqual([]);
    const ill = Array.from({ length: 10 }, (_, i) => strip(i, false, i < 4 ? 25 : 0));
    expect(findBatches(family(ill))).toStrictEqual([]);
  });

  it("finds them beside paths that are ill, which lie farther off than any make", () => {
    const strips = Array.from({ length: 17 }, (_, i) => {
      const worse = i >= 14 ? 25 : 0;
      const renewed = i >= 7 && i < 14;
      return measurement({
        hiss: reading(-100 + (renewed ? -4 : 0) + worse + wobble(i, 0.1), "dBFS", 0.1),
        thd: reading(-80 + (renewed ? -9 : 0) + worse + wobble(i + 1, 0.2)),
      });
    });
    const [found, ...more] = findBatches(family(strips));
    expect(more).toStrictEqual([]);
    expect(found.members[1]).toStrictEqual(
      [8, 9, 10, 11, 12, 13, 14].map((strip) => `${strip}/mic`),
    );
  });

  it("sees no batches where readings part the family in different ways", () => {
    const mixed = Array.from({ length: 12 }, (_, i) =>
      measurement({
        hiss: reading(-100 + (i % 2 === 0 ? 4 : 0) + wobble(i, 0.1), "dBFS", 0.1),
        thd: reading(-80 + (i < 6 ? 9 : 0) + wobble(i, 0.2)),
      }),
    );
    expect(findBatches(family(mixed))).toStrictEqual([]);
  });
});

/**
 * Ashman's D of two crowds with the scatter that any crowd is granted, a quarter of the practical
 * floor: |μ₁ − μ₂| / √((σ₁² + σ₂² + g²)/2), and 5 asked for. Practical floors: docs/judging.md. Of
 * six paths there is but one way to make two crowds of three.
 */
describe("where a family is parted", () => {
  const [hissFloor, thdFloor] = [2, 4];
  type Values = Readonly<Record<string, readonly number[]>>;
  const paths = (values: Values) =>
    family(
      Object.values(values)[0].map((_, i) =>
        measurement(
          Object.fromEntries(Object.entries(values).map(([id, own]) => [id, reading(own[i])])),
        ),
      ),
    );
  const count = (values: Values) => findBatches(paths(values)).length;
  /** `n` values, of which those from `from` on lie `db` higher. */
  const step = (n: number, from: number, db: number) =>
    Array.from({ length: n }, (_, i) => -90 + (i < from ? 0 : db));
  const thd = step(6, 3, 2 * thdFloor);

  it("asks for six paths, and for three on either side", () => {
    const parted = (n: number, from: number) =>
      count({ hiss: step(n, from, 4), thd: step(n, from, 2 * thdFloor) });
    expect([parted(6, 3), parted(5, 3), parted(5, 2)]).toStrictEqual([1, 0, 0]);
    expect([parted(6, 1), parted(6, 5), parted(12, 1)]).toStrictEqual([0, 0, 0]);
  });

  it("asks for five standard deviations of crowds without a scatter of their own", () => {
    // D = 5 at 5/(4√2) of the floor
    const edge = (5 / (4 * Math.SQRT2)) * hissFloor;
    const parted = (db: number) => count({ hiss: step(6, 3, db), thd });
    expect([0.99, 1.01, -0.99, -1.01].map((share) => parted(share * edge))).toStrictEqual([
      0, 1, 0, 1,
    ]);
  });

  it("asks for it of a reading with another practical floor", () => {
    // a floor of 1 dB: a scatter of a quarter is granted, and D = 5 needs 0.88 dB
    const parted = (db: number) => count({ headroom: step(6, 3, db), thd });
    const edge = 5 / (4 * Math.SQRT2);
    expect([0.99, 1.01].map((share) => parted(share * edge))).toStrictEqual([0, 1]);
  });

  it.each([
    [0.5, 0.5],
    [0.5, 0.1],
    [0.1, 0.5],
  ])("takes the scatter of both sides into account: %d and %d dB", (low, high) => {
    // Qn of −s, 0, s is 2.2219 · 0.994 · s (Rousseeuw & Croux, 1993)
    const [qnLow, qnHigh] = [low, high].map((s) => 2.2219 * 0.994 * s);
    const edge = 5 * Math.sqrt((qnLow ** 2 + qnHigh ** 2 + (hissFloor / 4) ** 2) / 2);
    const parted = (apart: number) =>
      count({
        hiss: [-1, 0, 1].map((k) => k * low).concat([-1, 0, 1].map((k) => apart + k * high)),
        thd,
      });
    expect([parted(0.99 * edge), parted(1.01 * edge)]).toStrictEqual([0, 1]);
  });

  it("takes a difference of more than four practical floors for an ailment", () => {
    const parted = (floors: number) => count({ hiss: step(6, 3, floors * hissFloor), thd });
    expect([3.99, 4, 4.01].map(parted)).toStrictEqual([1, 1, 0]);
  });

  it("compares corners by their ratio: from 0.35 octaves to 1.6", () => {
    const edge = (5 / (4 * Math.SQRT2)) * 0.4;
    const parted = (octaves: number) =>
      count({ cornerLow: step(6, 3, octaves).map((log) => 2 ** (log + 92)), thd });
    expect([0.98 * edge, 1.02 * edge, 1.59, 1.61].map(parted)).toStrictEqual([0, 1, 1, 0]);
  });

  it("asks for a share of the paths, not for three alone", () => {
    // Three of 28: a cut at a quarter has four of the others above it, and no distance.
    const parted = (more: number) =>
      count({ hiss: step(28, 28 - more, 4), thd: step(28, 28 - more, 2 * thdFloor) });
    expect([3, 7].map(parted)).toStrictEqual([0, 1]);
  });

  it("counts readings that hang on one another as one", () => {
    const parted = (ids: readonly string[]) =>
      count(Object.fromEntries(ids.map((id) => [id, step(6, 3, 4.5)])));
    expect(parted(["hiss", "noiseA"])).toBe(0);
    expect(parted(["thd", "imd"])).toBe(0);
    expect(parted(["hiss"])).toBe(0);
    expect(parted(["noiseA", "imd"])).toBe(1);
    expect(parted(["hiss", "hum"])).toBe(0);
  });

  it("lays readings over one another that move in opposite ways", () => {
    const all = paths({
      hiss: step(6, 3, -4),
      thd: step(6, 3, 2 * thdFloor),
      headroom: step(6, 3, -2),
    });
    const [found] = findBatches(all);
    expect(found.members).toStrictEqual([
      all.slice(0, 3).map(({ path }) => path),
      all.slice(3).map(({ path }) => path),
    ]);
    expect(found.differ).toHaveLength(3);
  });

  it("gives each path its batch as its family, and leaves others alone", () => {
    const named = ["1/mic", "2/mic", "3/mic", "9/mic"].map((path) => ({ path, family: "mic" }));
    const other = { path: "1/line", family: "line" };
    const members = [["1/mic", "3/mic"], ["2/mic"]] as const;
    const applied = applyBatches([...named, other], [{ family: "mic", members, differ: [] }]);
    expect(applied).toStrictEqual([
      { path: "1/mic", family: "mic, batch A" },
      { path: "2/mic", family: "mic, batch B" },
      { path: "3/mic", family: "mic, batch A" },
      { path: "9/mic", family: "mic" },
      other,
    ]);
    // Each family has its own, whichever comes first.
    const lines = { family: "line", members: [["2/line"], ["1/line"]], differ: [] } as const;
    const mics = { family: "mic", members, differ: [] };
    for (const all of [
      [mics, lines],
      [lines, mics],
    ]) {
      const families = applyBatches([...named, other], all).map(({ family: own }) => own);
      expect(families.at(-1)).toBe("line, batch B");
      expect(families[1]).toBe("mic, batch B");
    }
  });
});

describe("two batches of a family", () => {
  /** Values of a reading by path; undefined where a path lacks it. */
  type Columns = Readonly<Record<string, readonly (number | undefined)[]>>;
  const desk = (columns: Columns) => {
    const [first] = Object.values(columns);
    return family(
      first.map((_, k) =>
        measurement(
          Object.fromEntries(
            Object.entries(columns).flatMap(([id, own]) => {
              const value = own[k];
              return value === undefined ? [] : [[id, reading(value)]];
            }),
          ),
        ),
      ),
    );
  };
  const found = (columns: Columns) => {
    const paths = desk(columns);
    const place = new Map(paths.map(({ path }, k) => [path, k + 1]));
    return findBatches(paths).map(({ members, differ }) => ({
      members: members.map((own) => own.map((path) => place.get(path))),
      differ,
    }));
  };
  /** Ten paths of which some are higher by four decibels of hiss, eight of distortion. */
  const higher = (ten: readonly number[], by: number) =>
    Array.from({ length: 10 }, (_, k) => -90 + (ten.includes(k + 1) ? by : 0));
  const five = [6, 7, 8, 9, 10];
  const halves = [
    [1, 2, 3, 4, 5],
    [6, 7, 8, 9, 10],
  ];

  it("stand in the order of the paths, the first path's before the other", () => {
    const both = [{ members: halves, differ: ["thd", "hiss"] }];
    expect(found({ hiss: higher(five, 4), thd: higher(five, 8) })).toStrictEqual(both);
    expect(
      found({ hiss: higher([1, 2, 3, 4, 5], 4), thd: higher([1, 2, 3, 4, 5], 8) }),
    ).toStrictEqual(both);
    // One that is lower where the other is higher parts it alike.
    expect(found({ hiss: higher(five, -4), thd: higher(five, 8) })).toStrictEqual(both);
    expect(found({ hiss: higher(five, 4), thd: higher(five, -8) })).toStrictEqual(both);
  });

  it("are those that most readings put a path in", () => {
    // By hiss path 5 is of the second batch; distortion, headroom and the corner say the first.
    const odd = [5, ...five];
    const told = found({
      thd: higher(five, 8),
      hiss: higher(odd, 4),
      headroom: higher(five, -2),
      cornerHigh: Array.from({ length: 10 }, (_, k) => (k < 5 ? 1e4 : 2e4)),
    });
    expect(told.map(({ members }) => members)).toStrictEqual([halves]);
    expect(told[0].differ).toHaveLength(4);
  });

  it("take a path by the readings that it has", () => {
    const hiss = higher(five, 4).map((db, k) => (k === 9 ? undefined : db));
    expect(found({ thd: higher(five, 8), hiss })[0].members).toStrictEqual(halves);
    const thd = higher(five, 8).map((db, k) => (k === 9 ? undefined : db));
    expect(found({ thd, hiss: higher(five, 4) })[0].members).toStrictEqual(halves);
  });

  it("agree on 85 in a hundred paths or more", () => {
    // One of ten and two of ten on the other side.
    expect(found({ thd: higher(five, 8), hiss: higher([5, ...five], 4) })).toHaveLength(1);
    expect(found({ thd: higher(five, 8), hiss: higher([4, 5, ...five], 4) })).toStrictEqual([]);
    expect(found({ thd: higher(five, 8), hiss: higher([5, ...five], -4) })).toHaveLength(1);
    expect(found({ thd: higher(five, 8), hiss: higher([4, 5, ...five], -4) })).toStrictEqual([]);
  });

  it("are parted where they lie farthest apart, a quarter of the paths on either side", () => {
    const quarter = Array.from({ length: 12 }, (_, k) => (k < 9 ? 0 : 1));
    const told = found({
      hiss: quarter.map((one) => -90 + 4 * one),
      thd: quarter.map((one) => -90 + 8 * one),
    });
    expect(told[0].members).toStrictEqual([
      [1, 2, 3, 4, 5, 6, 7, 8, 9],
      [10, 11, 12],
    ]);
  });

  it("are not looked for by paths with a fault: five practical floors off the middle", () => {
    // Seven paths at −90 dB, of which four are a batch; so many floors of 2 dB more on the last two.
    const of = (off: number) => {
      const hiss = [-90, -90, -90, -86, -86, -86, -90 + off, -90 + off];
      const thd = [-90, -90, -90, -82, -82, -82, -82, -82];
      return found({ hiss, thd });
    };
    // Beyond, the others are six, three and three.
    expect(of(4).map(({ members }) => members)).toStrictEqual([
      [
        [1, 2, 3],
        [4, 5, 6, 7, 8],
      ],
    ]);
    expect(of(60).map(({ members }) => members)).toStrictEqual([
      [
        [1, 2, 3],
        [4, 5, 6, 7, 8],
      ],
    ]);
    // Of fewer than six sound ones nothing is looked for.
    expect(
      found({
        hiss: [-90, -90, -90, -86, -86, -30, -30],
        thd: [-90, -90, -90, -82, -82, -82, -82],
      }),
    ).toStrictEqual([]);
  });
  it("are found beside as many paths with a fault as the smaller batch has", () => {
    // Three of twelve are 60 dB off: with them the upper six would have no middle near the batch.
    const of = (batch: number, fault: number) =>
      [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11].map((k) => -90 + (k < 6 ? 0 : k < 9 ? batch : fault));
    expect(found({ hiss: of(4, 60), thd: of(8, 70) }).map(({ members }) => members)).toStrictEqual([
      [
        [1, 2, 3, 4, 5, 6],
        [7, 8, 9, 10, 11, 12],
      ],
    ]);
  });

  it("may lie nearly four practical floors apart, and are no faults for it", () => {
    const of = (apart: number) => [0, 0, 0, 0, 0, 0, 1, 1, 1].map((one) => -90 + one * apart);
    expect(found({ hiss: of(7.8), thd: of(15.6) })).toHaveLength(1);
  });

  it("are looked for by paths whose corner alone is far off: it is no fault", () => {
    const of = (apart: number) => [0, 0, 0, 1, 1, 1].map((one) => -90 + one * apart);
    const cornerLow = [4, 4, 4, 4, 4, 64];
    expect(found({ hiss: of(4), thd: of(8), cornerLow })).toHaveLength(1);
  });

  it("are split where the crowds are cleanest, be that the first place to cut or the last", () => {
    // Hiss in three heaps of three, three and six: D is largest between the last two or the first two.
    const last = [...Array(6).fill(-90), ...Array(3).fill(-85.6), ...Array(3).fill(-84)];
    const first = [...Array(3).fill(-90), ...Array(3).fill(-88.4), ...Array(6).fill(-84)];
    const bySix = (own: readonly number[]) => {
      const thd = own.map((_, k) => (k < 6 ? -90 : -82));
      return found({ hiss: own, thd }).map(({ members }) => members);
    };
    const six = [
      [1, 2, 3, 4, 5, 6],
      [7, 8, 9, 10, 11, 12],
    ];
    expect(bySix(last)).toStrictEqual([six]);
    expect(bySix(first)).toStrictEqual([six]);
  });

  it("are those of the way to split in which most readings agree", () => {
    const low = [1, 2, 3, 4, 5].map((k) => k * 2);
    const tell = (three: readonly number[], two: readonly number[]) =>
      found({
        gain: higher(two, 2),
        thd: higher(three, 8),
        hiss: higher(three, 4),
        headroom: higher(three, 3),
        cornerLow: higher(two, 0).map((_, k) => (two.includes(k + 1) ? 4 : 8)),
      }).map(({ members }) => members[1]);
    expect(tell(five, low)).toStrictEqual([five]);
    expect(tell(low, five)).toStrictEqual([low]);
    // Here the readings that two ways share come first in the registry, there last.
    const turned = found({
      gain: higher(five, 2),
      thd: higher(low, 8),
      hiss: higher(low, 4),
      headroom: higher(five, 3),
      cornerHigh: higher(five, 0).map((_, k) => (k < 5 ? 1e4 : 2e4)),
    });
    expect(turned.map(({ members }) => members[1])).toStrictEqual([five]);
  });

  it("hold a path that as many readings put in either with the lower ones of the first reading", () => {
    // Of thd and hiss one has path 5 or 6 on the other side.
    const told = (hiss: readonly number[]) =>
      found({ thd: higher(five, 8), hiss: higher(hiss, 4) })[0].members;
    expect(told([5, ...five])).toStrictEqual(halves);
    expect(told([7, 8, 9, 10])).toStrictEqual([
      [1, 2, 3, 4, 5, 6],
      [7, 8, 9, 10],
    ]);
  });

  it("are told by a reading that runs the other way on all paths but one", () => {
    const told = found({
      thd: higher(five, 8),
      hiss: higher([5, ...five], -4),
      headroom: higher(five, -2),
    });
    expect(told.map(({ members }) => members)).toStrictEqual([halves]);
  });

  it("are compared by the paths that two readings have in common", () => {
    // Paths 1 to 3 are low in both, 4 to 6 high in both; seven others have only hiss, seven only distortion.
    const of = (db: number, has: (path: number) => boolean) =>
      Array.from({ length: 20 }, (_, k) => (has(k + 1) ? (k < 3 ? -90 : -90 + db) : undefined));
    const told = found({ hiss: of(4, (path) => path <= 13), thd: of(8, (p) => p <= 6 || p > 13) });
    expect(told.map(({ members }) => members)).toStrictEqual([
      [
        [1, 2, 3],
        [4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20],
      ],
    ]);
  });

  it("are looked for without the paths that are far off, which would blur them", () => {
    // Six, three that are 4 dB higher within 0.3 dB, and three beyond 60 dB: with these in the upper crowd
    // its scatter is as large as what parts it from the lower.
    const hiss = [0, 0, 0, 0, 0, 0, 3.7, 4, 4.3, 60, 70, 80].map((db) => db - 90);
    const thd = [0, 0, 0, 0, 0, 0, 8, 8, 8, 8, 8, 8].map((db) => db - 90);
    expect(found({ hiss, thd }).map(({ members }) => members)).toStrictEqual([
      [
        [1, 2, 3, 4, 5, 6],
        [7, 8, 9, 10, 11, 12],
      ],
    ]);
  });

  it("need three sound paths each: sound within five practical floors of the middle", () => {
    const thd = [0, 0, 0, 8, 8, 8].map((db) => db - 90);
    const hiss = [0, 0, 0, 4, 4, 4].map((db) => db - 90);
    // Headroom has a floor of 1 dB; the sixth path is so far off the others, of six or of three.
    const withSixth = (off: number, others: readonly (number | undefined)[]) =>
      found({ hiss, thd, headroom: [...others, off] }).length;
    expect([4.99, 5, 5.01, -5, -5.01].map((off) => withSixth(off, [0, 0, 0, 0, 0]))).toStrictEqual([
      1, 1, 0, 1, 0,
    ]);
    const [none] = [undefined];
    expect(withSixth(50, [none, none, none, 0, 0])).toBe(0);
    // Two have no middle.
    expect(withSixth(50, [none, none, none, none, 0])).toBe(1);
  });
});
