import { describe, expect, it } from "vitest";
import { separateShared } from "../../../src/rank/shared/separate-shared.js";
import type { NamedPart, PlacedInput } from "../../../src/rank/shared/types.js";
import {
  addPowers,
  type Change,
  createDeviates,
  drawDesk,
  stripNames,
} from "../../helpers/shared-desk.js";

// Readings are drawn with known shifts added to them, so that what is shared, how large it is and
// what is left of each path are known beforehand; powers are added as powers.

const feed: NamedPart = { kind: "supply", name: "supply feed 2", strips: ["5", "6", "7", "8"] };
const ribbon: NamedPart = { kind: "ribbon", name: "ribbon 2", strips: ["5", "6", "7"] };
const group: NamedPart = { kind: "group", name: "group 1", strips: stripNames(6) };
const parts = [feed, ribbon, group];

const named = (paths: readonly PlacedInput[], known = parts) =>
  separateShared(paths, { strips: stripNames(12), parts: known });

const readingOf = (paths: readonly PlacedInput[], path: string, id: string) =>
  paths.find((one) => one.path === path)?.measurement?.readings[id];

const inFeed = (strip: number) => strip >= 5 && strip <= 8;
const ripple: Change = ({ strip }): Record<string, number> =>
  inFeed(strip) ? { humEven: 30, noise: 8 } : {};

