import { spawnSync } from "node:child_process";
import {
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  statSync,
  writeFileSync,
} from "node:fs";
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

/** A program that calls 300 functions of its own, or none. */
function newProgramOfTwoUses(): string {
  const folder = mkdtempSync(join(tmpdir(), "load-program-"));
  const parts = Array.from(
    { length: 300 },
    (_, k) =>
      `function part${k}(a, b) { return [a + ${k}, b * ${k}, a / b, a - b].join(String(a)); }`,
  );
  const calls = parts.map((_, k) => `part${k}(1, 2)`);
  writeFileSync(
    join(folder, "main.js"),
    `${parts.join("\n")}
exports.main = () => { if (process.argv[2] === "rich") [${calls.join(", ")}]; };\n`,
  );
  return folder;
}

function use(folder: string, how: string): void {
  const { stderr, status } = spawnSync(process.execPath, ["--eval", script, folder, how], {
    encoding: "utf8",
  });
  expect({ stderr, status }).toEqual({ stderr: "", status: 0 });
}

const sizeOf = (folder: string) => statSync(keptOf(folder, "main.js")).size;

/** When each kept file was written, in nanoseconds. */
function timesOf(folder: string): readonly (readonly [string, bigint])[] {
  const kept = join(folder, ".compiled");
  return readdirSync(kept)
    .sort()
    .map((name) => [name, statSync(join(kept, name), { bigint: true }).mtimeNs] as const);
}

describe("what V8 compiled of the program", () => {
  it("is kept for every module that was loaded, and used as it is the next time", () => {
    const folder = newProgram();
    expect(start(folder)).toEqual(right(folder));
    const names = ["late.js.bin", "main.js.bin", "starts.json"];
    expect(readdirSync(join(folder, ".compiled")).sort()).toEqual(names);
    const made = timesOf(folder);
    expect(start(folder)).toEqual(right(folder));
    expect(timesOf(folder)).toEqual(made);
  });

  it("grows by what a later start needs, after one that needed little, and then rests", () => {
    const [thinFirst, richAlone] = [newProgramOfTwoUses(), newProgramOfTwoUses()];
    use(richAlone, "rich");
    const wanted = sizeOf(richAlone);
    use(thinFirst, "thin");
    // 300 functions of the program are not compiled by a start that calls none of them.
    expect(sizeOf(thinFirst)).toBeLessThan(wanted / 2);
    use(thinFirst, "rich");
    expect(sizeOf(thinFirst)).toBeGreaterThan(0.98 * wanted);
    const made = timesOf(thinFirst);
    for (const how of ["rich", "thin", "rich"]) use(thinFirst, how);
    expect(timesOf(thinFirst)).toEqual(made);
    expect(sizeOf(thinFirst)).toBeGreaterThan(0.98 * wanted);
  });

  it("of more is not replaced by that of less, where two starts end at once", () => {
    const folder = newProgramOfTwoUses();
    use(folder, "rich");
    const wanted = sizeOf(folder);
    const [kept, aside] = [join(folder, ".compiled"), join(folder, "aside")];
    renameSync(kept, aside);
    // The thin start has found nothing kept; before it ends, the rich one does.
    const thin = `${script}; require("node:fs").renameSync(${JSON.stringify(aside)}, ${JSON.stringify(kept)})`;
    const { stderr } = spawnSync(process.execPath, ["--eval", thin, folder, "thin"], {
      encoding: "utf8",
    });
    expect(stderr).toBe("");
    expect(sizeOf(folder)).toBe(wanted);
  });

  it("is looked at anew where the note of earlier starts is spoilt", () => {
    const folder = newProgramOfTwoUses();
    use(folder, "rich");
    const note = join(folder, ".compiled", "starts.json");
    const whole = readFileSync(note, "utf8");
    for (const spoilt of ["", "null", "[1]", '"no"']) {
      writeFileSync(note, spoilt);
      use(folder, "rich");
      expect(Object.keys(JSON.parse(readFileSync(note, "utf8")))).toEqual(
        Object.keys(JSON.parse(whole)),
      );
    }
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
