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
/** Where the comments are read: in the copies that `npm run mutate` changes some get lost. */
const sources = process.env.DESKROUND_SOURCES ?? root;
/**
 * All that an example may use without an import: the library, what its own room keeps to itself, a
 * recording of one return, that return as `audio`, and `fileOf` some bytes.
 */
const library = { ...dsp, ...signal, ...capture, ...measure, ...rank, ...diagnose };
const recording = `${root}fixtures/kept-signals/quick-1-base-44100.flac`;

/** A return: that of the recording. */
async function readReturn(): Promise<measure.ReturnAudio> {
  const reader = await capture.openSamples(capture.inspectRecording(recording));
  const [found] = capture.findReturns(reader).returns;
  const audio = {
    ...capture.sliceReturn(reader, found),
    table: capture.buildReturnTable(found),
    mainsHz: 50,
  };
  reader.close();
  return audio;
}

/** An open file of these bytes. */
const fileOf = (bytes: Uint8Array) => ({
  file: "a.wav",
  size: bytes.length,
  readInto(target: Uint8Array, position: number) {
    const part = bytes.subarray(position, position + target.length);
    target.set(part);
    return part.length;
  },
  close() {},
});

/** A function that a file of a room exports. */
interface Exported {
  readonly name: string;
  readonly example: string | undefined;
  /** What its file exports. */
  readonly own: Readonly<Record<string, unknown>>;
}

async function listExported(room: string): Promise<readonly Exported[]> {
  const names = readdirSync(`${root}src/${room}`, { recursive: true, encoding: "utf8" });
  const files = names.filter((name) => name.endsWith(".ts"));
  const lists = files.map(async (name) => {
    const source = readFileSync(`${sources}src/${room}/${name}`, "utf8");
    const found = [...source.matchAll(declared)];
    if (found.length === 0) return [];
    const own: Readonly<Record<string, unknown>> = await import(`${root}src/${room}/${name}`);
    return found.map(([, doc, function_]) => ({ name: function_, example: exampleIn(doc), own }));
  });
  return (await Promise.all(lists)).flat();
}

/** A function with its doc comment. */
const declared =
  /(\/\*\*(?:(?!\*\/)[\s\S])*?\*\/)?\nexport (?:(?:async )?function\*? |const (?=\w+ = \([^)\n]*\)(?:: \w+)? =>))(\w+)\b/g;

function exampleIn(doc = ""): string | undefined {
  const [, example] = /@example\n([\s\S]*?)(?=\n \* ?\n? ?\*? ?@|\n \*\/)/.exec(doc) ?? [];
  return example?.replace(/^ \* ?/gm, "");
}

/** What an example says comes of each expression: `expression; // value`, also on the next line. */
const promised = /^(?<expression>[^/].*);\s*\/\/ (?<value>.+)$/;

/** @returns how many values it promised */
async function run(example: string, room: Exported["own"]): Promise<number> {
  const joined = example.replace(/^([\w[(].*;)\n\/\/ (.+)$/gm, (both, line, value) =>
    isValue(value) ? `${line} // ${value}` : both,
  );
  const body = joined.split("\n").map((line) => {
    const { expression, value } = promised.exec(line)?.groups ?? {};
    if (expression === undefined || !isValue(value)) return line;
    const [, kept = "", made = expression] = /^(const \w+ = )?(.*)$/.exec(expression) ?? [];
    return `${kept}claim(${made}, (${value}));`;
  });
  let claims = 0;
  const claim = (made: unknown, value: unknown) => {
    claims++;
    if (typeof made === "number" && typeof value === "number") expect(made).toBeCloseTo(value, 5);
    else expect(made).toEqual(value);
    return made;
  };
  const scope = { ...room, ...library, recording, fileOf, audio };
  const AsyncFunction = (async () => {}).constructor as new (
    ...parts: string[]
  ) => (...values: unknown[]) => Promise<void>;
  const names = Object.keys(scope);
  // In a block of its own, so that it may give a name of the scope to something else.
  const code = `{\n${body.join("\n")}\n}`;
  await new AsyncFunction(...names, "claim", code)(...Object.values(scope), claim);
  return claims;
}

function isValue(text: string): boolean {
  return /^(-?[\d.]+|0x[\da-f]+|true|false|undefined|"[^"]*"|\[.*\]|\{.*\})$/.test(text);
}

const audio = await readReturn();

describe.each(Object.entries(rooms))("deskround/%s", async (room, door) => {
  const functions = await listExported(room);
  const offered = functions.filter(
    ({ name, own }) => own[name] === (door as Readonly<Record<string, unknown>>)[name],
  );
  // What the room keeps to itself its own examples may use; of two of one name, that of the file.
  const all = Object.assign({}, ...functions.map(({ own }) => own));

  it("exports functions", () => {
    expect(offered.length).toBeGreaterThan(1);
  });

  it.each(functions)("$name has an example", ({ name, example }) => {
    expect(example, name).toBeDefined();
  });

  it.each(functions.filter(({ example }) => example !== undefined))(
    "the example of $name runs and gives what it says",
    async ({ example = "", own }) => {
      expect(await run(example, { ...all, ...own })).toBeGreaterThan(0);
    },
  );
});
