import { existsSync, realpathSync } from "node:fs";
import { basename, delimiter, join, relative, sep } from "node:path";
import { wrapText } from "../report/wrap.js";

/** How this program was started, and from where. */
export interface Start {
  /** Its script, as Node has it. */
  readonly script: string;
  /** The folder one stands in. */
  readonly cwd: string;
  readonly env: Readonly<Record<string, string | undefined>>;
}

/** All commands, so that the program's name in a sentence is not taken for one of them. */
export const commandNames = [
  "init",
  "signal",
  "calibrate",
  "analyze",
  "listen",
  "halve",
  "morning",
  "show",
  "compare",
  "check",
  "report",
  "note",
  "plan",
  "opening",
  "stores",
  "withdraw",
  "demo",
  "completion",
  "help",
] as const;

const written = new RegExp(
  `(?<![\\w./-])deskround(?=\\s+(?:--\\w|(?:${commandNames.join("|")})\\b))`,
  "g",
);

/**
 * A text with every command line in it as it works from where one stands: `deskround show 7` once
 * the program is installed, `node bin/deskround.js show 7` in its own folder.
 */
export function writeOwnCommand(text: string): string {
  if (!text.includes("deskround")) return text;
  own ??= findOwnCommand({ script: process.argv[1] ?? "", cwd: process.cwd(), env: process.env });
  const command = own;
  return command === name ? text : text.replace(written, () => command);
}

/**
 * The same of a report, whose lines were wrapped before the command got longer: a paragraph with one
 * in it is broken again.
 *
 * @param width columns
 * @param write how a command is written
 */
export function wrapOwnCommands(text: string, width: number, write = writeOwnCommand): string {
  const lines = text.split("\n");
  const written: string[] = [];
  for (let at = 0; at < lines.length; ) {
    const head = /^ *(?:\[ \] |- |! +|[a-z]+ {2,})?/.exec(lines[at])?.[0] ?? "";
    const indent = " ".repeat(head.length);
    let next = at + 1;
    if (lines[at].includes("deskround")) {
      while (isContinued(lines[next - 1], lines[next], indent, width)) next++;
    }
    const joined = [lines[at], ...lines.slice(at + 1, next).map((line) => line.trimStart())].join(
      " ",
    );
    const own = write(joined);
    // Where colours stand in it, breaking it could cut one.
    if (own === joined || own.includes("\u001b")) {
      written.push(...lines.slice(at, next).map((line) => write(line)));
    } else {
      written.push(...wrapText(own.slice(head.length), width, head, indent));
    }
    at = next;
  }
  return written.join("\n");
}

/** Whether a line was broken where it is because the first word of the next had no room in it. */
function isContinued(
  line: string,
  next: string | undefined,
  indent: string,
  width: number,
): boolean {
  const word = next?.startsWith(indent) ? /^[^ ]+/.exec(next.slice(indent.length))?.[0] : undefined;
  return (
    word !== undefined && word !== "[" && word !== "-" && line.length + 1 + word.length > width
  );
}

const name = "deskround";
let own: string | undefined;

/**
 * The words that start this program from where one stands. `DESKROUND_COMMAND` names them where
 * somebody has an alias or a wrapper of their own.
 */
export function findOwnCommand({ script, cwd, env }: Start): string {
  const { DESKROUND_COMMAND: named = "" } = env;
  if (named !== "") return named;
  const file = basename(script);
  const isLauncher = file === `${name}.js`;
  if ((!isLauncher && file !== name) || isOnPath(env)) return name;
  const parts = script.split(sep);
  // What npx fetched for once lies in its cache; a package's own is there for npx.
  if (!isLauncher && parts.includes(".bin") && !parts.includes("_npx")) return `npx ${name}`;
  return `node ${quoted(shorter(isLauncher ? script : realpathOf(script), cwd))}`;
}

/** Whether a shell would find the program; npm puts folders on the path that are gone afterwards. */
function isOnPath({ PATH = "" }: Start["env"]): boolean {
  const folders = PATH.split(delimiter).filter(
    (folder) => folder !== "" && !folder.includes("node_modules"),
  );
  return folders.some((folder) =>
    [name, `${name}.cmd`].some((file) => existsSync(join(folder, file))),
  );
}

/** Up to a folder above, a path from here is easier to read than one from the root. */
function shorter(file: string, cwd: string): string {
  const from = relative(cwd, file);
  return from.startsWith(join("..", "..")) ? file : from;
}

function realpathOf(file: string): string {
  try {
    return realpathSync(file);
  } catch {
    return file;
  }
}

function quoted(path: string): string {
  return /\s/.test(path) ? `"${path}"` : path;
}
