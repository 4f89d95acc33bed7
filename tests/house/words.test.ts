import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseAst } from "rolldown/parseAst";
import { describe, expect, it } from "vitest";
import { createProgram } from "../../src/cli/main.js";

const source = fileURLToPath(new URL("../../src/", import.meta.url));

/** Rooms that decide: what they find goes on as data, and `report` words it. */
const deciding = [
  "dsp",
  "capture/find",
  "measure",
  "rank",
  "history",
  "service",
  "sitting",
  "analysis",
  "jobs",
];

/**
 * What a person is to do at the desk is content, like the bench records of the causes: it is chosen
 * whole by what was decided, and nothing takes it apart.
 */
const instructions = [
  "service/cautions.ts",
  "service/pass-sheet.ts",
  "service/run-sheet.ts",
  "service/plan/danger-guide.ts",
  "service/plan/section-guides.ts",
];

/** Files of `jobs` with a hint that several refusals share, or that is put together before one is thrown. */
const sharedHints: readonly string[] = [
  "jobs/calibrate.ts",
  "jobs/read-returns.ts",
  "jobs/note/read-piped-text.ts",
];

/** Refusals go to the person as they are, with a code: see `errors.ts`. */
const refusals = /\b(?:new \w*Error|refuse\w*|throw\w+|damaged)\(/g;
const hints = /\b(?:hint|without)(?::| =) (?:"[^"\n]*"|`[^`]*`)/g;

function withoutRefusals(text: string): string {
  let kept = text
    .replace(/\/\*[\s\S]*?\*\//g, "")
    .replace(/^\s*\/\/.*$/gm, "")
    .replace(hints, "");
  for (;;) {
    refusals.lastIndex = 0;
    const found = refusals.exec(kept);
    if (found === null) return kept;
    const from = found.index + found[0].length;
    kept = `${kept.slice(0, found.index)}${kept.slice(findEnd(kept, from))}`;
  }
}

/** Where the bracket ends that was opened before an index, strings passed over. */
function findEnd(text: string, from: number): number {
  let depth = 1;
  let quote = "";
  for (let i = from; i < text.length; i++) {
    const sign = text[i];
    if (quote !== "") {
      if (sign === "\\") i++;
      else if (sign === quote) quote = "";
    } else if (sign === '"' || sign === "`") quote = sign;
    else if (sign === "(") depth++;
    else if (sign === ")" && --depth === 0) return i + 1;
  }
  return text.length;
}

/** Rooms that make no phrases either: three words and more, wherever they stand. */
const wordless = [
  "dsp",
  "capture",
  "measure",
  "rank",
  "diagnose",
  "history",
  "service",
  "analysis",
  "sitting",
];

/**
 * What is content and not a finding: it is written beside the thing it is about, chosen whole, and
 * nothing takes it apart. A name ends in `/` for a folder.
 */
const content: Readonly<Record<string, string>> = {
  "diagnose/causes/": "all that is known of a cause, its evidence included",
  "diagnose/notes/": "words that people write, and what is done first about them",
  "diagnose/dangers.ts": "words that people write of dangers, and what each is",
  "diagnose/bench.ts": "states of power, and how one works in each",
  "diagnose/bench-tools.ts": "what tools are called",
  "diagnose/shield-check.ts": "a step that two causes share",
  "diagnose/switch-bench.ts": "steps that several causes share",
  "diagnose/checks/check-kinds.ts": "all that is known of a check",
  "diagnose/checks/choose-check.ts": "what an answer means, as a check has it",
  "service/cautions.ts": "cautions, word for word",
  "service/pass-sheet.ts": "instructions for the desk",
  "service/run-sheet.ts": "instructions for the desk",
  "service/plan/danger-guide.ts": "instructions for the desk",
  "service/plan/section-guides.ts": "instructions for the desk",
  "service/plan/part-roles.ts": "how parts are known",
  "service/stores/fit.ts": "words that people write of parts",
  "service/stores/part-spec.ts": "words that people write of parts",
  "service/limits/built-in.ts": "why each limit is what it is",
  "sitting/format-sitting-map.ts": "the head of a file of ours",
};

/** Files where a refusal is put together before it is thrown, or kept to be told. */
const ofRefusals: ReadonlySet<string> = new Set([
  "analysis/place/capture-order.ts",
  "analysis/place/read-map.ts",
  "analysis/takes/choose-takes.ts",
  "analysis/takes/measure-takes.ts",
  "capture/assign/apply-map.ts",
  "capture/assign/assign-returns.ts",
  "capture/assign/file-names.ts",
  "capture/assign/path-map.ts",
  "capture/containers/aiff/inspect-aiff.ts",
  "capture/containers/inspect-recording.ts",
  "capture/containers/open-file.ts",
  "capture/containers/wav/inspect-wav.ts",
  "history/measured-schema.ts",
  "history/round-schema.ts",
  "history/store.ts",
  "measure/calibration/meter.ts",
  "service/limits/compile.ts",
  "service/limits/expression.ts",
  "service/limits/parse-limits.ts",
  "service/limits/term.ts",
  "service/meter/values.ts",
  "service/notebook/import.ts",
  "service/notebook/join-note-lines.ts",
  "service/notebook/read-note-lines.ts",
]);

/** Keys of several words, which are compared and stored as they are. */
const keys: ReadonlySet<string> = new Set(["powered and open", "gain leg capacitor"]);

/** What a registry says of its rows: the name of a reading, its definition, what a file is. */
const ofRows: ReadonlySet<string> = new Set([
  "name",
  "definition",
  "source",
  "unlike",
  "wants",
  "what",
]);
/** A hint goes with a refusal. */
const ofHints: ReadonlySet<string> = new Set(["hint", "without"]);
const refusing = /^(?:refuse|throw|damaged)|Error$/;

/** Three words and more, values between them left out. */
const phrase = /\p{L}{2,}(?:[^\p{L}]+\p{L}{2,}){2,}/u;

interface SyntaxNode {
  readonly type: string;
  readonly start: number;
}

type Fields = Readonly<Record<string, unknown>>;

/** Phrases in the code of a file: not in its comments, its types, its imports and its refusals. */
function listPhrases(text: string): readonly string[] {
  return listPhrasesIn(parseAst(text, { lang: "ts" }).body);
}

function listPhrasesIn(nodes: unknown): readonly string[] {
  const found: string[] = [];
  walk(nodes, (node) => {
    if (isLeftOut(node)) return false;
    const words = readText(node);
    if (words?.includes(" ") && phrase.test(words) && !keys.has(words)) found.push(words);
    return true;
  });
  return found;
}

/** All texts in code, values between their parts left out. */
function listTexts(nodes: unknown): readonly string[] {
  const found: string[] = [];
  walk(nodes, (node) => {
    const words = readText(node);
    if (words !== undefined) found.push(words);
    return true;
  });
  return found;
}

/** What a cause's file does, without what it says: its prediction and its other functions. */
function listDeeds(text: string): readonly unknown[] {
  const found: unknown[] = [];
  walk(parseAst(text, { lang: "ts" }).body, (node) => {
    if (node.type === "VariableDeclarator" && (node.id as { name?: string }).name === "says")
      return false;
    if (!/Function/.test(node.type)) return true;
    found.push(node);
    return false;
  });
  return found;
}

/** Goes through code from the outside in, below a node only where `visit` says so. */
function walk(value: unknown, visit: (node: SyntaxNode & Fields) => boolean): void {
  if (Array.isArray(value)) for (const one of value) walk(one, visit);
  if (typeof value !== "object" || value === null || !("type" in value)) return;
  const node = value as SyntaxNode & Fields;
  if (visit(node)) for (const field of Object.values(node)) walk(field, visit);
}

function isLeftOut(node: SyntaxNode & Fields): boolean {
  const nameOf = (one: unknown) => (one as { name?: string } | undefined)?.name ?? "";
  switch (node.type) {
    case "ImportDeclaration":
    case "ThrowStatement":
    case "TSTypeAliasDeclaration":
    case "TSInterfaceDeclaration":
    case "TSTypeAnnotation":
    case "TSTypeParameterInstantiation":
      return true;
    case "NewExpression":
    case "CallExpression":
      return refusing.test(nameOf(node.callee));
    case "Property":
      return ofRows.has(nameOf(node.key)) || ofHints.has(nameOf(node.key));
    case "VariableDeclarator":
      return ofHints.has(nameOf(node.id));
    default:
      return false;
  }
}

function readText(node: SyntaxNode & Fields): string | undefined {
  if (node.type === "Literal") return typeof node.value === "string" ? node.value : undefined;
  if (node.type !== "TemplateLiteral") return undefined;
  const quasis = node.quasis as readonly { readonly value: { readonly cooked: string } }[];
  return quasis.map(({ value }) => value.cooked).join("…");
}

/** A text of several words that begins large and ends with a full stop. */
const sentence = /(["`])([A-Z][^"`\n]* [^"`\n]*[a-z)}]\.)\1/g;

