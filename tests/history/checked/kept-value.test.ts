import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import zlib from "node:zlib";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { readKeptValue } from "../../../src/history/checked/kept-value.js";
import { getIndexFolder } from "../../../src/history/rounds-folder.js";

// Expected: what `make` gives, as the doc comment promises.

const keeps = typeof zlib.crc32 === "function";

let folder: string;
let file: string;
let made: number;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "kept-value-"));
  file = getIndexFolder(folder, "desk.kept");
  mkdirSync(getIndexFolder(folder), { recursive: true });
  made = 0;
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

const read = <T>(value: T, source: readonly string[] = ["a: ü"]): Promise<T> =>
  readKeptValue(folder, "desk", source, async () => {
    made++;
    return value;
  });

const value = { name: "Æolian 🎚", list: [1.5, null, { deep: "x\ny" }] };

describe.runIf(keeps)("readKeptValue", () => {
  it("makes a value once, and gives back the same", async () => {
    expect(await read(value)).toBe(value);
    expect(await read(value)).toStrictEqual(value);
    expect(made).toBe(1);
  });

  it.each([
    ["a letter", ["a: u"]],
    ["a text more", ["a: ü", ""]],
    ["a text fewer", []],
    ["texts otherwise divided", ["a", ": ü"]],
  ])("makes it anew for %s", async (_, source) => {
    await read(1);
    expect(await read(2, source)).toBe(2);
    expect(await read(3, source)).toBe(2);
    expect(made).toBe(2);
  });

  it("makes it anew where any byte of what was kept is another", async () => {
    await read(value);
    const whole = readFileSync(file);
    for (let at = 0; at < whole.length; at++) {
      const spoilt = Buffer.from(whole);
      spoilt[at] ^= 1;
      writeFileSync(file, spoilt);
      made = 0;
      expect(await read(value)).toStrictEqual(value);
      expect(made, `byte ${at}`).toBe(1);
    }
  });

  it("makes it anew where what was kept ends early", async () => {
    await read(value);
    const whole = readFileSync(file);
    for (const length of [0, 1, whole.indexOf("\n"), whole.length - 1]) {
      writeFileSync(file, whole.subarray(0, length));
      made = 0;
      await read(value);
      expect(made, `${length} bytes`).toBe(1);
    }
  });

  it("counts nothing that another build made", async () => {
    await read(1);
    const [head, body] = readFileSync(file, "utf8").split("\n");
    const { built } = JSON.parse(head);
    expect(built).toBe(statSync("src/history/checked/kept-value.ts").mtimeMs);
    writeFileSync(file, `${head.replace(`${built}`, `${built + 1}`)}\n${body}`);
    expect(await read(2)).toBe(2);
  });

  it.each([
    ["infinite", { x: Number.POSITIVE_INFINITY }],
    ["negative zero", { x: -0 }],
    ["undefined", { x: undefined }],
    ["a map", { x: new Map([["a", 1]]) }],
  ])("keeps nothing that would come back otherwise: %s", async (_, odd) => {
    await read(odd);
    expect(await read(odd)).toBe(odd);
    expect(made).toBe(2);
    expect(readdirSync(getIndexFolder(folder))).toEqual([]);
  });

  it("keeps nothing where no rounds are", async () => {
    rmSync(join(folder, "rounds"), { recursive: true });
    expect([await read(1), await read(2)]).toEqual([1, 2]);
    expect(readdirSync(folder)).toEqual([]);
  });

  it("passes on what `make` throws, and keeps nothing", async () => {
    const failing = () =>
      readKeptValue(folder, "desk", [], () => Promise.reject(new Error("line 3")));
    await expect(failing()).rejects.toThrow("line 3");
    expect(readdirSync(getIndexFolder(folder))).toEqual([]);
  });

  it("leaves a file alone that is not its own, and still gives the value", async () => {
    writeFileSync(file, "someone's notes");
    expect([await read(1), await read(2)]).toEqual([1, 2]);
    expect(readFileSync(file, "utf8")).toBe("someone's notes");
  });

  it("keeps nothing larger than what it would read back", async () => {
    const large = "x".repeat(10_000_001);
    await read(large);
    expect(readdirSync(getIndexFolder(folder))).toEqual([]);
  });
});
