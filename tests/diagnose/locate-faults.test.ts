import { describe, expect, it } from "vitest";
import { buildDefaultFlow } from "../../src/desk/flow.js";
import { listSuspectStages, locateFaults as placesIn } from "../../src/diagnose/locate-faults.js";
import { withFedAlone, withOpenWay } from "../../src/diagnose/open-ways.js";

const cause = (id: string) => ({
  cause: id,
  name: id.replaceAll("-", " "),
  kind: "fault" as const,
  probability: 0.9,
  evidence: [],
  confirmBy: "",
});

const placesOf = (
  list: ReturnType<typeof paths>,
  flow = buildDefaultFlow(["mic", "line", "tape"]),
) => placesIn(list, flow);

function paths(strips: number, inputs: string[], causes: Record<string, string>) {
  return inputs.flatMap((input) =>
    Array.from({ length: strips }, (_, k) => {
      const path = `${k + 1}/${input}`;
      const id = causes[path];
      const found = id === undefined ? [] : [cause(id)];
      return { path, strip: String(k + 1), input, judged: true, causes: found };
    }),
  );
}

describe("placesOf", () => {
  it("puts a fault on every input of a strip after the inputs join, on one input before it", () => {
    const { where } = placesOf(
      paths(6, ["mic", "line", "tape"], {
        "2/mic": "noisy-device",
        "2/line": "noisy-device",
        "2/tape": "noisy-device",
        "4/mic": "noisy-device",
        "5/mic": "open-leg",
        "5/line": "open-leg",
      }),
    );
    expect(where.get("2/line")?.code).toBe("every-input");
    expect(where.get("4/mic")).toEqual({
      code: "one-input",
      stages: expect.arrayContaining(["mic socket", "mic input stage"]),
    });
    expect(where.get("5/mic")).toEqual({
      code: "some-inputs",
      inputs: ["mic", "line"],
      without: ["tape"],
      stages: [],
    });
  });

  it("names the stages that the ailing inputs pass and the healthy ones do not", () => {
    const flow = {
      stages: {
        mic: ["mic socket", "transformer", "line amplifier", "fader"],
        line: ["line socket", "line amplifier", "fader"],
        tape: ["tape socket", "fader"],
      },
      shared: [],
    };
    const { where } = placesOf(
      paths(6, ["mic", "line", "tape"], {
        "2/mic": "noisy-device",
        "2/line": "noisy-device",
        "4/mic": "noisy-device",
        "5/mic": "noisy-device",
        "5/line": "noisy-device",
        "5/tape": "noisy-device",
      }),
      flow,
    );
    expect(where.get("2/line")).toEqual({
      code: "some-inputs",
      inputs: ["mic", "line"],
      without: ["tape"],
      stages: ["line amplifier"],
    });
    expect(where.get("4/mic")).toEqual({
      code: "one-input",
      stages: ["mic socket", "transformer"],
    });
    expect(where.get("5/tape")).toEqual({ code: "every-input", stages: ["fader"] });
  });

  it("says nothing about a strip with one input", () => {
    expect(placesOf(paths(6, ["line"], { "2/line": "open-leg" })).where.size).toBe(0);
  });

  it("points neighbours to what they share, and nearly all strips to the master section", () => {
    const ripple = { "3/mic": "supply-ripple", "4/mic": "supply-ripple", "5/mic": "supply-ripple" };
    expect(placesOf(paths(12, ["mic"], ripple)).remarks).toEqual([
      { code: "cause-on-neighbours", cause: "supply-ripple", first: "3", last: "5" },
    ]);
    const all = Object.fromEntries([1, 2, 3, 4, 5].map((n) => [`${n}/mic`, "supply-ripple"]));
    expect(placesOf(paths(6, ["mic"], all)).remarks).toEqual([
      { code: "cause-on-nearly-all", cause: "supply-ripple", count: 5, of: 6 },
    ]);
    const flow = {
      stages: {},
      shared: [{ name: "supply card B", strips: ["1", "5", "9"] }],
    };
    const apart = { "1/mic": "supply-ripple", "5/mic": "supply-ripple", "9/mic": "supply-ripple" };
    expect(placesOf(paths(12, ["mic"], apart), flow).remarks).toEqual([
      {
        code: "cause-on-shared-part",
        cause: "supply-ripple",
        part: "supply card B",
        strips: ["1", "5", "9"],
        without: [],
      },
    ]);
  });
});

