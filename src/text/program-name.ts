import { existsSync, realpathSync } from "node:fs";
import { basename, delimiter, join, relative, sep } from "node:path";

/** How this program was started, and from where. */
export interface Start {
  /** Its script, as Node names it. */
  readonly script: string;
  /** The current folder. */
  readonly cwd: string;
  readonly env: Readonly<Record<string, string | undefined>>;
}

const name = "deskround";
let own: string | undefined;
let readers: "here" | "anywhere" = "here";
let namedDesk: string | undefined;

/**
 * The start of a suggested command: how the program is started from the current folder, `deskround`
 * once it is installed and `node bin/deskround.js` in its own folder. Text that is kept or read
 * elsewhere has the plain name: see `writeForAnywhere`.
 */
export function getProgramName(): string {
  if (readers === "anywhere") return name;
  own ??= findProgramName({ script: process.argv[1] ?? "", cwd: process.cwd(), env: process.env });
  return own;
}

/**
 * Sets the desk that suggested commands name from now on.
 *
 * @param folder as the user named it; undefined if a command finds the desk without an option
 */
export function nameDesk(folder: string | undefined): void {
  namedDesk = folder;
}

/**
 * A command about the desk that works from the current folder: `show 7` becomes `deskround show 7
 * --desk mydesk`. Text that is kept or read elsewhere names no folder.
 *
 * @param words the command without the program's name
 * @param files a placeholder for the files that come last
 */
export function formatCommand(words: string, files?: string): string {
  const desk =
    namedDesk === undefined || namedDesk === "." || readers === "anywhere"
      ? ""
      : ` --desk ${shellWord(namedDesk)}`;
  return `${getProgramName()} ${words}${desk}${files === undefined ? "" : ` ${files}`}`;
}

/** A word for a shell, in quotes unless it is plain. */
function shellWord(text: string): string {
  if (/^[\p{L}\p{N}_./:+@%-]+$/u.test(text)) return text;
  return `'${text.replaceAll("'", "'\\''")}'`;
}

/** Text that is kept in a file or sent on, in which the program has its plain name. */
export function writeForAnywhere<T>(write: () => T): T {
  const before = readers;
  readers = "anywhere";
  try {
    return write();
  } finally {
    readers = before;
  }
}

/** Sets who reads what is written from now on: the person at this terminal, or anyone. */
export function setReaders(who: typeof readers): void {
  readers = who;
}

/**
 * The words that start this program from the current folder. `DESKROUND_COMMAND` overrides them,
 * for users with an alias or a wrapper.
 */
export function findProgramName({ script, cwd, env }: Start): string {
  const { DESKROUND_COMMAND: named = "" } = env;
  if (named !== "") return named;
  const file = basename(script);
  const isLauncher = file === `${name}.js`;
  if ((!isLauncher && file !== name) || isOnPath(env)) return name;
  const parts = script.split(sep);
  // A copy that npx fetched for one run is in its cache; one in a package's own folder can be run
  // with npx.
  if (!isLauncher && parts.includes(".bin") && !parts.includes("_npx")) return `npx ${name}`;
  return `node ${quoted(shorter(isLauncher ? script : realpathOf(script), cwd))}`;
}

/**
 * Whether a shell would find the program; npm adds folders to the path that are gone afterwards.
 */
function isOnPath({ PATH = "" }: Start["env"]): boolean {
  const folders = PATH.split(delimiter).filter(
    (folder) => folder !== "" && !folder.includes("node_modules"),
  );
  return folders.some((folder) =>
    [name, `${name}.cmd`].some((file) => existsSync(join(folder, file))),
  );
}

/** A relative path up to one folder above is easier to read than an absolute one. */
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
