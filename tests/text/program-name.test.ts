import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import {
  findProgramName,
  formatCommand,
  getProgramName,
  nameDesk,
  setReaders,
  writeForAnywhere,
} from "../../src/text/program-name.js";

const PATH = "/usr/bin:/bin";
const find = (script: string, cwd: string, env = {}) =>
  findProgramName({ script, cwd, env: { PATH, ...env } });

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
});

describe("a command in a sentence", () => {
  it("names the desk that was named, but not where it is read elsewhere", () => {
    const start = getProgramName();
    expect(formatCommand("note close n1")).toBe(`${start} note close n1`);
    nameDesk(".");
    expect(formatCommand("plan")).toBe(`${start} plan`);
    nameDesk("my desk's");
    expect(formatCommand("show 7")).toBe(`${start} show 7 --desk 'my desk'\\''s'`);
    expect(formatCommand("halve", "FILES")).toMatch(/ halve --desk '.*' FILES$/);
    expect(writeForAnywhere(() => formatCommand("show 7"))).toBe("deskround show 7");
    nameDesk(undefined);
  });

  it("has the plain name in what is kept, whatever goes wrong meanwhile", () => {
    expect(writeForAnywhere(() => `${getProgramName()} plan`)).toBe("deskround plan");
    expect(() =>
      writeForAnywhere(() => {
        throw new Error("no words");
      }),
    ).toThrow("no words");
    setReaders("anywhere");
    expect(writeForAnywhere(getProgramName)).toBe("deskround");
    expect(getProgramName()).toBe("deskround");
    setReaders("here");
  });
});