describe("separateShared", () => {
  it("finds nothing in common on healthy desks, whether parts are named or not", () => {
    let said = 0;
    for (let seed = 0; seed < 150; seed++) {
      const paths = drawDesk(seed, 12, ["mic", "line"]);
      said += named(paths).faults.length + named(paths, []).faults.length;
    }
    expect(said).toBe(0);
  });

  it("takes the worst strips of a desk that scatters widely for no batch, on all inputs alike", () => {
    // Stages that the inputs share distort by 4 dB more or less, one standard deviation: of one kind.
    // Some desks of twelve do look like two: one in ten is allowed.
    let said = 0;
    for (let seed = 0; seed < 100; seed++) {
      const deviate = createDeviates(1000 + seed);
      const own = stripNames(12).map(() => 4 * deviate());
      const wide: Change = ({ strip }) => ({ thd: own[strip - 1], thdHot: own[strip - 1] });
      said += Math.min(1, named(drawDesk(seed, 12, ["mic", "line"], wide), []).faults.length);
    }
    expect(said).toBeLessThanOrEqual(10);
  });

  it("takes four of them that distort by far more for a batch all the same", () => {
    let found = 0;
    for (let seed = 0; seed < 25; seed++) {
      const deviate = createDeviates(1000 + seed);
      const own = stripNames(12).map(() => 2 * deviate());
      const change: Change = ({ strip }) => {
        const more = own[strip - 1] + ([2, 5, 6, 11].includes(strip) ? 20 : 0);
        return { thd: more, thdHot: more };
      };
      const [fault] = named(drawDesk(seed, 12, ["mic", "line"], change), []).faults;
      if (fault?.part.strips?.join() === "2,5,6,11") found++;
    }
    expect(found).toBeGreaterThanOrEqual(24);
  });

  it("finds nothing in common where strips have faults of their own, two of them neighbours", () => {
    let said = 0;
    for (let seed = 0; seed < 60; seed++) {
      const paths = drawDesk(
        seed,
        12,
        ["mic", "line"],
        ({ strip, input }): Record<string, number> => {
          if (strip === 5 && input === "mic") return { hiss: 22, noise: 22 };
          if (strip === 6) return { humEven: 25, noise: 6 };
          if (strip === 7 && input === "line") return { gain: -6, level: -6 };
          return {};
        },
      );
      said += named(paths).faults.length;
    }
    expect(said).toBe(0);
  });

  it("takes no strips between two odd ones at the ends of the desk for a bank", () => {
    const ends: Change = ({ strip }): Record<string, number> =>
      strip === 1 || strip === 12 ? { gain: 5.4, level: 5.4 } : {};
    for (let seed = 0; seed < 20; seed++) {
      expect(named(drawDesk(seed, 12, ["mic", "line"], ends), []).faults).toStrictEqual([]);
    }
  });

  it("names a supply feed by the ripple of its strips, and how large that is", () => {
    const { faults } = named(drawDesk(1, 12, ["mic", "line"], ripple));
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatchObject({ part: feed, aspect: "hum-even", against: "siblings" });
    expect(faults[0].paths).toHaveLength(8);
    // the shift that was added, within the error of two medians of 4 and 8 values of 2 dB deviation
    expect(faults[0].findings[0]).toMatchObject({ reading: "humEven" });
    expect(Math.abs(faults[0].findings[0].deviation - 30)).toBeLessThan(4);
  });

  it("calls strips neighbours where the desk file names no part", () => {
    const { faults } = named(drawDesk(2, 12, ["mic", "line"], ripple), []);
    expect(faults[0].part).toStrictEqual({ kind: "bank", strips: feed.strips });
  });

  it("takes a strip with a fault of its own for one of the neighbours about it", () => {
    // Strips 1 to 6 are of another make that distorts by 9 dB more; on one of its inputs strip 3 has lost half
    // of its level, and the noise hides its distortion: as clean as the others, for all that can be read.
    const other: Change = ({ strip, input }): Record<string, number> => {
      if (strip === 3 && input === "mic") return { gain: -6, level: -6, thd: 0, thdHot: 0 };
      return strip <= 6 ? { thd: 9, thdHot: 9 } : {};
    };
    for (let seed = 0; seed < 20; seed++) {
      const [fault] = named(drawDesk(seed, 12, ["mic", "line"], other), []).faults;
      expect(fault.part.strips).toStrictEqual(stripNames(6));
    }
  });

  it("leaves a path under the shared ripple its own fault, and hides what nobody can tell", () => {
    const paths = drawDesk(3, 12, ["mic", "line"], (path) => ({
      ...ripple(path),
      ...(path.strip === 6 && path.input === "line" ? { thdHot: 40 } : {}),
    }));
    const { inputs } = named(paths);
    expect(readingOf(inputs, "6/line", "thdHot")?.value).toBeCloseTo(
      readingOf(paths, "6/line", "thdHot")?.value ?? 0,
      0,
    );
    expect(readingOf(inputs, "5/line", "humEven")).toBeUndefined();
    expect(readingOf(inputs, "9/line", "humEven")).toStrictEqual(
      readingOf(paths, "9/line", "humEven"),
    );
  });

  it("takes shared noise off as power: a noisier path keeps its own noise", () => {
    // a group adds −84 to every path of its strips; 3/line makes −82 by itself
    const paths = drawDesk(4, 12, ["mic", "line"], ({ strip, input }): Record<string, number> => {
      if (strip > 6) return {};
      const quiet = input === "mic" ? -98 : -104;
      const own = strip === 3 && input === "line" ? -82 : quiet;
      return { hiss: addPowers(own, -84) - quiet, noise: addPowers(own, -84) - quiet };
    });
    const { faults, inputs } = named(paths);
    expect(faults[0]).toMatchObject({ part: group, aspect: "noise" });
    const left = readingOf(inputs, "3/line", "hiss");
    // the drawn scatter of 0.4 dB is of the sum: of what is left it is 0.4 · P_sum/P_own, here 1.6
    // times that, at 95 % twice it
    expect(left && Math.abs(left.value + 82)).toBeLessThan(1.3);
    expect(readingOf(inputs, "2/line", "hiss")).toBeUndefined();
  });

  it("takes a shared loss of level off and leaves what a path has lost beside it", () => {
    const paths = drawDesk(5, 12, ["mic", "line"], ({ strip, input }) => {
      const lost = strip >= 5 && strip <= 7 ? -4 : 0;
      const own = strip === 6 && input === "mic" ? -5 : 0;
      return { gain: lost + own, level: lost + own };
    });
    const { faults, inputs } = named(paths);
    expect(faults.map(({ part }) => part)).toStrictEqual([ribbon]);
    expect(readingOf(inputs, "6/mic", "gain")?.value).toBeCloseTo(-5, 0);
    expect(readingOf(inputs, "5/mic", "gain")?.value).toBeCloseTo(0, 0);
  });

  it("sees half a desk that distorts 18 dB more as one fault and the other half as sound", () => {
    const paths = drawDesk(6, 12, ["mic", "line"], ({ strip, input }): Record<string, number> => {
      // unequal on the inputs: it is made in the strips, not in a group
      const more = input === "mic" ? 18 : 26;
      return strip > 6 ? { thd: more, thdHot: more } : {};
    });
    const { faults } = named(paths, []);
    expect(faults).toHaveLength(1);
    expect(faults[0].part).toStrictEqual({
      kind: "bank",
      strips: ["7", "8", "9", "10", "11", "12"],
    });
  });

  it("sees some strips of one input that distort 14 dB more, to be watched where they are many", () => {
    const bent = (strips: readonly number[]) =>
      drawDesk(
        14,
        12,
        ["line"],
        ({ strip }): Record<string, number> =>
          strips.includes(strip) ? { thd: 14, thdHot: 14 } : {},
      );
    const half = named(bent([1, 2, 3, 4, 5, 6]), []).faults;
    expect(half).toMatchObject([{ part: { strips: stripNames(6) }, severity: "watch" }]);
    const some = named(bent([3, 7, 8, 12]), []).faults;
    expect(some).toMatchObject([{ part: { strips: ["3", "7", "8", "12"] }, severity: "service" }]);
    // Most of them: the others are of a better make.
    expect(named(bent([1, 2, 3, 4, 5, 6, 7, 8]), []).faults).toStrictEqual([]);
  });

  it("wants a loss served from one and a half floors of a level on, 1.8 dB", () => {
    const losing = (db: number) =>
      named(
        drawDesk(
          1,
          12,
          ["mic", "line"],
          ({ strip }): Record<string, number> =>
            strip >= 5 && strip <= 7 ? { gain: -db, level: -db } : {},
        ),
      ).faults;
    expect(losing(1.5)).toMatchObject([{ part: ribbon, aspect: "level", severity: "watch" }]);
    expect(losing(2.1)).toMatchObject([{ part: ribbon, aspect: "level", severity: "service" }]);
  });

  it("calls strips dead that lost all level, and not distorting for what stays behind", () => {
    const paths = drawDesk(
      15,
      12,
      ["mic", "line"],
      ({ strip }): Record<string, number> =>
        inFeed(strip) ? { gain: -75, level: -75, thd: 40, thdHot: 20 } : {},
    );
    const { faults } = named(paths, []);
    expect(faults).toMatchObject([{ aspect: "dead", part: { strips: ["5", "6", "7", "8"] } }]);
    expect(faults[0].findings[0]).toMatchObject({ reading: "gain" });
  });

  it("leaves two makes of strips alone: a small difference in several aspects", () => {
    const paths = drawDesk(
      7,
      12,
      ["mic", "line"],
      ({ strip }): Record<string, number> =>
        strip > 6 ? { thd: 9, thdHot: 9, hiss: 4, noise: 4 } : {},
    );
    expect(named(paths, []).faults).toStrictEqual([]);
  });

  it("sees a level that was touched in the midst of a round by the order of recording", () => {
    const paths = drawDesk(8, 12, ["mic", "line"], ({ strip, input }): Record<string, number> => {
      const lost = input === "line" || strip > 7 ? -4 : 0;
      return { gain: lost, level: lost, hiss: lost, noise: lost, humOdd: lost, humEven: lost };
    });
    const { faults, inputs } = named(paths);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatchObject({ part: { kind: "level" }, aspect: "level" });
    expect(faults[0].paths[0]).toBe("8/mic");
    expect(faults[0].paths).toHaveLength(17);
    expect(readingOf(inputs, "9/mic", "gain")?.value).toBeCloseTo(0, 0);
    expect(readingOf(inputs, "9/line", "gain")?.value).toBeCloseTo(0, 0);
  });

  it("sees hum that falls off along the desk as a field, not as a part", () => {
    let said = 0;
    for (let seed = 0; seed < 40; seed++) {
      const paths = drawDesk(seed, 24, ["mic", "line"], ({ strip }) => ({
        humOdd: 20 * Math.log10(1 + 2 * ((strip - 1) / 23) ** 2),
      }));
      said += separateShared(paths, { strips: stripNames(24), parts: [] }).faults.length;
    }
    expect(said).toBe(0);
  });

  it("names what is silent on a whole ribbon once, and says nothing about its strips", () => {
    const paths = drawDesk(9, 12, ["mic", "line"]).map((one): PlacedInput => {
      if (!ribbon.strips.includes(one.strip)) return one;
      const { measurement: _, ...rest } = one;
      return { ...rest, unheard: { code: "silence", peakDbfs: -90 } };
    });
    const { faults, inputs } = named(paths);
    expect(faults[0]).toMatchObject({ part: ribbon, aspect: "dead" });
    expect(inputs.some(({ unheard }) => unheard !== undefined)).toBe(false);
  });

  it("takes loud sound in place of the signal for no dead part, however many strips have it", () => {
    const loud = { levelDbfs: -2, crestDb: 3, clippedShare: 0 };
    const paths = drawDesk(9, 12, ["mic", "line"]).map((one): PlacedInput => {
      if (!ribbon.strips.includes(one.strip)) return one;
      const { measurement: _, ...rest } = one;
      return { ...rest, unheard: { code: "silence", peakDbfs: -2 }, loud };
    });
    const { faults, inputs } = named(paths);
    expect(faults).toStrictEqual([]);
    expect(inputs.filter(({ unheard }) => unheard !== undefined)).toHaveLength(
      2 * ribbon.strips.length,
    );
  });

  it("looks for five at most, and counts another make among them", () => {
    const strips = stripNames(28);
    // Six ribbons of three strips each, each with a fault of another kind, and ten other strips
    // of another make, which hiss and distort by a little more.
    const changes: readonly Readonly<Record<string, number>>[] = [
      { gain: -6, level: -6 },
      { humOdd: 40 },
      { hiss: 25, noise: 25 },
      { humEven: 45 },
      { gain: -20, level: -20 },
      { thd: 40, thdHot: 40 },
    ];
    const ribbons = changes.map(
      (_, k): NamedPart => ({
        kind: "ribbon",
        name: `ribbon ${k}`,
        strips: [3 * k + 1, 3 * k + 2, 3 * k + 3].map(String),
      }),
    );
    const ofStrip = (strip: number) =>
      changes[ribbons.findIndex((one) => one.strips.includes(`${strip}`))] ?? {};
    const make = { thd: 9, thdHot: 9, hiss: 4, noise: 4 };
    const made: Change = ({ strip }) => (strip > 18 ? make : ofStrip(strip));
    const desk = drawDesk(1, 28, ["mic"], made);
    expect(separateShared(desk, { strips, parts: ribbons }).faults).toHaveLength(4);
  });
});
