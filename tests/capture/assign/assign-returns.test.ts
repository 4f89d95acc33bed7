import { describe, expect, it } from "vitest";
import {
  type AssignmentResult,
  type AssignOptions,
  assignReturns,
  parseMap,
} from "../../../src/capture/assign/assign-returns.js";
import type { MissingPart, SignalReturn, SignalSpan } from "../../../src/capture/types.js";
import { DeskroundError } from "../../../src/errors.js";
import { formatDoubt } from "../../../src/report/doubts/format-doubt.js";
import { desk, numbered, quickS, returnAt, returnsIn } from "../desks.js";
import { thrownBy } from "../wav-bytes.js";

const paths = desk(numbered(3), ["mic", "line"]);
const order = paths.map(({ path }) => path);

/** Which return each path got; of several the one that counts. */
function byPath(assigned: AssignmentResult): Record<string, SignalReturn> {
  return Object.fromEntries(assigned.assignments.map((a) => [a.path, a.return]));
}

function pathsOf(assigned: AssignmentResult): string[] {
  return assigned.assignments.map(({ path }) => path);
}

function refused(returns: readonly SignalReturn[], options: AssignOptions = {}): DeskroundError {
  const error = thrownBy(() => assignReturns(returns, paths, options));
  expect(error).toBeInstanceOf(DeskroundError);
  expect(error).toMatchObject({ code: "usage" });
  return error as DeskroundError;
}

const mapped = (text: string): AssignOptions => ({ map: parseMap(text, "--map", paths) });

describe("many returns in a file named for one path", () => {
  const large = desk(numbered(6), ["mic", "line"]);
  const assign = (file: string, count: number) => assignReturns(returnsIn(file, count), large);

  it("are a list, and no takes, where they are as many as the input has strips", () => {
    for (const count of [6, 12]) {
      const error = thrownBy(() => assign("mic2.wav", count)) as DeskroundError;
      expect(error.message).toContain(`mic2.wav holds ${count} returns, as many as`);
      expect(error.hint).toContain("Name it for what it holds (mic.wav), or say so with --map");
    }
  });

  it("are takes where they are other numbers", () => {
    for (const count of [2, 3, 5])
      expect(new Set(pathsOf(assign("mic2.wav", count)))).toEqual(new Set(["2/mic"]));
  });
});

