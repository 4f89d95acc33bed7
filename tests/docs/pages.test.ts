import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import { readingKinds } from "../../src/measure/reading-kinds.js";
import { run } from "../cli/run.js";

const root = fileURLToPath(new URL("../..", import.meta.url));
const read = (name: string) => readFileSync(join(root, name), "utf8");
const pages = [
  "README.md",
  "DEVELOPERS.md",
  ...readdirSync(join(root, "docs"))
    .filter((name) => name.endsWith(".md"))
    .map((name) => `docs/${name}`),
];

/** A page without blocks of code, as long as they are printed, and without what is unseen. */
function prose(text: string): string {
  return text.replace(/^```[\s\S]*?^```$/gm, "").replace(/<!--.*?-->/g, "");
}

/** What stands between backquotes in running text. */
function inlineCode(text: string): readonly string[] {
  return Array.from(prose(text).matchAll(/`([^`]+)`/g), (match) => match[1].replace(/\s+/g, " "));
}

/** Anchors of a page's headings, as they are made for links. */
function anchors(text: string): readonly string[] {
  return Array.from(prose(text).matchAll(/^#+ (.+)$/gm), ([, heading]) =>
    heading
      .toLowerCase()
      .replace(/[^\p{L}\p{N} _-]/gu, "")
      .replaceAll(" ", "-"),
  );
}

describe("README.md", () => {
  const text = read("README.md");

  it("opens with one paragraph and then the two commands", () => {
    const [heading, paragraph, commands] = text.split(/\n\n/);
    expect(heading).toBe("# deskround");
    expect(paragraph).toMatch(/^Opening a large analogue mixing desk/);
    expect(commands.split("\n").map((line) => line.replace(/ +#.*/, ""))).toEqual([
      "```sh",
      "npm ci && npm run demo",
      "npm ci && npm test",
      "```",
    ]);
  });

  it("names only scripts that package.json has", () => {
    const { scripts } = JSON.parse(read("package.json"));
    expect(scripts.demo).toMatch(/deskround\.js demo$/);
    const named = pages.flatMap((page) =>
      Array.from(read(page).matchAll(/npm run ([\w:]+)/g), ([, script]) => script),
    );
    for (const script of [...named, "test", "preprepare"]) expect(scripts).toHaveProperty(script);
  });
});

