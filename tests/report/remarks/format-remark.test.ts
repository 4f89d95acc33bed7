import { describe, expect, it } from "vitest";
import { formatFaultPlace } from "../../../src/report/remarks/format-fault-place.js";
import { formatRemark } from "../../../src/report/remarks/format-remark.js";
import { nameDesk } from "../../../src/text/program-name.js";

describe("formatRemark", () => {
  it("names the readings in which two batches differ, and the strips of either", () => {
    expect(
      formatRemark({
        code: "two-batches",
        family: "mic",
        strips: [["1", "2"], ["9"]],
        readings: ["thd", "a-reading-of-tomorrow"],
      }),
    ).toMatch(
      /^The mic paths are two batches that differ in distortion and a-reading-of-tomorrow: strips 1, 2; and 9\. /,
    );
  });

  it("names the desk in the command that finds the strip, where one stands elsewhere", () => {
    const sum = { reading: "hiss", paths: ["4/line", "5/line", "6/line"], above: 20 } as const;
    const high = { code: "sum-too-high", ...sum, unit: "dB", against: "siblings" } as const;
    // ⌈log₂ 3⌉ + 1 plays.
    nameDesk("my desk");
    expect(formatRemark(high)).toMatch(/At most 3 plays .* halve --desk 'my desk'$/);
    nameDesk(undefined);
    expect(formatRemark({ code: "sum-in-phase", ...sum })).toMatch(/At most 3 plays .* halve$/);
  });

  it("says where to look by how many strips show a cause", () => {
    const cause = "supply-ripple";
    expect(formatRemark({ code: "cause-on-nearly-all", cause, count: 5, of: 6 })).toMatch(
      /^5 of 6 strips show: .*supply.*\. Check what all share/,
    );
    const part = { code: "cause-on-shared-part", cause, part: "card B" } as const;
    expect(formatRemark({ ...part, strips: ["1", "5"], without: [] })).toMatch(
      /^Strips 1, 5 show: .*\. They share card B\.$/,
    );
    expect(formatRemark({ ...part, strips: ["1", "5"], without: ["9"] })).toMatch(
      /With 9 they share card B\.$/,
    );
  });

  it("sends nobody to a cable for what was set by hand", () => {
    const run = { code: "cause-on-neighbours", first: "3", last: "5" } as const;
    expect(formatRemark({ ...run, cause: "supply-ripple" })).toMatch(/a supply feed/);
    expect(formatRemark({ ...run, cause: "pad-in" })).toMatch(/set or patched together/);
  });

  it("names the round that a family is compared with, where there is one", () => {
    const past = {
      code: "family-past-limit",
      family: "line",
      count: 8,
      of: 9,
      limit: "band",
      expression: "abs(response(20 Hz)) <= 3 dB",
    } as const;
    const start = "8 of 9 line paths are past the limit band (abs(response(20 Hz)) <= 3 dB)";
    expect(formatRemark(past)).toContain(`${start}: `);
    expect(formatRemark({ ...past, since: "2030-01-01-01" })).toContain(
      `${start} since round 2030-01-01-01: `,
    );
  });
});

describe("formatFaultPlace", () => {
  it("names the stages where any are known", () => {
    expect(formatFaultPlace({ code: "every-input", stages: [] })).toBe(
      "on every input of the strip: after they join",
    );
    expect(formatFaultPlace({ code: "one-input", stages: ["socket", "pad"] })).toBe(
      "on this input alone: before the inputs join (socket, pad)",
    );
    const some = { code: "some-inputs", inputs: ["mic", "line"], without: ["tape"] } as const;
    expect(formatFaultPlace({ ...some, stages: ["line amplifier"] })).toBe(
      "on mic and line but not on tape: in what only these share (line amplifier)",
    );
    expect(formatFaultPlace({ ...some, stages: [] })).toMatch(/or in each individually$/);
    expect(formatFaultPlace({ code: "other-path-too", path: "3/mic" })).toMatch(/^3\/mic is/);
  });
});
