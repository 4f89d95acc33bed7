import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const loader = fileURLToPath(new URL("../../bin/load-program.js", import.meta.url));
const script = `require(${JSON.stringify(loader)}).loadProgram(process.argv[1], "main.js").main()`;

/** A program of two modules, one of which is asked for late, as commands are. */
function newProgram(): string {
  const folder = mkdtempSync(join(tmpdir(), "load-program-"));
  writeFileSync(
    join(folder, "main.js"),
    `exports.main = () => Promise.resolve().then(() => require("./late.js")).then(({ say }) => say(1 + 1));\n`,
  );
  writeFileSync(
    join(folder, "late.js"),
    `const { sep } = require("node:path");\nexports.say = (n) => console.log(sep, "±", n, __filename);\n`,
  );
  return folder;
}

function start(folder: string, ...options: readonly string[]) {
  const { stdout, stderr, status } = spawnSync(
    process.execPath,
    [...options, "--eval", script, folder],
    { encoding: "utf8" },
  );
  return { stdout, stderr, status };
}

const right = (folder: string, n = 2) => ({
  stdout: `/ ± ${n} ${join(folder, "late.js")}\n`,
  stderr: "",
  status: 0,
});

const keptOf = (folder: string, name: string) => join(folder, ".compiled", `${name}.bin`);

describe("what V8 compiled of the program", () => {
  it("is kept for every module that was loaded, and used as it is the next time", () => {
    const folder = newProgram();
    expect(start(folder)).toEqual(right(folder));
    expect(readdirSync(join(folder, ".compiled")).sort()).toEqual(["late.js.bin", "main.js.bin"]);
    const made = statSync(keptOf(folder, "late.js")).mtimeMs;
    expect(start(folder)).toEqual(right(folder));
    expect(statSync(keptOf(folder, "late.js")).mtimeMs).toBe(made);
  });

  it("counts only for the very source that it was made of", () => {
    const folder = newProgram();
    start(folder);
    const file = join(folder, "main.js");
    // As long as before, which is all that V8 looks at.
    writeFileSync(file, readFileSync(file, "utf8").replace("1 + 1", "1 + 2"));
    expect(start(folder)).toEqual(right(folder, 3));
    expect(start(folder)).toEqual(right(folder, 3));
  });

  it.each([
    ["cut short", (bytes: Buffer) => bytes.subarray(0, bytes.length >> 1)],
    ["empty", () => Buffer.alloc(0)],
    ["of eight bytes", (bytes: Buffer) => bytes.subarray(0, 8)],
    [
      "with a byte of its middle turned round",
      (bytes: Buffer) => {
        const spoilt = Buffer.from(bytes);
        spoilt[bytes.length >> 1] ^= 0xff;
        return spoilt;
      },
    ],
  ])("is made again where it is %s", (_, spoil) => {
    const folder = newProgram();
    start(folder);
    const file = keptOf(folder, "main.js");
    const whole = readFileSync(file);
    writeFileSync(file, spoil(whole));
    expect(start(folder)).toEqual(right(folder));
    expect(readFileSync(file).length).toBe(whole.length);
  });

  it("is made again where another V8 would read it", () => {
    const folder = newProgram();
    start(folder);
    // Stands for another version: V8 takes nothing that was made under other flags.
    expect(start(folder, "--no-use-ic")).toEqual(right(folder));
    expect(start(folder)).toEqual(right(folder));
  });

  it("is done without where nobody may write", () => {
    const folder = newProgram();
    writeFileSync(join(folder, ".compiled"), "");
    expect(start(folder)).toEqual(right(folder));
    expect(readFileSync(join(folder, ".compiled"), "utf8")).toBe("");
  });
});

describe("a module that is missing", () => {
  it("is told by the system's own error", () => {
    const folder = mkdtempSync(join(tmpdir(), "load-program-"));
    expect(start(folder).stderr).toContain(`ENOENT: no such file or directory, open '${folder}`);
  });
});
