import { describe, expect, it } from "vitest";
import { planControlStops } from "../../src/desk/control-stops.js";
import { planPasses, planPassWork, sumPassTimes } from "../../src/desk/passes.js";
import { parseDesk } from "../../src/desk/read/read-desk.js";

// Expected values: counted by hand from the desk files below.

const desk = (more: string, strips = "1-40") =>
  parseDesk(
    `name: D
mains: 50
strips: ${strips}
inputs:
  mic: { nominal: -40, set: { gain: 44 dB } }
  line: { nominal: 4, set: { gain: 0 dB } }
  tape: { nominal: 4 }
controls:
  gain: knob
  phantom: { kind: switch, set: off }
  pan: { kind: knob, set: at its mark }
  fader: { kind: fader, set: at its mark }
${more}
`,
    "desk.yaml",
  );

describe("the plan of passes", () => {
  it("plays each path once, each strip once a pass, on as many outputs as there are", () => {
    const { passes, left } = planPasses(desk("outputs: 8"));
    expect(left).toEqual([]);
    // Four are patched while the other four play.
    expect(passes).toHaveLength(30);
    const all = passes.flatMap(({ plays }) => plays.map(({ path }) => path));
    expect(new Set(all).size).toBe(120);
    expect(all).toHaveLength(120);
    for (const { plays } of passes) {
      expect(new Set(plays.map(({ strip }) => strip)).size).toBe(plays.length);
      expect(new Set(plays.map(({ output }) => output)).size).toBe(plays.length);
    }
  });

  it("lets no two strips share output and bus twice where there are enough of them", () => {
    const { passes } = planPasses(desk("outputs: 8\nbuses: group 1-8"));
    const cells = new Map<string, string[]>();
    for (const { output, bus, strip } of passes.flatMap(({ plays }) => plays)) {
      cells.set(`${output} ${bus}`, [...(cells.get(`${output} ${bus}`) ?? []), strip]);
    }
    const shared = new Map<string, number>();
    for (const strips of cells.values()) {
      for (const a of strips) {
        for (const b of strips) {
          if (Number(a) < Number(b)) shared.set(`${a} ${b}`, (shared.get(`${a} ${b}`) ?? 0) + 1);
        }
      }
    }
    expect(Math.max(...shared.values())).toBe(1);
  });

  it("uses all buses alike, so that each has paths enough to show a fault of its own", () => {
    const { passes } = planPasses(desk("outputs: 6\nbuses: bus 1-6", "1-12"));
    const uses = new Map<string, number>();
    for (const { bus = "" } of passes.flatMap(({ plays }) => plays)) {
      uses.set(bus, (uses.get(bus) ?? 0) + 1);
    }
    // 36 paths on six buses.
    expect([...uses.values()].sort()).toEqual([6, 6, 6, 6, 6, 6]);
  });

  it("has one half of the outputs patched while the other plays, strips and outputs apart", () => {
    const asked = desk("outputs: 8\nchannels: 1-40");
    const { passes } = planPasses(asked);
    const works = planPassWork(asked, passes);
    expect(passes.map(({ outputs }) => outputs[0])).toEqual(
      passes.map((_, k) => (k % 2 === 0 ? 1 : 5)),
    );
    passes.slice(1).forEach(({ plays }, k) => {
      const before = new Set(passes[k].plays.map(({ strip }) => strip));
      expect(plays.filter(({ strip }) => before.has(strip))).toEqual([]);
      const { plugs, pads, changes, aheadS, seconds } = works[k + 1];
      const controls = [...changes.values()].flat().length;
      expect(aheadS).toBe(8 * plugs.length + 10 * pads + 2 * controls);
      expect(seconds).toBe(aheadS + 4);
    });
    expect(works[0].aheadS).toBe(0);
    // Three outputs stay together: with a half of them each play would be of one.
    expect(planPasses(desk("outputs: 3")).passes).toHaveLength(40 + 2);
  });

  it("has strips opened and closed by routes alone where there are buses", () => {
    const asked = desk("outputs: 8\nbuses: bus 1-8");
    const { passes } = planPasses(asked);
    const works = planPassWork(asked, passes);
    expect(works.every(({ mutes }) => mutes === 0)).toBe(true);
    // Four strips on, four off: nobody plays twice in a row.
    expect(works[0].routes).toBe(4);
    expect(works.slice(1).every(({ routes }) => routes === 8)).toBe(true);
    const onMix = planPassWork(desk("outputs: 8"), planPasses(desk("outputs: 8")).passes);
    expect(onMix[1]).toMatchObject({ mutes: 8, routes: 0 });
  });

  it("counts of what is patched ahead only what outlasts the pass before", () => {
    const work = { plugs: [], pads: 0, mutes: 0, routes: 0, changes: new Map() };
    const works = [
      { ...work, seconds: 30, aheadS: 0 },
      { ...work, seconds: 30, aheadS: 26 },
      { ...work, seconds: 60, aheadS: 56 },
    ];
    // 30 + 40, then 4 + 40, then 16 + 4 + 40.
    expect(sumPassTimes(works, [40, 40, 40])).toBe(70 + 44 + 60);
  });

  it("asks no plug of wired paths, and says what no output reaches", () => {
    const { passes, left } = planPasses(desk("outputs: [1-3/tape]", "1-4"));
    expect(passes).toHaveLength(1);
    expect(passes[0]).toMatchObject({ use: "wired", form: "turns" });
    expect(left).toHaveLength(12 - 3);
    expect(planPassWork(desk("", "1-4"), passes)[0].plugs).toEqual([]);
  });

  it("lets outputs play together only where each path has a channel of its own", () => {
    const form = (more: string) => planPasses(desk(more, "1-8")).passes[0].form;
    expect(form("outputs: 4")).toBe("turns");
    expect(form("outputs: 4\nbuses: group 1-4")).toBe("together");
    expect(form("outputs: 3\nbuses: group 1-2")).toBe("turns");
    expect(form("outputs: 4\nchannels: 1-8")).toBe("together");
  });

  it("plays what is behind a splitter strip by strip on one bus, at once on channels", () => {
    const split =
      "outputs:\n  - { split: 1-4/mic, pad: 44, leg: 10000, source: 150, blocks-phantom: true }";
    expect(planPasses(desk(split, "1-4")).passes.map(({ plays }) => plays.length)).toEqual([
      1, 1, 1, 1,
    ]);
    const own = planPasses(desk(`${split}\nchannels: 1-4`, "1-4")).passes;
    expect(own.map(({ plays }) => plays.length)).toEqual([4]);
  });
});