describe("by the run sheet's order", () => {
  it("every return gets the next path, file after file", () => {
    const returns = [...returnsIn("a.wav", 4), ...returnsIn("b.wav", 2)];
    const assigned = assignReturns(returns, paths);
    expect(assigned.assignments).toEqual(
      order.map((path, k) => ({ path, return: returns[k], by: "order" })),
    );
    expect(assigned).toMatchObject({ unassigned: [], missing: [], doubts: [] });
  });

  it("paths without a return are missing, with a word about the order", () => {
    const assigned = assignReturns(returnsIn("a.wav", 4), paths);
    expect(assigned.missing).toEqual(["2/line", "3/line"]);
    expect(assigned.doubts.map(formatDoubt)).toEqual([
      expect.stringMatching(/4 returns for 6 paths; .*2\/line to 3\/line without.*--silent/),
    ]);
  });

  it("returns without a path are left over, and said to be", () => {
    const returns = returnsIn("a.wav", 8);
    const assigned = assignReturns(returns, paths);
    expect(pathsOf(assigned)).toEqual(order);
    expect(assigned.unassigned).toEqual(returns.slice(6));
    expect(assigned.doubts.map(formatDoubt)).toEqual([
      expect.stringMatching(/8 returns for 6 paths; the last 2 were left out.*--map/),
    ]);
  });

  it("returns twice as many as the paths are two takes of the whole run sheet", () => {
    const returns = [...returnsIn("a.wav", 6), ...returnsIn("b.wav", 6)];
    const assigned = assignReturns(returns, paths);
    expect(pathsOf(assigned)).toEqual([...order, ...order]);
    expect(assigned.assignments.map((a) => a.return)).toEqual(returns);
    expect(assigned).toMatchObject({ unassigned: [], missing: [] });
    expect(assigned.doubts.map(formatDoubt)).toEqual([
      expect.stringMatching(/12 returns for 6 paths; taken as 2 takes of each.*--map/),
    ]);
  });

  it("where as many paths follow on the run sheet, that other reading is offered ready-made", () => {
    const assigned = assignReturns(returnsIn("mic.wav", 6), paths);
    const [doubt] = assigned.doubts.map(formatDoubt);
    expect(doubt).toMatch(/If they are 1\/mic to 3\/line .*, add: --map 1-3\/mic,1-3\/line$/);
    const other = assignReturns(returnsIn("mic.wav", 6), paths, mapped("1-3/mic,1-3/line"));
    expect(pathsOf(other)).toEqual(order);
    // Lines come last: no more paths follow on the sheet.
    const lines = assignReturns(returnsIn("line.wav", 6), paths).doubts.map(formatDoubt);
    expect(lines[0]).not.toContain("add:");
  });

  it("so they are three times over, for one input alone, and without the silent paths", () => {
    const mics = assignReturns(returnsIn("mic.wav", 9), paths);
    expect(pathsOf(mics)).toEqual([1, 2, 3].flatMap(() => ["1/mic", "2/mic", "3/mic"]));
    const heard = assignReturns(returnsIn("a.wav", 10), paths, { skipped: ["3/mic"] });
    const five = order.filter((path) => path !== "3/mic");
    expect(pathsOf(heard)).toEqual([...five, ...five]);
  });

  it("several returns for the one path that is left are not takes of it", () => {
    const named = order.slice(0, 5).map((path) => returnAt(`${path.replace("/", "-")}.wav`, 1));
    const assigned = assignReturns([...named, ...returnsIn("rest.wav", 3)], paths);
    expect(assigned.unassigned).toHaveLength(2);
  });

  it("silent paths are left out of the order and are not missing", () => {
    const assigned = assignReturns(returnsIn("a.wav", 5), paths, { skipped: ["2/MIC"] });
    expect(pathsOf(assigned)).toEqual(order.filter((path) => path !== "2/mic"));
    expect(assigned).toMatchObject({ missing: [], doubts: [] });
  });

  it("a silent path that the desk has not is refused with the nearest", () => {
    const error = refused(returnsIn("a.wav", 5), { skipped: ["2/mick"] });
    expect(`${error.message} ${error.hint}`).toMatch(/2\/mick.*2\/mic/);
  });

  it("returns side by side go by channel, those one after the other by time", () => {
    const first = [
      returnAt("a.wav", 1.001, 0),
      returnAt("a.wav", 1, 1),
      returnAt("a.wav", 1.002, 2),
    ];
    const second = [
      returnAt("a.wav", 30, 1),
      returnAt("a.wav", 30.1, 2),
      returnAt("a.wav", 30.2, 0),
    ];
    const assigned = assignReturns([...second, ...first], paths);
    const channels = assigned.assignments.map((a) => a.return.channel);
    expect(channels).toEqual([0, 1, 2, 0, 1, 2]);
    expect(assigned.assignments[3].return.startSample).toBeGreaterThan(10 * 48_000);
  });

  it("no returns leave every path missing", () => {
    expect(assignReturns([], paths)).toEqual({
      assignments: [],
      unassigned: [],
      missing: order,
      inTurn: [],
      doubts: [],
    });
  });

  it("matters for files that share a list of paths, not for those of one path", () => {
    const files = ["b.wav", "2-mic.wav", "line 2031.wav", "a.wav"];
    const assigned = assignReturns(
      files.map((file) => returnAt(file, 1)),
      paths,
    );
    expect([...assigned.inTurn].sort()).toEqual([["b.wav", "a.wav"], ["line 2031.wav"]]);
  });
});

describe("returns that are not whole", () => {
  const part = (one: SignalReturn, missing: MissingPart): SignalSpan => ({ ...one, missing });
  const [a, b, c, d, e, f] = returnsIn("a.wav", 6);
  const placesOf = (returns: readonly SignalSpan[]) =>
    assignReturns(returns, paths).assignments.map((x) => [x.path, x.return.startSample]);

  it("keep their place, so that those after them go to their own paths", () => {
    const cut = part(a, "start");
    const rest = [b, c, d, e];
    expect(placesOf([cut, ...rest]).map(([path]) => path)).toEqual(order.slice(0, 5));
    const middle = [a, part(b, "middle"), c, d, e];
    expect(placesOf(middle)[2]).toEqual(["3/mic", c.startSample]);
  });

  it("have none where the whole ones are as many as the paths", () => {
    const again = { ...b, startSample: b.startSample - 1000 };
    const returns = [a, part(again, "end"), b, c, d, e, f];
    expect(placesOf(returns)[1]).toEqual(["2/mic", b.startSample]);
  });

  it("without their end were broken off and made again, where another one follows", () => {
    expect(placesOf([a, part(b, "end"), c, d])[1]).toEqual(["2/mic", c.startSample]);
    expect(placesOf([a, b, part(c, "end")])).toHaveLength(3);
  });

  it("give way to a whole take of the same path", () => {
    const first = part(returnAt("02-mic.wav", 1), "end");
    const second = returnAt("02-mic take 2.wav", 1);
    expect(assignReturns([second, first], paths).assignments).toEqual([
      { path: "2/mic", return: second, by: "name" },
    ]);
  });

  it("a capture without a return is a path's turn where the others hold one each", () => {
    const files = ["a1.wav", "a2.wav", "a3.wav"].map((file) => returnAt(file, 1));
    const [one, two, three] = files;
    expect(placesOf([one, part(two, "all"), three]).map(([path]) => path)).toEqual(
      order.slice(0, 3),
    );
    const long = [a, b, part(returnAt("room.wav", 0), "all"), returnAt("c.wav", 1)];
    expect(placesOf(long)).toHaveLength(3);
  });
});