function listFiles(room: string): readonly string[] {
  return readdirSync(join(source, room), { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".ts"))
    .map((name) => `${room}/${name}`);
}

describe("words", () => {
  it.each(deciding)("are made in report, not in %s", (room) => {
    const found = listFiles(room)
      .filter((file) => !instructions.includes(file) && !sharedHints.includes(file))
      .flatMap((file) => {
        const text = withoutRefusals(readFileSync(join(source, file), "utf8"));
        return [...text.matchAll(sentence)].map(([, , words]) => `${file}: ${words}`);
      });
    expect(found).toEqual([]);
  });

  it.each(wordless)("are not made in %s, not even as a phrase", (room) => {
    const isContent = (file: string) =>
      Object.keys(content).some(
        (one) => file === one || (one.endsWith("/") && file.startsWith(one)),
      );
    const found = listFiles(room)
      .filter((file) => !isContent(file) && !ofRefusals.has(file))
      .flatMap((file) =>
        listPhrases(readFileSync(join(source, file), "utf8")).map((words) => `${file}: ${words}`),
      );
    expect(found).toEqual([]);
  });

  it.each(listFiles("diagnose/causes"))("of evidence come last in %s, as `says`", (file) => {
    const text = readFileSync(join(source, file), "utf8");
    expect(listPhrasesIn(listDeeds(text))).toEqual([]);
    const [, id, says] = /createEvidence\("(.*?)", (\w+)\)/.exec(text) ?? [];
    if (id === undefined) return;
    expect(`diagnose/causes/${id}.ts`).toBe(file);
    expect(text).toContain(`\n  ${says},\n`);
  });

  it("name the program as it is started here: a command begins with `getProgramName()`", () => {
    const program = createProgram();
    const names = program.commands.map((command) => command.name());
    const command = new RegExp(`(?<![\\w./-])deskround +(?:--\\w|(?:${names.join("|")})\\b)`);
    const apart = ["cli/shell-scripts.ts", "signal/own-files.ts"];
    const found = readdirSync(source).flatMap((room) =>
      room.endsWith(".ts") ? [room] : listFiles(room),
    );
    const written = found.filter(
      (file) =>
        !apart.includes(file) &&
        listTexts(parseAst(readFileSync(join(source, file), "utf8"), { lang: "ts" }).body).some(
          (text) => command.test(text),
        ),
    );
    expect(written).toEqual([]);
    expect(command.test("For example: deskround show 7")).toBe(true);
  });

  it("are allowed in no file that has none, or that is gone", () => {
    const files = wordless.flatMap(listFiles);
    const needless = [...Object.keys(content), ...ofRefusals].filter((one) => {
      const own = files.filter(
        (file) => file === one || (one.endsWith("/") && file.startsWith(one)),
      );
      return !own.some((file) => listPhrases(readFileSync(join(source, file), "utf8")).length > 0);
    });
    expect(needless).toEqual([]);
  });

  it("are found where they are", () => {
    expect(listPhrases('const a = "nothing of the sweep";')).toEqual(["nothing of the sweep"]);
    expect(listPhrases(`const a = \`\${b} dB above its siblings\`;`)).toHaveLength(1);
    expect(listPhrases('const a = b ? "over the limit" : c;')).toHaveLength(1);
    expect(listPhrases(`const a = \`noise \${b} dB off\`;`)).toHaveLength(1);
    const left = [
      'const a = { name: "gain at low level against nominal" };',
      `throw new DeskroundError("usage", \`No limit is for \${a}.\`, "Name one.");`,
      "/** Nothing of the sweep came back. */",
      'const a: "nothing of the sweep" = b;',
      'import a from "nothing of the sweep";',
      'const a = "two words";',
    ];
    expect(left.flatMap(listPhrases)).toEqual([]);
    const made = `const a = { name: "a dry joint", predict() { return \`it is at \${b} dB now\`; } };`;
    expect(listPhrasesIn(listDeeds(made))).toHaveLength(1);
    const said = `const says = { dry: () => \`it is at \${b} dB now\` };`;
    expect(listPhrasesIn(listDeeds(said))).toEqual([]);
    expect('notes.push("No limit is for it.")'.match(sentence)).toHaveLength(1);
    expect(withoutRefusals('throw new DeskroundError("a", `No (:) is.`, "Do it.");')).toBe(
      "throw ;",
    );
  });
});
