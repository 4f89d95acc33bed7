import { existsSync, realpathSync } from "node:fs";
import { basename, delimiter, join, relative, sep } from "node:path";

/** How this program was started, and from where. */
export interface Start {
  /** Its script, as Node has it. */
  readonly script: string;
  /** The folder one stands in. */
  readonly cwd: string;
  readonly env: Readonly<Record<string, string | undefined>>;
}

const name = "deskround";
let own: string | undefined;
let readers: "here" | "anywhere" = "here";
let namedDesk: string | undefined;

/**
 * What a command in a sentence begins with: how the program is started from where one stands,
 * `deskround` once it is installed and `node bin/deskround.js` in its own folder. What is kept or
 * read elsewhere has the plain name: see `writeForAnywhere`.
 */
export function getProgramName(): string {
  if (readers === "anywhere") return name;
  own ??= findProgramName({ script: process.argv[1] ?? "", cwd: process.cwd(), env: process.env });
  return own;
}

/**
 * Says which desk commands in sentences are about from now on.
 *
 * @param folder as the user named it; undefined where a command finds the desk without an option
 */
export function nameDesk(folder: string | undefined): void {
  namedDesk = folder;
}

/**
 * A command about the desk, as it works from where one stands: `show 7` becomes
 * `deskround show 7 --desk mydesk`. What is kept or read elsewhere names no folder.
 *
 * @param words the command without the program's name: what is typed next
 * @param files what stands for the files that come last
 */
export function formatCommand(words: string, files?: string): string {
  const desk =
    namedDesk === undefined || namedDesk === "." || readers === "anywhere"
      ? ""
      : ` --desk ${shellWord(namedDesk)}`;
  return `${getProgramName()} ${words}${desk}${files === undefined ? "" : ` ${files}`}`;
}

/** A word as a shell takes it: in quotes unless it is plain. */
function shellWord(text: string): string {
  if (/^[\p{L}\p{N}_./:+@%-]+$/u.test(text)) return text;
  return `'${text.replaceAll("'", "'\\''")}'`;
}

/** Words that are kept in a file or sent on: the program has its plain name in them. */
export function writeForAnywhere<T>(write: () => T): T {
  const before = readers;
  readers = "anywhere";
  try {
    return write();
  } finally {
    readers = before;
  }
}

/** Who reads what is written from now on: the person at this terminal, or whoever gets the text. */
export function setReaders(who: typeof readers): void {
  readers = who;
}

/**
 * The words that start this program from where one stands. `DESKROUND_COMMAND` names them where
 * somebody has an alias or a wrapper of their own.
 */
export function findProgramName({ script, cwd, env }: Start): string {
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
