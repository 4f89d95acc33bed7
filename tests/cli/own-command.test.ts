import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { createProgram } from "../../src/cli/main.js";
import { commandNames, findOwnCommand, wrapOwnCommands } from "../../src/cli/own-command.js";

const PATH = "/usr/bin:/bin";
const find = (script: string, cwd: string, env = {}) =>
  findOwnCommand({ script, cwd, env: { PATH, ...env } });

describe("the command that works from where one stands", () => {
  it("is the script in the folder of a clone, beneath it and beside it", () => {
    const script = "/home/ada/deskround/bin/deskround.js";
    expect(find(script, "/home/ada/deskround")).toBe("node bin/deskround.js");
    expect(find(script, "/home/ada/deskround/demo-desk")).toBe("node ../bin/deskround.js");
    expect(find(script, "/home/ada/desk")).toBe("node ../deskround/bin/deskround.js");
    expect(find(script, "/srv/desks/big")).toBe(`node ${script}`);
    expect(find("/home/a b/bin/deskround.js", "/srv/x")).toBe('node "/home/a b/bin/deskround.js"');
  });

  it("is the short word once a shell finds it", () => {
    const folder = mkdtempSync(join(tmpdir(), "own-"));
    writeFileSync(join(folder, "deskround"), "");
    const env = { PATH: `${PATH}:${folder}` };
    expect(find("/home/ada/deskround/bin/deskround.js", "/home/ada/deskround", env)).toBe(
      "deskround",
    );
    expect(find(join(folder, "deskround"), "/srv", env)).toBe("deskround");
  });

  it("is npx in a project that has it, and the cached file where npx fetched it for once", () => {
    expect(find("/home/ada/mine/node_modules/.bin/deskround", "/home/ada/mine")).toBe(
      "npx deskround",
    );
    const cached = "/home/ada/.npm/_npx/0f/node_modules/.bin/deskround";
    expect(find(cached, "/srv/desks/big")).toBe(`node ${cached}`);
  });

  it("is what DESKROUND_COMMAND says", () => {
    expect(find("/x/bin/deskround.js", "/x", { DESKROUND_COMMAND: "dr" })).toBe("dr");
  });

  it("knows every command", () => {
    const program = createProgram();
    const names = program
      .createHelp()
      .visibleCommands(program)
      .map((one) => one.name());
    expect(names).toEqual([...commandNames]);
  });
});

describe("wrapOwnCommands", () => {
  const write = (text: string) => text.replaceAll("deskround show", "node bin/deskround.js show");

  it("breaks a paragraph again whose command got longer", () => {
    const text = [
      "[ ] look at it closely: `deskround show 7/mic`",
      "    prints it, and what it is compared with",
      "    A line of its own stays.",
      "  - `deskround show 7`",
    ].join("\n");
    expect(wrapOwnCommands(text, 50, write).split("\n")).toEqual([
      "[ ] look at it closely: `node bin/deskround.js",
      "    show 7/mic` prints it, and what it is compared",
      "    with",
      "    A line of its own stays.",
      "  - `node bin/deskround.js show 7`",
    ]);
  });

  it("leaves what has no command as it is", () => {
    const text = `${"a ".repeat(60)}\n  b`;
    expect(wrapOwnCommands(text, 40, write)).toBe(text);
  });
});