describe("what is counted", () => {
  const likely = (
    id: string,
    probability: number | undefined,
    kind: "fault" | "patch" = "fault",
  ) => {
    const { probability: _, ...rest } = cause(id);
    return { ...rest, kind, ...(probability === undefined ? {} : { probability }) };
  };
  const one = (input: string, causes: ReturnType<typeof likely>[], judged = true) => ({
    path: `7/${input}`,
    strip: "7",
    input,
    judged,
    causes,
  });
  const flow = {
    stages: { mic: ["mic socket", "fader"], line: ["line socket", "fader"], tape: ["fader"] },
    shared: [],
  };
  const where = (...list: ReturnType<typeof one>[]) => placesIn(list, flow).where.get("7/mic");

  it("is a first cause that is as likely as not, or of which no likelihood is known", () => {
    const of = (probability: number | undefined) =>
      where(one("mic", [likely("noisy-device", probability)]), one("line", []))?.code;
    expect([0.49, 0.5, undefined].map(of)).toEqual([undefined, "one-input", "one-input"]);
  });

  it("is no input that was not judged", () => {
    const noisy = [likely("noisy-device", 0.9)];
    expect(where(one("mic", noisy), one("line", [], false))).toBeUndefined();
    expect(where(one("mic", noisy), one("line", []), one("tape", noisy, false))?.code).toBe(
      "one-input",
    );
  });

  it("is neither sound nor ill where the same cause is there, but not first", () => {
    const noisy = [likely("noisy-device", 0.9)];
    const second = [likely("open-leg", 0.6), likely("noisy-device", 0.4)];
    expect(where(one("mic", noisy), one("line", second))).toBeUndefined();
    expect(where(one("mic", noisy), one("line", second), one("tape", []))).toMatchObject({
      code: "some-inputs",
      inputs: ["mic"],
      without: ["tape"],
    });
    const list = [one("mic", noisy), one("line", second), one("tape", [])];
    expect(listSuspectStages(list[0], list, flow)).toEqual(["mic socket"]);
    expect(listSuspectStages(list[2], list, flow)).toEqual([]);
  });

  it("is sound with another cause, on whatever strip, and a setting is placed as a fault is", () => {
    const noisy = [likely("noisy-device", 0.9)];
    expect(where(one("mic", noisy), one("line", [likely("open-leg", 0.9)]))?.code).toBe(
      "one-input",
    );
    const pad = [{ ...likely("pad-in", 0.9), kind: "setting" as const }];
    expect(where(one("mic", pad as never), one("line", []))?.code).toBe("one-input");
    const mix = [likely("wrong-path-recorded", 0.9, "patch")];
    const elsewhere = { ...one("line", mix), path: "8/line", strip: "8" };
    expect(where(one("mic", mix), elsewhere)).toBeUndefined();
  });

  it("passes no stage of an input that the desk file does not describe", () => {
    const noisy = [likely("noisy-device", 0.9)];
    expect(where(one("mic", noisy), one("direct", noisy), one("line", []))).toEqual({
      code: "some-inputs",
      inputs: ["direct", "mic"],
      without: ["line"],
      stages: [],
    });
  });

  it("lists the inputs in the order of the desk", () => {
    const noisy = [likely("noisy-device", 0.9)];
    const { where: places } = placesIn(
      [one("tape", []), one("line", noisy), one("mic", noisy)],
      flow,
    );
    expect(places.get("7/line")).toMatchObject({ inputs: ["mic", "line"] });
    expect(places.get("7/mic")).toMatchObject({ inputs: ["mic", "line"] });
  });

  it("is another path of the strip where each measures like another's", () => {
    const mix = [likely("wrong-path-recorded", 0.9, "patch")];
    expect(where(one("mic", mix), one("line", mix))).toEqual({
      code: "other-path-too",
      path: "7/line",
    });
    expect(where(one("mic", mix), one("line", []))).toBeUndefined();
    const howl = [likely("feedback-howl", 0.9, "patch")];
    expect(where(one("mic", howl), one("line", howl))).toBeUndefined();
  });
});

