import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import * as capture from "../../src/capture/index.js";
import * as diagnose from "../../src/diagnose/index.js";
import * as dsp from "../../src/dsp/index.js";
import * as measure from "../../src/measure/index.js";
import * as rank from "../../src/rank/index.js";
import * as signal from "../../src/signal/index.js";

const rooms = { dsp, signal, capture, measure, rank, diagnose };
const root = fileURLToPath(new URL("../../", import.meta.url));
const recording = `${root}fixtures/kept-signals/quick-1-base-44100.flac`;

/** All that an example may use without an import: the library, and a recording of one return. */
const scope = { ...dsp, ...signal, ...capture, ...measure, ...rank, ...diagnose, recording };

function sourcesOf(room: string): readonly string[] {
  return readdirSync(`${root}src/${room}`, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".ts"))
    .map((name) => readFileSync(`${root}src/${room}/${name}`, "utf8"));
}

/** The example in the doc comment of an exported function. */
function exampleOf(sources: readonly string[], name: string): string | undefined {
  const declared = new RegExp(
    `(/\\*\\*(?:(?!\\*/)[\\s\\S])*?\\*/)\\nexport (?:async )?function ${name}\\b`,
  );
  for (const source of sources) {
    const [, doc] = declared.exec(source) ?? [];
    const [, example] = /@example\n([\s\S]*?)(?=\n \* ?\n? ?\*? ?@|\n \*\/)/.exec(doc ?? "") ?? [];
    if (example !== undefined) return example.replace(/^ \* ?/gm, "");
  }
  return undefined;
}

/** What an example says comes of each expression: `expression; // value`. */
const promised = /^(?<expression>[^/].*);\s*\/\/ (?<value>.+)$/;

async function run(example: string): Promise<number> {
  let promises = 0;
  const body = example.split("\n").map((line) => {
    const { expression, value } = promised.exec(line)?.groups ?? {};
    if (expression === undefined || !isValue(value)) return line;
    promises++;
    const [, kept = "", made = expression] = /^(const \w+ = )?(.*)$/.exec(expression) ?? [];
    return `${kept}claim(${made}, ${value});`;
  });
  const claim = (made: unknown, value: unknown) => {
    if (typeof made === "number" && typeof value === "number") expect(made).toBeCloseTo(value, 5);
    else expect(made).toEqual(value);
    return made;
  };
  const names = Object.keys(scope);
  const AsyncFunction = (async () => {}).constructor as new (
    ...parts: string[]
  ) => (...values: unknown[]) => Promise<void>;
  await new AsyncFunction(...names, "claim", body.join("\n"))(...Object.values(scope), claim);
  return promises;
}

function isValue(text: string): boolean {
  return /^(-?[\d.]+|true|false|undefined|"[^"]*"|\[.*\])$/.test(text);
}

describe.each(Object.entries(rooms))("deskround/%s", (room, library) => {
  const sources = sourcesOf(room);
  const functions = Object.entries(library)
    .filter(([, value]) => typeof value === "function")
    .map(([name]) => name);

  it.each(functions)("%s has an example", (name) => {
    expect(exampleOf(sources, name), name).toBeDefined();
  });

  it.each(functions)("the example of %s runs and gives what it says", async (name) => {
    await run(exampleOf(sources, name) ?? "");
  });
});