describe("by the file's name", () => {
  it("one path, one input of all strips, one strip with all inputs", () => {
    const one = returnsIn("02-line.wav", 1);
    const mics = returnsIn("mic.wav", 3);
    const strip = returnsIn("strip 3.wav", 1);
    const assigned = assignReturns([...mics, ...one], paths);
    expect(byPath(assigned)).toEqual({
      "1/mic": mics[0],
      "2/mic": mics[1],
      "3/mic": mics[2],
      "2/line": one[0],
    });
    expect(assigned.assignments.every(({ by }) => by === "name")).toBe(true);
    expect(assigned.missing).toEqual(["1/line", "3/line"]);
    expect(pathsOf(assignReturns(strip, paths))).toEqual(["3/mic"]);
  });

  it("files of the same name of many paths go on where the one before ended", () => {
    const returns = [...returnsIn("mic part 1.wav", 1), ...returnsIn("mic part 2.wav", 2)];
    expect(pathsOf(assignReturns(returns, paths))).toEqual(["1/mic", "2/mic", "3/mic"]);
  });

  it("files whose names say nothing fill the paths that are left", () => {
    const rest = returnsIn("2026-11-25.wav", 5);
    const assigned = assignReturns([...rest, ...returnsIn("02-mic.wav", 1)], paths);
    expect(assigned).toMatchObject({ missing: [], unassigned: [], doubts: [] });
    expect(byPath(assigned)["3/mic"]).toBe(rest[1]);
  });

  it("a file with a return for each of its paths keeps them all beside a path recorded again", () => {
    for (const [name, count] of [
      ["2026-11-25.wav", 6],
      ["mic.wav", 3],
    ] as const) {
      const whole = returnsIn(name, count);
      const again = returnsIn("02-mic.wav", 1);
      for (const returns of [
        [...whole, ...again],
        [...again, ...whole],
      ]) {
        const assigned = assignReturns(returns, paths);
        expect(byPath(assigned)["2/mic"]).toBe(again[0]);
        expect(byPath(assigned)["3/mic"]).toBe(whole[2]);
        expect(assigned.assignments).toHaveLength(count + 1);
        expect(assigned.unassigned).toEqual([]);
        expect(assigned.doubts.map(formatDoubt)).toEqual([]);
      }
    }
  });

  it("several returns of one path are its takes, the latest last", () => {
    const takes = returnsIn("02-mic.wav", 3);
    const assigned = assignReturns(takes, paths);
    expect(assigned.assignments.map((a) => a.return)).toEqual(takes);
    expect(assigned.doubts.map(formatDoubt)).toEqual([]);
  });

  it("takes go by their numbers, whatever the order of the files", () => {
    const first = returnsIn("02-mic.wav", 1);
    const second = returnsIn("02-mic take 2.wav", 1);
    for (const returns of [
      [...first, ...second],
      [...second, ...first],
    ]) {
      expect(byPath(assignReturns(returns, paths))["2/mic"]).toBe(second[0]);
    }
  });

  it("an unclear name is refused when its file holds a return, and asks for a map", () => {
    const error = refused(returnsIn("1 mic 2.wav", 1));
    expect(error.message).toBe("1 mic 2.wav: its name fits strips 1 and 2.");
    expect(error.hint).toMatch(/--map/);
  });

  it("an unclear name does not matter where a map decides", () => {
    const returns = returnsIn("1 mic 2.wav", 1);
    expect(pathsOf(assignReturns(returns, paths, mapped("2/mic")))).toEqual(["2/mic"]);
    expect(pathsOf(assignReturns(returns, paths, mapped("1 mic 2.wav 1/mic")))).toEqual(["1/mic"]);
  });

  it("a path told silent whose own file holds a return is refused", () => {
    const error = refused(returnsIn("02-mic.wav", 1), { skipped: ["2/mic"] });
    expect(error.message).toMatch(/02-mic\.wav: holds a return, though 2\/mic is named silent/);
  });

  it("a doubt about a name becomes a warning", () => {
    const warnings = assignReturns(returnsIn("mic 88.wav", 3), paths).doubts.map(formatDoubt);
    expect(warnings).toEqual([expect.stringMatching(/^mic 88\.wav: "88" .*not a strip/)]);
  });
});

