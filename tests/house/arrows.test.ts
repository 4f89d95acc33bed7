import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const source = fileURLToPath(new URL("../../src/", import.meta.url));
const files = readdirSync(source, { recursive: true, encoding: "utf8" }).filter((name) =>
  name.endsWith(".ts"),
);

/** What a file imports of ours, types too: paths within `src`. */
const imports = new Map(
  files.map((file) => {
    const text = readFileSync(join(source, file), "utf8");
    const found = text.matchAll(/(?:from |import\()"(\.{1,2}\/[^"]+)\.js"/g);
    const own = [...found].map(([, to]) =>
      relative(source, join(source, dirname(file), `${to}.ts`)),
    );
    return [file, own.filter((one) => files.includes(one))] as const;
  }),
);

/** The first circle of imports that is met, from file to file. */
function findCircle(): readonly string[] | undefined {
  const done = new Set<string>();
  const visit = (file: string, way: readonly string[]): readonly string[] | undefined => {
    if (way.includes(file)) return [...way.slice(way.indexOf(file)), file];
    if (done.has(file)) return undefined;
    for (const next of imports.get(file) ?? []) {
      const circle = visit(next, [...way, file]);
      if (circle !== undefined) return circle;
    }
    done.add(file);
    return undefined;
  };
  for (const file of files) {
    const circle = visit(file, []);
    if (circle !== undefined) return circle;
  }
  return undefined;
}

/** From left to right: a room imports only rooms to its left, and the base. */
const row = ["signal", "capture", "measure", "rank", "diagnose", "history", "service", "report"];
const base = ["desk", "dsp", "text"];

describe("the house", () => {
  it("has no circle of imports, not even of types", () => {
    expect(findCircle()).toBeUndefined();
  });

  it.each(row)("lets %s import only what stands to its left", (room) => {
    const allowed = [...base, ...row.slice(0, row.indexOf(room) + 1)];
    // What a sitting tells is worded like everything else.
    if (room === "report") allowed.push("sitting");
    const wrong = [...imports].flatMap(([file, own]) =>
      file.startsWith(`${room}/`)
        ? own.filter((to) => to.includes("/") && !allowed.includes(to.split("/")[0]))
        : [],
    );
    expect(wrong).toEqual([]);
  });

  it.each(base)("lets %s import nothing but the base", (room) => {
    const allowed = room === "dsp" ? ["dsp"] : base;
    const wrong = [...imports].flatMap(([file, own]) =>
      file.startsWith(`${room}/`)
        ? own.filter((to) => to.includes("/") && !allowed.includes(to.split("/")[0]))
        : [],
    );
    expect(wrong).toEqual([]);
  });

  it("leaves words to report, which what analyses and what sits ask for nothing", () => {
    const wrong = [...imports].flatMap(([file, own]) =>
      /^(?:analysis|sitting|threads|audio)\//.test(file)
        ? own.filter((to) => to.startsWith("report/")).map((to) => `${file} -> ${to}`)
        : [],
    );
    expect(wrong).toEqual([]);
  });

  it("keeps simulate and diagnose apart", () => {
    const between = [...imports].flatMap(([file, own]) => {
      const [from] = file.split("/");
      const other = { simulate: "diagnose", diagnose: "simulate" }[from];
      return own.filter((to) => to.split("/")[0] === other).map((to) => `${file} -> ${to}`);
    });
    expect(between).toEqual([]);
  });

  it("lets nothing but the command line import the command line", () => {
    const wrong = [...imports].filter(
      ([file, own]) => !file.startsWith("cli/") && own.some((to) => to.startsWith("cli/")),
    );
    expect(wrong).toEqual([]);
  });
});
