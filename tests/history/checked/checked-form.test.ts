import { describe, expect, it } from "vitest";
import {
  type CheckedSource,
  checkedStart,
  formatChecked,
  listPoints,
  parseChecked,
} from "../../../src/history/checked/checked-round.js";
import type { Round } from "../../../src/history/types.js";
import { aRound } from "../a-round.js";
import { path } from "../rounds-of.js";

// Expected: the round that was kept, down to absent keys, and by how much of the file was read.

const curve = (...y: readonly number[]) => ({
  x: y.map((_, k) => 100 * (k + 1)),
  y,
  uncertainty: y.map(() => 0.1),
  xUnit: "Hz",
  yUnit: "dB",
});
const withFloor = { ...curve(-90, -95), floor: [-99, -98] };
const round = {
  ...aRound("2030-01-31"),
  id: "2030-01-31-01",
  paths: [
    path("1/mic", { curves: { response: curve(1, 2, 3), noise: withFloor } as never }),
    path("2/mic", {
      curves: { noise: curve(4, 5) } as never,
      partner: {
        side: "right",
        channel: 1,
        readings: {},
        absent: {},
        curves: { response: curve(6) as never },
      } as never,
    }),
    path("3/mic", { because: null as never }),
  ],
  reference: {
    name: "reference",
    into: "bus",
    turns: [{ turn: "first", status: "measured", curves: { noise: curve(7, 8) }, readings: {} }],
  },
} as unknown as Round;
const state = { size: 1, mtimeNs: "2", ctimeNs: "3", inode: "4", seenNs: "5" };

function kept(of: Round = round): Buffer {
  const bytes = formatChecked(state, of);
  if (bytes === undefined) throw new Error("not kept");
  return bytes;
}

/** A file that is read from memory, and what was read of it. */
function fileOf(bytes: Buffer, more: Partial<CheckedSource> = {}) {
  const reads: number[] = [];
  const anew: string[] = [];
  const source: CheckedSource = {
    read: (from, length) => {
      reads.push(from);
      return bytes.subarray(from, from + length);
    },
    isCurrent: () => true,
    readAnew: (kind) => {
      anew.push(kind);
      return listPoints(round, kind);
    },
    ...more,
  };
  return { source, reads, anew };
}
const changed = (from: string, to: string) => {
  const text = kept().toString("latin1");
  expect(text).toContain(from);
  const at = text.lastIndexOf(from);
  return Buffer.from(`${text.slice(0, at)}${to}${text.slice(at + from.length)}`, "latin1");
};

describe("a checked round", () => {
  it("comes back as it was, curve by curve", () => {
    const { source, anew } = fileOf(kept());
    expect(parseChecked(source)).toEqual(round);
    expect(anew).toEqual([]);
    const bare = { ...aRound("2030-01-31", []), id: "2030-01-31-01" } as Round;
    expect(parseChecked(fileOf(kept(bare)).source)).toStrictEqual(bare);
  });

  it("has the points of a kind read when they are looked at, and once", () => {
    const { source, reads } = fileOf(kept());
    const back = parseChecked(source);
    expect(reads).toHaveLength(2);
    expect(Object.keys(back?.paths[0].curves ?? {})).toEqual(["response", "noise"]);
    expect(reads).toHaveLength(2);
    expect(back?.paths[0].curves.response.y).toEqual([1, 2, 3]);
    expect(back?.paths[1].partner?.curves.response.y).toEqual([6]);
    expect(back?.paths[0].curves.response.uncertainty).toEqual([0.1, 0.1, 0.1]);
    expect(reads).toHaveLength(3);
    expect(back?.paths[0].curves.noise).toEqual(withFloor);
    expect(back?.paths[1].curves.noise.y).toEqual([4, 5]);
    expect(reads).toHaveLength(4);
  });

  it("is not kept where a number is minus nothing, which JSON does not hold", () => {
    const [first, ...others] = round.paths;
    const of = (more: object) =>
      formatChecked(state, { ...round, paths: [{ ...first, ...more }, ...others] } as Round);
    expect(of({ oddness: -0 })).toBeUndefined();
    expect(of({ oddness: 0 })).toBeDefined();
    expect(of({ curves: { response: curve(1, -0) } })).toBeUndefined();
    expect(of({ findings: [{ value: -0 }] })).toBeUndefined();
    expect(of({ findings: [{ value: "-0", reading: null }] })).toBeDefined();
  });

  it("counts only whole, of this program, and as long as its file is the same", () => {
    const of = (bytes: Buffer, more: Partial<CheckedSource> = {}) =>
      parseChecked(fileOf(bytes, more).source);
    expect(of(kept(), { isCurrent: (found) => found.inode === "4" })).toBeDefined();
    expect(of(kept(), { isCurrent: (found) => found.inode !== "4" })).toBeUndefined();
    expect(of(changed('"version":1,"tool"', '"version":0,"tool"'))).toBeUndefined();
    expect(of(changed("Big desk", "Bag desk"))).toBeUndefined();
    expect(of(changed('"size":1', '"size":2'))).toBeUndefined();
    expect(of(changed('"sum":', '"sum":1'))).toBeUndefined();
    expect(of(Buffer.from(""))).toBeUndefined();
    expect(of(Buffer.from("something else\n\n"))).toBeUndefined();
    expect(kept().toString("latin1").startsWith(checkedStart)).toBe(true);
  });

  it("has points that were damaged, or cannot be read, from the round itself", () => {
    // The last of the points is that of the noise.
    const damaged = fileOf(changed("[7,8]", "[7,9]"));
    const back = parseChecked(damaged.source);
    expect(back?.paths[0].curves.response.y).toEqual([1, 2, 3]);
    expect(damaged.anew).toEqual([]);
    expect(back).toEqual(round);
    expect(damaged.anew).toEqual(["noise"]);
    const bytes = kept();
    let reads = 0;
    const failing = fileOf(bytes, {
      read: (from, length) => {
        if (++reads > 2) throw new Error("gone");
        return bytes.subarray(from, from + length);
      },
    });
    expect(parseChecked(failing.source)).toEqual(round);
    expect(failing.anew.sort()).toEqual(["noise", "response"]);
  });

  it("names points of what has none of a kind as none", () => {
    expect(listPoints(round, "response")).toEqual([
      [
        [100, 200, 300],
        [1, 2, 3],
        [0.1, 0.1, 0.1],
      ],
      null,
      null,
      [[100], [6], [0.1]],
      null,
    ]);
  });
});
