import { describe, expect, it } from "vitest";
import { buildDefaultFlow } from "../../src/desk/flow.js";
import { locateFaults as placesIn } from "../../src/diagnose/locate-faults.js";

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

  it("names the stages that the ailing inputs pass and the sound ones do not", () => {
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

  it("says nothing of a strip with one input", () => {
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