describe("outputs in the desk file", () => {
  const refused = (more: string) => {
    try {
      desk(more, "1-4");
    } catch (error) {
      return `${(error as Error).message} ${(error as { hint?: string }).hint}`;
    }
    return "read";
  };

  it.each([
    ["outputs: [1/tape, hand, 1/tape]", /outputs 1 and 3 are both wired to 1\/tape/],
    ["outputs: 16", /16 outputs are more than the 15/],
    ["outputs: [9/tape]", /no path 9\/tape/],
    ["outputs: [1-2/mic]", /1\/mic is a microphone input: phantom power .*can destroy/],
    ["outputs: [some]", /is not a path/],
    ["outputs: [none, '-']", /names no output that is used/],
    ["outputs: 2\nchannels: 1-4\nbuses: group 1-2", /channels says .* buses that it holds a bus/],
  ])("are refused: %s", (text, message) => {
    expect(refused(text)).toMatch(message);
  });

  // 8 legs of 3 kΩ are 375 Ω; 4 of 5 kΩ are 1250 Ω, behind 200 Ω a loss of 20·lg(1450/1250) = 1.3 dB.
  it.each([
    ["leg: 10000, source: 150", /phantom power .* would reach the interface's output.*can destroy/],
    ["leg: 2000, source: 150, blocks-phantom: true", /load the output with 500 ohms/],
    ["leg: 5000, source: 150, output: 200, blocks-phantom: true", /loses 1\.3 dB into 4 legs/],
    ["leg: 10000, source: 2000, blocks-phantom: true", /would see 2000 ohms/],
    ["leg: 10000, blocks-phantom: true", /"source" is missing. Allowed: a number of ohms/],
    [
      "leg: 10000, source: 150, blocks-phantom: maybe",
      /"blocks-phantom" is "maybe"; allowed: true/,
    ],
    ["leg: 10000, source: 150, phantom: true", /"phantom" is not a key here/],
  ])("are refused behind a splitter that makes no sense: %s", (text, message) => {
    expect(refused(`outputs:\n  - { split: 1-4/mic, pad: 44, ${text} }`)).toMatch(message);
  });

  // The interface gives line level, +4 dBu: for -40 dBu at the socket 44 dB must be taken off.
  it.each([
    ["pad: 20, ", /needs a pad of 44 dB to get -40 dBu.*attenuates by 20 dB/],
    ["", /needs a pad of 44 dB to get -40 dBu.*attenuates by 0 dB/],
  ])("are refused where the legs of a splitter give another level: %s", (pad, message) => {
    const split = `{ split: 1-4/mic, ${pad}leg: 10000, source: 150, blocks-phantom: true }`;
    expect(refused(`outputs:\n  - ${split}`)).toMatch(message);
  });

  it("are refused entry by entry", () => {
    expect(refused("outputs: [1/tape, 16]")).toMatch(/"outputs, entry 2" is 16; allowed: how many/);
  });

  it("take a splitter that keeps phantom power away and a load that an output can drive", () => {
    expect(
      refused(
        "outputs:\n  - { split: 1-4/mic, pad: 44, leg: 10000, source: 150, blocks-phantom: true }",
      ),
    ).toBe("read");
  });
});

describe("the stops of a controls pass", () => {
  const moved = (paths?: string[], complained: string[] = []) => {
    const one = desk("", "1-3");
    const wanted = paths && one.paths.filter(({ path }) => paths.includes(path));
    return planControlStops(one, wanted, complained).map(
      ({ path, controls }) => `${path.path}: ${controls.map(({ name }) => name).join(" ")}`,
    );
  };

  it("moves what all inputs share once a strip, an input's own at that input", () => {
    expect(moved()).toEqual([
      "1/mic: gain pan fader",
      "2/mic: gain pan fader",
      "3/mic: gain pan fader",
      "1/line: gain",
      "2/line: gain",
      "3/line: gain",
    ]);
  });

  it("moves what is shared at the first path that is wanted", () => {
    expect(moved(["2/line", "3/line"])).toEqual([
      "2/line: gain pan fader",
      "3/line: gain pan fader",
    ]);
    expect(moved(["2/tape"])).toEqual(["2/tape: pan fader"]);
  });

  it("begins with strips that somebody complained of", () => {
    expect(moved(undefined, ["3"]).slice(0, 3)).toEqual([
      "3/mic: gain pan fader",
      "3/line: gain",
      "1/mic: gain pan fader",
    ]);
  });

  it("takes the inputs that a control says it acts on", () => {
    const one = parseDesk(
      "name: D\nmains: 50\nstrips: 1-2\ninputs:\n  mic: { nominal: -40 }\n  line: { nominal: 4 }\ncontrols:\n  trim: { kind: knob, inputs: [line] }\n  fader: fader\n",
      "desk.yaml",
    );
    const stops = planControlStops(one).map(
      ({ path, controls }) => `${path.path}: ${controls.map(({ name }) => name).join(" ")}`,
    );
    expect(stops).toContain("1/mic: fader");
    expect(stops).toContain("1/line: trim");
  });
});