describe("strips with the same cause", () => {
  const on = (
    strips: number,
    hit: readonly number[],
    id = "supply-ripple",
    shared: object[] = [],
  ) =>
    placesOf(paths(strips, ["mic"], Object.fromEntries(hit.map((n) => [`${n}/mic`, id]))), {
      stages: {},
      shared,
    } as never).remarks.map(({ code }) => code);

  it("are neighbours from three in a row on", () => {
    expect(on(12, [3, 4])).toEqual([]);
    expect(on(12, [3, 4, 6])).toEqual([]);
    expect(on(12, [3, 4, 5, 8, 9, 10])).toEqual(["cause-on-neighbours", "cause-on-neighbours"]);
    expect(on(12, [10, 11, 12])).toEqual(["cause-on-neighbours"]);
    expect(on(12, [3, 4, 5], "none-of-these")).toEqual([]);
  });

  it("are nearly all from three of five on, and three at least", () => {
    expect(on(5, [1, 3, 5])).toEqual(["cause-on-nearly-all"]);
    expect(on(6, [1, 3, 5])).toEqual([]);
    expect(on(2, [1, 2])).toEqual([]);
    expect(on(3, [1, 2, 3])).toEqual(["cause-on-nearly-all"]);
  });

  it("are counted among those that were judged", () => {
    const list = paths(6, ["mic"], {
      "1/mic": "supply-ripple",
      "3/mic": "supply-ripple",
      "5/mic": "supply-ripple",
    });
    const judged = list.map((one) => ({ ...one, judged: one.strip !== "6" }));
    expect(placesOf(judged).remarks).toEqual([
      { code: "cause-on-nearly-all", cause: "supply-ripple", count: 3, of: 5 },
    ]);
  });

  it("share a part where three of them, and three in five of its strips, hang on it", () => {
    const part = (...strips: number[]) => [{ name: "card", strips: strips.map(String) }];
    expect(on(20, [1, 3, 5], undefined, part(1, 3, 5, 7, 9))).toEqual(["cause-on-shared-part"]);
    expect(on(20, [1, 3, 5], undefined, part(1, 3, 5, 7, 9, 11))).toEqual([]);
    expect(on(20, [1, 3], undefined, part(1, 3))).toEqual([]);
    // Strips that were not recorded do not count against it.
    expect(on(9, [1, 3, 5], undefined, part(1, 3, 5, 7, 9, 11, 13))).toEqual([
      "cause-on-shared-part",
    ]);
    // What the part says is not said of the neighbours again, unless more of them have it.
    expect(on(20, [1, 2, 3], undefined, part(1, 2, 3))).toEqual(["cause-on-shared-part"]);
    expect(on(20, [1, 2, 3, 4], undefined, part(1, 2, 3))).toEqual([
      "cause-on-shared-part",
      "cause-on-neighbours",
    ]);
  });
});

describe("a way out that others share, or that one path has alone", () => {
  const of = (probability: number | undefined, kind: "fault" | "setting" = "fault") => {
    const { probability: _, ...rest } = cause("noisy-device");
    return { ...rest, kind, ...(probability === undefined ? {} : { probability }) };
  };

  it("is one in four where a path alone went through an output, and the rest three in four", () => {
    const found = withFedAlone([of(0.8), of(0.1), of(undefined)], "bus 3");
    expect(found.map(({ probability }) => probability)).toEqual([0.6, 0.25, 0.08, undefined]);
    expect(found[1]).toMatchObject({ evidence: [{ code: "fed-alone", part: "bus 3" }] });
    // 0.01 is the least that is said.
    expect(withFedAlone([of(0.004)], "bus 3")[0].probability).toBe(0.01);
  });

  it("is nothing where no output is named, no cause is there, or a setting comes first", () => {
    for (const [causes, output] of [
      [[of(0.8)], undefined],
      [[], "bus 3"],
      [[of(0.8, "setting")], "bus 3"],
    ] as const) {
      expect(withFedAlone(causes, output)).toBe(causes);
    }
  });

  it("is as likely as the strip where readings do not tell, by its name or what it is", () => {
    const way = (part: object) =>
      withOpenWay([of(0.8), of(0.2)], { part, paths: ["1/mic", "2/mic"], of: 3 } as never);
    const named = way({ kind: "output", name: "bus 3" });
    expect(named.map(({ probability }) => probability)).toEqual([0.5, 0.4, 0.1]);
    expect(named[0].evidence).toMatchObject([{ part: "bus 3", of: 3 }]);
    expect(way({ kind: "output" })[0].evidence).toMatchObject([{ part: "output" }]);
    const causes = [of(0.8)];
    expect(withOpenWay(causes, undefined)).toBe(causes);
  });
});
