import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { DeskroundError } from "../../../src/errors.js";
import { listBuiltInLimits } from "../../../src/service/limits/built-in.js";
import { parseLimits } from "../../../src/service/limits/parse-limits.js";
import { limits } from "./rounds.js";

function refusal(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof DeskroundError) return `${error.message} | ${error.hint ?? ""}`;
    throw error;
  }
  return "understood";
}

const read = (text: string) => parseLimits(text, "limits.yaml", "none");

describe("the limits file", () => {
  it("holds a limit a line, or a block with whom it is for and why", () => {
    const text = `  quiet: noiseA <= -82 dBu   # agreed
  loud:
    limit: "thd <= 0.1 %"
    for: [mic, 1-12, 07]
    except: 7/mic, 9/mic
    why: after the
      last overhaul
`;
    expect(limits(text)).toStrictEqual([
      { name: "quiet", text: "noiseA <= -82 dBu", from: "file", where: "limits.yaml line 3" },
      {
        name: "loud",
        text: "thd <= 0.1 %",
        from: "file",
        where: "limits.yaml line 5",
        why: "after the last overhaul",
        only: ["mic", "1-12", "07"],
        except: ["7/mic", "9/mic"],
      },
    ]);
  });

  it("keeps the built-in limits beside its own, unless it says otherwise", () => {
    const names = read("limits:\n  quiet: noiseA <= -82 dBFS\n").map(({ name }) => name);
    expect(names).toStrictEqual([...listBuiltInLimits("none").map(({ name }) => name), "quiet"]);
    expect(read("built-in: none\nlimits:\n  quiet: hum <= -82 dBFS\n")).toHaveLength(1);
    expect(read("version: 1\nlimits:\n")).toStrictEqual(listBuiltInLimits("none"));
  });

  it("replaces, narrows or switches off a built-in limit by its name", () => {
    const file = `limits:
  hum-alike: off
  noise-alike: noise <= siblings(noise) + 9 dB
  gain-alike:
    except: 7/mic
`;
    const by = new Map(read(file).map((limit) => [limit.name, limit]));
    expect(by.has("hum-alike")).toBe(false);
    expect(by.get("noise-alike")).toMatchObject({ text: "noise <= siblings(noise) + 9 dB" });
    expect(by.get("gain-alike")).toMatchObject({
      text: "abs(gain - siblings(gain)) <= 2 dB",
      from: "built-in",
      except: ["7/mic"],
    });
  });

  it("may speak of built-in limits that only a baseline brings", () => {
    const file = "limits:\n  thd-kept: off\n  polarity-kept:\n    except: 1\n";
    expect(read(file)).toStrictEqual(listBuiltInLimits("none"));
    const with_ = parseLimits(file, "limits.yaml", "named").map(({ name }) => name);
    expect(with_).toContain("polarity-kept");
    expect(with_).not.toContain("thd-kept");
  });

  it.each([
    ["", "limits.yaml is empty."],
    ["- noise\n", 'limits.yaml line 1: not a limits file: it should begin with "limits:".'],
    ["limits: [", "limits.yaml line 1: not readable as YAML"],
    [
      "limits:\n  a: 1\n  a: 2\n",
      'limits.yaml line 3: "a" is there twice, the first time in line 2.',
    ],
    [
      "limit:\n  a: hum <= 1 dBFS\n",
      'limits.yaml line 1: "limit" is not a key here. | Did you mean limits?',
    ],
    [
      "version: 2\nlimits:\n",
      "limits.yaml line 1: this version of the limits file is unknown; allowed: 1.",
    ],
    ["built-in: some\nlimits:\n", 'limits.yaml line 1: "built-in" is "some"; allowed: keep, none.'],
    ["built-in: none\n", "limits.yaml leaves no limit at all: everything would pass."],
    [
      "limits: noise <= 1 dBFS\n",
      "limits.yaml line 1: limits: should hold one indented line for each limit",
    ],
    [
      "limits:\n  - hum <= 1 dBFS\n",
      "limits.yaml line 2: limits: should hold one indented line for each limit",
    ],
    [
      "limits:\n  3x: hum <= 1 dBFS\n",
      'limits.yaml line 2: "3x" is not a usable name for a limit.',
    ],
    ["limits:\n  a:\n", 'limits.yaml line 2: "a" has no limit.'],
    ["limits:\n  a: [1]\n", 'limits.yaml line 2: "a" has no limit.'],
    [
      "limits:\n  hum-alke: off\n",
      'limits.yaml line 2: "hum-alke" is off, but no built-in limit has that name. | Did you mean hum-alike?',
    ],
    [
      "limits:\n  hum-alke:\n    except: 7\n",
      '"hum-alke" has no "limit" line, and no built-in limit has that name. | Did you mean hum-alike?',
    ],
    [
      "limits:\n  a:\n    limit: hum <= 1 dBFS\n    fo: mic\n",
      'limits.yaml line 4: "fo" is not a key here. | Did you mean for?',
    ],
    [
      "limits:\n  a:\n    limit: hum <= 1 dBFS\n    for: []\n",
      "limits.yaml line 4: no path is named here.",
    ],
    [
      "limits:\n  a:\n    limit: hum <= 1 dBFS\n    for: {a: 1}\n",
      "limits.yaml line 4: one text is expected here.",
    ],
    [
      'limits:\n  a:\n    limit: hum <= 1 dBFS\n    why: "a\\u001b[2J"\n',
      'limits.yaml line 4: "why" holds control characters',
    ],
    ["limits:\n  a: &x hum <= 1 dBFS\n  b: *x\n", 'limits.yaml line 3: "b" has no limit.'],
  ])("%j is refused with its line", (text, told) => {
    expect(refusal(() => read(text))).toContain(told);
  });

  it("is read or refused in words, whatever it holds", () => {
    const piece = fc.constantFrom(
      ..."version: 1|built-in: none|limits:|  a: noise|  a:|    limit: x|    for: [1,|    except: {}|    why: y|- z|&a|*a|!!js|? |: |\t|#|%TAG|---|...".split(
        "|",
      ),
    );
    const text = fc.oneof(
      fc.string({ unit: "binary" }),
      fc.array(piece, { maxLength: 9 }).map((lines) => lines.join("\n")),
    );
    fc.assert(
      fc.property(text, (one) => {
        try {
          return read(one).length > 0;
        } catch (error) {
          return error instanceof DeskroundError && error.code === "limits-file";
        }
      }),
      { numRuns: 2000 },
    );
  });
});

describe("the name of a limit", () => {
  it("has forty characters at most", () => {
    const name = "n".repeat(40);
    expect(limits(`  ${name}: thd < 1 dB\n`)[0].name).toBe(name);
    expect(refusal(() => limits(`  ${name}n: thd < 1 dB\n`))).toMatch(/not a usable name/);
    expect(refusal(() => limits("  7a: thd < 1 dB\n"))).toMatch(/not a usable name/);
  });
});