describe("by a map", () => {
  it("of paths in order, which leaves out what it says", () => {
    const returns = returnsIn("02-mic.wav", 4);
    const assigned = assignReturns(returns, paths, mapped("3/mic,-,1/line,1/mic"));
    expect(assigned.assignments).toEqual([
      { path: "3/mic", return: returns[0], by: "map" },
      { path: "1/line", return: returns[2], by: "map" },
      { path: "1/mic", return: returns[3], by: "map" },
    ]);
    expect(assigned).toMatchObject({
      unassigned: [],
      missing: ["2/mic", "2/line", "3/line"],
      doubts: [],
    });
  });

  it("of files, after which the other files go on by name and order", () => {
    const a = returnsIn("a.wav", 2);
    const rest = returnsIn("rest.wav", 4);
    const assigned = assignReturns(
      [...rest, ...a],
      paths,
      mapped("a.wav #2 1/mic\nA.WAV #1 2/mic"),
    );
    expect(byPath(assigned)).toEqual({
      "1/mic": a[1],
      "2/mic": a[0],
      "3/mic": rest[0],
      "1/line": rest[1],
      "2/line": rest[2],
      "3/line": rest[3],
    });
  });

  it("finds files in folders by their names, or by the whole of it", () => {
    const returns = returnsIn("captures/a.wav", 1);
    for (const name of ["a.wav", "captures/a.wav"]) {
      expect(pathsOf(assignReturns(returns, paths, mapped(`${name} 2/line`)))).toEqual(["2/line"]);
    }
    const two = [...returns, ...returnsIn("again/a.wav", 1)];
    expect(refused(two, mapped("a.wav 2/line")).message).toMatch(
      /several recordings are called a\.wav/,
    );
  });

  it("counts more than a name does when both give the same path", () => {
    const returns = [...returnsIn("x.wav", 1), ...returnsIn("02-mic.wav", 1)];
    expect(byPath(assignReturns(returns, paths, mapped("x.wav 2/mic")))["2/mic"]).toBe(returns[0]);
  });

  it("leaves out the returns it does not name, and says so", () => {
    const returns = returnsIn("a.wav", 3);
    for (const text of ["1/mic,2/mic", "a.wav 1/mic\na.wav 2/mic"]) {
      const assigned = assignReturns(returns, paths, mapped(text));
      expect(assigned.unassigned).toEqual([returns[2]]);
      expect(assigned.doubts.map(formatDoubt)).toEqual([
        "a.wav: 1 return not named by the map was left out.",
      ]);
    }
  });

  it("is refused when it names what was not found", () => {
    const returns = returnsIn("evening.wav", 2);
    expect(refused(returns, mapped("1/mic,2/mic,3/mic")).message).toBe(
      "--map, entry 3: the map lists 3 returns, 2 were found.",
    );
    expect(refused(returns, mapped("evening.wav #3 1/mic")).message).toMatch(/no return #3/);
    expect(refused(returns, mapped("evning.wav 1/mic")).hint).toBe("Did you mean evening.wav?");
  });
});

describe("room for an unheard signal between two returns", () => {
  const step = quickS + 0.5;
  /** Six places half a second apart; only those asked for hold a return. */
  const at = (places: readonly number[]) => places.map((k) => returnAt("long.wav", 10 + k * step));

  it("is reported with its times and the path that may be silent", () => {
    // Returns at 10 s + k·(length + 0.5 s); place 2 is empty: 2·0.5 s + one length of room.
    const gap = [10 + step + quickS, 10 + 3 * step].map((s) => `0:${Math.round(s)}`);
    const warnings = assignReturns(at([0, 1, 3, 4, 5]), paths).doubts.map(formatDoubt);
    expect(warnings).toContainEqual(
      expect.stringContaining(
        `long.wav: the pause from ${gap[0]} to ${gap[1]} (before 3/mic) has room for a whole signal`,
      ),
    );
    expect(warnings.join()).toContain("--silent 3/mic");
  });

  it("counts before the first return where only it holds all that are missing", () => {
    // Three mics silent, then the lines: room from 0 s to 10 s + 3 places of one length and half a second.
    const lead = `0:00 to 0:${Math.round(10 + 3 * step)} (before 1/mic) has room for 4 whole signals`;
    const told = (places: readonly number[], options: AssignOptions = {}) =>
      assignReturns(at(places), paths, options).doubts.map(formatDoubt).join();
    expect(told([3, 4, 5])).toContain(`long.wav: the pause from ${lead} that were not heard.`);
    expect(told([2, 3, 4, 5])).toContain("0:00 to");
    // One heard at once and two places empty further on: that room is enough.
    expect(told([0, 3, 4, 5])).not.toContain("0:00 to");
    // Three are missing, and the ten seconds before the first hold one.
    expect(told([0, 1, 2])).not.toContain("room");
    expect(told([3, 4], { skipped: ["1/mic", "2/mic", "3/mic"] })).not.toContain("0:00 to");
  });

  it("is as long as the signal and one second", () => {
    const pair = (gapS: number) => [returnAt("a.wav", 0), returnAt("a.wav", quickS + gapS)];
    const warned = (gapS: number) =>
      assignReturns(pair(gapS), paths)
        .doubts.map(formatDoubt)
        .some((words) => words.includes("room"));
    expect(warned(quickS + 0.99)).toBe(false);
    expect(warned(quickS + 1.01)).toBe(true);
  });

  it("is not told again once the silent path is", () => {
    const assigned = assignReturns(at([0, 1, 3, 4, 5]), paths, { skipped: ["3/mic"] });
    expect(pathsOf(assigned)).toEqual(["1/mic", "2/mic", "1/line", "2/line", "3/line"]);
    expect(assigned.doubts.map(formatDoubt)).toEqual([]);
  });

  it("does not matter between files, in takes of one path or where a map decides", () => {
    const files = numbered(6).map((k) => returnAt(`part ${k}.wav`, 100 * Number(k)));
    expect(assignReturns(files, paths).doubts.map(formatDoubt)).toEqual([]);
    const takes = [returnAt("02-mic.wav", 0), returnAt("02-mic.wav", 100)];
    expect(assignReturns(takes, paths).doubts.map(formatDoubt)).toEqual([]);
    const long = [returnAt("a.wav", 0), returnAt("a.wav", 4000)];
    expect(assignReturns(long, paths, mapped("1/mic,2/mic")).doubts.map(formatDoubt)).toEqual([]);
  });

  const slow = (count: number) =>
    numbered(count).map((k) => returnAt("slow.wav", 1000 * Number(k) + (k === "5" ? 60 : 0)));

  it("is reported in one sentence when the pauses are all that long", () => {
    const warnings = assignReturns(slow(5), paths).doubts.map(formatDoubt);
    expect(warnings).toHaveLength(2);
    expect(warnings[0]).toMatch(/^slow\.wav: 5 returns for 6 paths;/);
    expect(warnings[1]).toMatch(/^slow\.wav: 4 pauses .*1:06:4\d to 1:24:20 \(before 2\/line\)/);
  });

  it("is reported across the joint of two parts of one recording", () => {
    // The second part begins at 40 s; the room is from the second return's end, 10 s + one step +
    // one length, to 55 s.
    const partOf = (file: string) => ({
      first: "long_001.wav",
      fromFrame: file === "long_002.wav" ? 40 * 48_000 : 0,
    });
    const returns = [
      ...[0, 1].map((k) => returnAt("long_001.wav", 10 + k * step)),
      returnAt("long_002.wav", 15),
    ];
    const warnings = assignReturns(returns, paths, { partOf }).doubts.map(formatDoubt);
    expect(warnings).toContainEqual(
      expect.stringContaining(
        `long_001.wav and its further parts, counted from its start: the pause from 0:${Math.round(10 + step + quickS)} to 0:55 (before 3/mic) has room`,
      ),
    );
  });

  it("does not matter where there are as many returns as paths", () => {
    expect(assignReturns(slow(6), paths).doubts.map(formatDoubt)).toEqual([]);
  });
});
