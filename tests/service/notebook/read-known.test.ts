import {
  appendFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import zlib from "node:zlib";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { readDesk } from "../../../src/desk/read/read-desk.js";
import { readStripDown } from "../../../src/desk/strip-down/read-strip-down.js";
import { readKnownDesk, readKnownStripDown } from "../../../src/history/checked/known-desk.js";
import { getIndexFolder } from "../../../src/history/rounds-folder.js";
import { readNotebook } from "../../../src/service/notebook/read.js";
import { readKnownNotebook } from "../../../src/service/notebook/read-known.js";

// Expected: what the readers give that check a file each time.

const keeps = typeof zlib.crc32 === "function";
const [, wholeDesk] = /^```yaml file=whole\/desk\.yaml\n(.*?)^```/ms.exec(
  readFileSync(new URL("../../../docs/files.md", import.meta.url), "utf8"),
) ?? ["", ""];

let folder: string;
const write = (name: string, text: string) => writeFileSync(join(folder, name), text);
const note = (more: object) =>
  `${JSON.stringify({ note: 1, date: "2031-03-14T12:00:00Z", ...more })}\n`;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "known-"));
  mkdirSync(getIndexFolder(folder), { recursive: true });
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

const listKept = () => readdirSync(getIndexFolder(folder)).sort();

describe("readKnownDesk", () => {
  it("gives the desk of a file with every part, first, again and after a change", async () => {
    write("desk.yaml", wholeDesk);
    for (let k = 0; k < 2; k++) {
      expect(await readKnownDesk(folder)).toStrictEqual(readDesk(folder));
      expect(listKept()).toStrictEqual(keeps ? ["desk.kept"] : []);
    }
    write("desk.yaml", wholeDesk.replace(/^name: .*$/m, "name: Another"));
    expect((await readKnownDesk(folder)).name).toBe("Another");
    expect(await readKnownDesk(join(folder, "desk.yaml"))).toStrictEqual(readDesk(folder));
  });

  it("refuses a bad file as often as it is read, also after a good one", async () => {
    write("desk.yaml", wholeDesk);
    await readKnownDesk(folder);
    write("desk.yaml", wholeDesk.replace(/^mains: .*$/m, "mains: 55"));
    for (let k = 0; k < 2; k++) await expect(readKnownDesk(folder)).rejects.toThrow("mains");
  });
});

describe("readKnownStripDown", () => {
  const book = (strips: string) =>
    `boards:\n  channel board:\n    strips: ${strips}\n    minutes: 8\n`;

  it("gives none where there is none, and else the book", async () => {
    write("desk.yaml", wholeDesk);
    const desk = readDesk(folder);
    expect(await readKnownStripDown(folder, desk)).toBeUndefined();
    write("strip-down.yaml", book("1-2"));
    for (let k = 0; k < 2; k++) {
      expect(await readKnownStripDown(folder, desk)).toStrictEqual(readStripDown(folder, desk));
    }
    expect(listKept()).toStrictEqual(keeps ? ["strip-down.kept"] : []);
  });

  it("is checked again where the desk is another, of which it speaks", async () => {
    write("desk.yaml", wholeDesk);
    write("strip-down.yaml", book("1-2"));
    const desk = readDesk(folder);
    await readKnownStripDown(folder, desk);
    const fewer = { ...desk, strips: desk.strips.slice(0, 1) };
    await expect(readKnownStripDown(folder, fewer)).rejects.toThrow("no strip 2");
  });
});

describe("readKnownNotebook", () => {
  it("is empty where there is none", async () => {
    expect(await readKnownNotebook(folder)).toStrictEqual(readNotebook(folder));
    expect(listKept()).toStrictEqual([]);
  });

  it("gives what is open, closed, counted and damaged, and what was added since", async () => {
    const lines = [
      note({ id: "n1", kind: "fault", text: "pan scratchy – “left”", strip: "3" }),
      note({ id: "n2", kind: "off", text: "cover off", what: "cover" }),
      note({ id: "n3", kind: "count", text: "5", counts: "n2", found: [{ what: "M3", count: 5 }] }),
      "no JSON at all\n",
      note({ id: "n4", kind: "close", text: "done", closes: "n1", figures: [] }),
      note({ id: "n5", kind: "close", text: "gone", closes: "n9", figures: [] }),
    ];
    write("notebook.jsonl", lines.join(""));
    for (let k = 0; k < 2; k++) {
      expect(await readKnownNotebook(folder)).toStrictEqual(readNotebook(folder));
      expect(listKept()).toStrictEqual(keeps ? ["notebook.kept"] : []);
    }
    const { entries, damaged } = await readKnownNotebook(folder);
    expect(entries.map(({ id, closed }) => [id, closed?.id])).toStrictEqual([
      ["n1", "n4"],
      ["n2", undefined],
    ]);
    expect(damaged.map(({ at }) => at)).toStrictEqual([4, 6]);
    appendFileSync(join(folder, "notebook.jsonl"), note({ id: "n6", kind: "fault", text: "hum" }));
    const more = await readKnownNotebook(folder);
    expect(more).toStrictEqual(readNotebook(folder));
    expect(more.entries.at(-1)?.id).toBe("n6");
  });

  it("opens a note again whose round is set aside later", async () => {
    write(
      "notebook.jsonl",
      note({ id: "n1", kind: "fault", text: "hum", strip: "3" }) +
        note({
          id: "n2",
          kind: "close",
          text: "done",
          closes: "n1",
          figures: [],
          round: "2031-03-14-01",
        }),
    );
    expect((await readKnownNotebook(folder)).entries[0].closed).toBeDefined();
    const rounds = [{ round: "2031-03-14-01", date: "2031-03-15T12:00:00Z", because: "gain" }];
    const aside = { format: "deskround-withdrawn", version: 1, rounds };
    write("rounds/withdrawn.json", JSON.stringify(aside, null, 2));
    expect((await readKnownNotebook(folder)).entries[0].closed).toBeUndefined();
    expect(await readKnownNotebook(folder)).toStrictEqual(readNotebook(folder));
  });
});
