import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { createProgram } from "../../src/cli/main.js";
import { renderManPage } from "../../src/cli/man-page.js";
import { createTriedDesk } from "./requests/desk.js";
import { launcher, newFolder, run } from "./run.js";

let desk: string;
beforeAll(() => {
  desk = createTriedDesk();
});

/** What the shell is told may stand next; the last word is being typed. */
function next(...words: readonly string[]): readonly string[] {
  const { code, out, err } = run("complete", "--", ...words);
  expect({ code, err }).toEqual({ code: 0, err: "" });
  return out.split("\n").flatMap((line) => line.split("\t")[0] || []);
}

describe("the next word", () => {
  it("is a command, or one of its own commands", () => {
    expect(next("sh")).toEqual(["show"]);
    expect(next("note", "c")).toEqual(["close", "correct"]);
  });

  it("is an option of the command, once a hyphen is typed", () => {
    expect(next("show", "--f")).toEqual(["--format"]);
    expect(next("note", "close", "--te")).toEqual(["--text"]);
  });

  it("is a choice, whether behind the long option or the short one", () => {
    expect(next("signal", "--profile", "")).toEqual(["quick", "standard", "full", "controls"]);
    expect(next("show", "-f", "c")).toEqual(["csv"]);
  });

  it("is a strip, a path, a round or a note of the desk at hand", () => {
    expect(next("show", "--desk", desk, "7")).toEqual(["7", "7/mic", "7/line", "7/tape"]);
    expect(next("compare", "--desk", desk, "--with", "2029")).toEqual(["2029-01-31-01"]);
    expect(next("show", "--desk", desk, "las")).toEqual(["last"]);
    expect(next("note", "show", `--desk=${desk}`, "")).toEqual(["n1", "n2"]);
    expect(next("note", "add", "-d", desk, "de")).toEqual(["desk"]);
  });

  it("of a list goes on behind its last comma", () => {
    expect(next("signal", "--desk", desk, "--only", "7,12/")).toEqual([
      "7,12/mic",
      "7,12/line",
      "7,12/tape",
    ]);
    expect(next("signal", "--desk", desk, "--only", "ta")).toEqual(["tape"]);
  });

  it("is left to the shell where a file or folder is wanted", () => {
    expect(next("analyze", "")).toEqual([":files"]);
    expect(next("show", "--desk", "")).toEqual([":folders"]);
  });

  it("of a desk that cannot be read is absent, without a word about it", () => {
    const broken = newFolder();
    writeFileSync(join(broken, "desk.yaml"), "strips: [");
    expect(next("signal", "--desk", broken, "--only", "")).toEqual([]);
    expect(next("plan", "--history", "")).toEqual([]);
  });
});

/** A folder with `deskround` in it, as an installed one would be on the path. */
function programFolder(): string {
  const folder = join(mkdtempSync(join(tmpdir(), "path-")), "bin");
  mkdirSync(folder);
  symlinkSync(launcher, join(folder, "deskround"));
  return folder;
}

const has = (shell: string) => spawnSync(shell, ["-c", "true"]).status === 0;

describe("a real shell", () => {
  const env = () => ({ ...process.env, PATH: `${programFolder()}:${process.env.PATH}` });

  it.runIf(has("bash"))("bash gets the words of the desk, and runs nothing that was typed", () => {
    const typed = `COMP_WORDS=(deskround show --desk '${desk}' 7/); COMP_CWORD=4`;
    const risky = `COMP_WORDS=(deskround show --desk '$(touch ${desk}/ran)' ''); COMP_CWORD=4`;
    const script = `set -u; source <(deskround completion bash); source <(deskround completion bash)
      ${typed}; _deskround_complete; echo "\${COMPREPLY[*]}"
      ${risky}; _deskround_complete; ls '${desk}'`;
    const { stdout, stderr } = spawnSync("bash", ["-c", script], { encoding: "utf8", env: env() });
    expect(stderr).toBe("");
    expect(stdout).toMatch(/^7\/mic 7\/line 7\/tape\n/);
    expect(stdout).not.toContain("ran");
  });

  it.each(["zsh", "fish"])("%s reads its script without complaint", (shell) => {
    if (!has(shell)) return;
    const { out } = run("completion", shell);
    const file = join(newFolder(), "script");
    writeFileSync(file, out);
    const { status, stderr } = spawnSync(shell, ["-n", file], { encoding: "utf8" });
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
  });
});

describe("the man page", () => {
  const page = renderManPage(createProgram());

  it("has each command and option that --help has", () => {
    for (const command of createProgram().commands.flatMap((one) => [one, ...one.commands])) {
      for (const { long } of command.options) {
        expect(page).toContain((long ?? "").replaceAll("-", "\\-"));
      }
    }
    expect(page).toContain('.SS "deskround note add');
    expect(page).not.toContain("deskround complete ");
  });

  it.runIf(has("groff"))("is set by groff without a warning", () => {
    const { stdout, stderr } = spawnSync("groff", ["-man", "-Tutf8", "-ww", "-Kutf8"], {
      input: page,
      encoding: "utf8",
    });
    expect(stderr).toBe("");
    expect(stdout).toContain("DESKROUND");
  });
});