describe("docs/a-round.md", () => {
  const text = read("docs/a-round.md");

  it("puts the cautions first", () => {
    const [, first] = text.split(/^## /m);
    expect(first).toMatch(/^Cautions\n/);
    for (const word of [
      "Mute",
      "phantom power off",
      "wait",
      "licensed",
      "local codes",
      "Tie a desk",
      "connector",
    ]) {
      expect(first).toContain(word);
    }
  });

  it("gives a pad box that takes off 44 dB into 2 kΩ", () => {
    // A voltage divider: 2 · 11 kΩ in series, 150 Ω in parallel with the input.
    expect(text).toContain("── 11 kΩ ──");
    expect(text).toContain("150 Ω");
    const shunt = 1 / (1 / 150 + 1 / 2000);
    expect(20 * Math.log10((2 * 11_000 + shunt) / shunt)).toBeCloseTo(44, 1);
  });
});

describe("docs/readings.md", () => {
  const text = read("docs/readings.md");

  it("says of each reading of the registry what moves it, and of none else", () => {
    const [, meaning = ""] = text.split("## What they say about a path");
    const heads = Array.from(meaning.matchAll(/^- (`[^:]+):/gm), ([, head]) => head);
    const named = heads.flatMap((head) => Array.from(head.matchAll(/`(\w+)`/g), ([, id]) => id));
    const curves = ["response", "distortion"];
    const between = readingKinds.flatMap(({ id }) => (/^harmonic[3-9]$/.test(id) ? [id] : []));
    const ids = readingKinds.map(({ id }) => id);
    expect([...named, ...between].sort()).toEqual([...ids, ...curves].sort());
  });

  it("gives the noise of a 150 Ω resistor as Johnson's and Nyquist's formula does", () => {
    // √(4kTRB), k from the SI; 20 °C, 20 kHz; 0 dBu = √0.6 V.
    const volts = Math.sqrt(4 * 1.380649e-23 * 293.15 * 150 * 20_000);
    expect(20 * Math.log10(volts / Math.sqrt(0.6))).toBeCloseTo(-131, 0);
    expect(text).toContain("−131 dBu");
  });
});

describe("docs/methods.md", () => {
  const text = read("docs/methods.md");
  const titles = Array.from(text.matchAll(/^## (`.+)$/gm), ([, title]) => title);

  it("has one paragraph for each reading of the registry, and for none else", () => {
    const harmonics = readingKinds.filter(({ id }) => /^harmonic\d/.test(id));
    const others = readingKinds.filter((kind) => !harmonics.includes(kind));
    const expected = [
      ...others.map(({ id, name }) => `\`${id}\`: ${name}`),
      `\`${harmonics[0].id}\` to \`${harmonics.at(-1)?.id}\`: harmonics`,
    ];
    expect([...titles].sort()).toEqual(expected.sort());
  });

  it("names a standard, a paper or common practice for each, and where its doubt comes from", () => {
    for (const { id, source } of readingKinds) {
      expect(source, id).toMatch(/IEC|AES|ITU|IEEE|common practice|textbook/);
    }
    for (const paragraph of text.split(/^## /m).filter((part) => part.startsWith("`"))) {
      expect(paragraph.replace(/\s+/g, " ")).toMatch(/[Uu]ncertainty/);
    }
  });
});

describe("docs/files.md", () => {
  const text = read("docs/files.md");

  it("names every key that a round and its paths have", () => {
    const { properties } = JSON.parse(read("docs/round.schema.json"));
    const code = new Set(inlineCode(text));
    const keys = [...Object.keys(properties), ...Object.keys(properties.paths.items.properties)];
    expect(keys.filter((key) => !code.has(key))).toEqual([]);
  });

  it("names every key of a calibration", () => {
    const { properties } = JSON.parse(read("docs/calibration.schema.json"));
    const code = new Set(inlineCode(text));
    const keys = [...Object.keys(properties), ...Object.keys(properties.inputs.items.properties)];
    expect(keys.filter((key) => !code.has(key))).toEqual([]);
  });

  it("gives the lengths that names and texts of the desk file may have", () => {
    const desk = (name: number, strip: number, setup: number) => () =>
      parseDesk(
        `name: ${"n".repeat(name)}\nmains: 50\nstrips: [${"s".repeat(strip)}]\n` +
          `inputs: { mic: { nominal: -40, setup: ${"t".repeat(setup)} } }\n`,
        "desk.yaml",
      );
    expect(text).toContain("**name** has at most 60 characters, **setup** at most 400");
    expect(text).toContain("names of up to 16 letters");
    expect(desk(60, 16, 400)).not.toThrow();
    expect(desk(61, 16, 400)).toThrow();
    expect(desk(60, 17, 400)).toThrow();
    expect(desk(60, 16, 401)).toThrow();
  });
});

describe("the pages", () => {
  const listed = (text: string) =>
    Array.from((text.split("Commands:\n")[1] ?? "").matchAll(/^ {2}([a-z]+)\b/gm), (m) => m[1]);
  const commands = listed(run("--help").out);
  /** Of a command and of those beneath it. */
  const helpOf = (command: string): string => {
    const own = run(command, "--help").out;
    const beneath = listed(own).filter((name) => name !== "help");
    return [own, ...beneath.map((name) => run(command, name, "--help").out)].join("\n");
  };
  const help = new Map(commands.map((command) => [command, helpOf(command)]));
  const has = (options: string, option: string) =>
    new RegExp(`(^|\\s)${option}(?![\\w-])`, "m").test(options);

  it.each(pages)("%s speaks of commands and options that exist", (page) => {
    expect(commands).toContain("analyze");
    // Pages about scripts name the options of those.
    const ofScripts = /npm run [\w:]+ --/.test(read(page));
    for (const code of inlineCode(read(page))) {
      const [, command] = /^(?:deskround|node bin\/deskround\.js) ([a-z]+)/.exec(code) ?? [];
      if (command !== undefined) expect(commands, code).toContain(command);
      const known = command === undefined ? [...help.values()].join() : (help.get(command) ?? "");
      const bare = !ofScripts && code.startsWith("--");
      const options = code.startsWith("deskround") || bare ? code : "";
      for (const [option] of options.matchAll(/(?<=^|\s)--[a-z\d-]+/g)) {
        if (["--help", "--version"].includes(option)) continue;
        expect(has(known, option), `${code} in ${page}`).toBe(true);
      }
    }
  });

  it.each(pages)("%s fits 80 columns", (page) => {
    const long = prose(read(page))
      .split("\n")
      .filter((line) => [...line].length > 80);
    expect(long).toEqual([]);
  });

  it.each(pages)("%s links to what exists", (page) => {
    for (const [, target] of prose(read(page)).matchAll(/\]\(([^)]+)\)/g)) {
      const [file, anchor] = target.split("#");
      const name = file === "" ? page : join(dirname(page), file);
      expect(existsSync(join(root, name)), target).toBe(true);
      if (anchor !== undefined) expect(anchors(read(name)), target).toContain(anchor);
    }
  });
});
