import {
  closeSync,
  existsSync,
  fsyncSync,
  linkSync,
  lstatSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { hostname } from "node:os";
import { basename, dirname, join } from "node:path";
import { assertOwnFile, type OwnKind } from "./assert-own-file.js";
import { DeskroundError } from "./errors.js";
import { getErrorCode, getErrorReason } from "./get-error-reason.js";

/**
 * `new` refuses to touch an existing file; a kind of file replaces only a file of the same kind
 * that this program wrote.
 */
export type WriteMode = "new" | OwnKind;

/**
 * Writes a file whole or not at all: into a temporary file beside it, flushed to the disk, which
 * then takes the name in one step. Readers see the old state or the new one; if two programs write
 * the same new file, one wins and the other gets an error. A program that is killed while writing
 * leaves a hidden temporary file, which the next write to that folder removes.
 *
 * @param file the target; its folder is created if it is missing
 * @param data bytes, text as UTF-8, or bytes in chunks, for data too large to hold in memory
 * @returns `exists` if the mode is `new` and the file exists already, otherwise `written`
 * @throws DeskroundError `cannot-write`, naming the file and the system's reason, or saying that
 * the file is not this program's to replace
 */
export function writeFileAtomic(
  file: string,
  data: string | Uint8Array | Iterable<Uint8Array>,
  mode: WriteMode,
): "written" | "exists" {
  assertRegularTarget(file);
  if (mode !== "new") assertOwnFile(file, mode);
  const folder = dirname(file);
  const beside = join(folder, `.${basename(file)}.${createMark()}.tmp`);
  try {
    mkdirSync(folder, { recursive: true });
    clearLeftovers(folder);
    try {
      writeFlushed(beside, data);
      if (mode !== "new") renameSync(beside, realName(file));
      else if (!nameExclusively(beside, file)) return "exists";
      flushFolder(folder);
      return "written";
    } finally {
      rmSync(beside, { force: true });
    }
  } catch (error) {
    throw cannotWrite(file, error);
  }
}

/**
 * Checks that a name is free or belongs to a regular file: a folder or a device is neither treated
 * as an existing file nor replaced.
 *
 * @throws DeskroundError `cannot-write`
 */
export function assertRegularTarget(file: string): void {
  let now: ReturnType<typeof statSync>;
  try {
    now = statSync(file, { throwIfNoEntry: false });
  } catch (error) {
    throw cannotWrite(file, error);
  }
  if (now === undefined || now.isFile()) return;
  throw cannotWrite(file, Object.assign(new Error("not a regular file"), { code: "EISDIR" }));
}

function cannotWrite(file: string, error: unknown): DeskroundError {
  return new DeskroundError(
    "cannot-write",
    `Cannot write ${file}: ${getErrorReason(error)}.`,
    "Name another place, or check the folder's permissions and the free space.",
    error,
  );
}

/** Names that `writeFileAtomic` gives to unfinished files: computer, random digits, process. */
const leftover = /^\..+\.([0-9a-f]{6})[0-9a-f]{6}(?:-(\d{1,10}))?\.tmp$/;
/** No write takes this long; a younger file may belong to another computer, milliseconds. */
const leftoverAge = 15 * 60_000;

/**
 * Loaded when a file is written: most commands write none, and loading it costs some milliseconds.
 */
const getCrypto = () => process.getBuiltinModule("node:crypto");

let ownComputer: string | undefined;

/** Distinguishes computers that share a folder, by their names. */
function getComputerMark(): string {
  ownComputer ??= getCrypto().createHash("sha256").update(hostname()).digest("hex").slice(0, 6);
  return ownComputer;
}

function createMark(): string {
  return `${getComputerMark()}${getCrypto().randomBytes(3).toString("hex")}-${process.pid}`;
}

/** Removes what a killed program left while writing; a failure here does no harm. */
function clearLeftovers(folder: string): void {
  try {
    for (const name of readdirSync(folder)) {
      const [, computer, pid] = leftover.exec(name) ?? [];
      if (computer === undefined) continue;
      const file = join(folder, name);
      const kind = lstatSync(file);
      const isAbandoned =
        pid !== undefined && computer === getComputerMark() && !isRunning(Number(pid));
      const isOld = Date.now() - kind.mtimeMs > leftoverAge;
      if (kind.isFile() && (isAbandoned || isOld)) rmSync(file, { force: true });
    }
  } catch {
    // Another program may have removed it, or the folder may not be readable.
  }
}

function isRunning(pid: number): boolean {
  try {
    // Signal 0 only checks (POSIX, kill).
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return getErrorCode(error) !== "ESRCH";
  }
}

/** The file that a link leads to, so that the link stays a link. */
function realName(file: string): string {
  return existsSync(file) ? realpathSync(file) : file;
}

function writeFlushed(file: string, data: string | Uint8Array | Iterable<Uint8Array>): void {
  const handle = openSync(file, "wx");
  const isWhole = typeof data === "string" || data instanceof Uint8Array;
  try {
    for (const piece of isWhole ? [data] : data) writeFileSync(handle, piece);
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** Gives the file its name unless that is taken; a hard link does this in one step. */
function nameExclusively(beside: string, file: string): boolean {
  try {
    linkSync(beside, file);
    return true;
  } catch (error) {
    if (getErrorCode(error) === "EEXIST") return false;
    if (!linkless.has(getErrorCode(error))) throw error;
    return renameUnderLock(beside, file);
  }
}

/** Error codes of file systems without hard links (memory sticks, some network shares). */
const linkless = new Set(["EPERM", "ENOTSUP", "EOPNOTSUPP", "ENOSYS", "EINVAL", "EMLINK"]);

function renameUnderLock(beside: string, file: string): boolean {
  const lock = `${file}.lock`;
  if (!takeLock(lock)) return false;
  try {
    if (existsSync(file)) return false;
    renameSync(beside, file);
    return true;
  } finally {
    rmSync(lock, { force: true });
  }
}

/** Creates the lock, which names its owner; one left by a crash is removed first. */
function takeLock(lock: string): boolean {
  if (isLockAbandoned(lock)) rmSync(lock, { force: true });
  try {
    writeFileSync(lock, createMark(), { flag: "wx" });
    return true;
  } catch (error) {
    if (getErrorCode(error) === "EEXIST") return false;
    throw error;
  }
}

function isLockAbandoned(lock: string): boolean {
  const made = lstatSync(lock, { throwIfNoEntry: false });
  if (made === undefined || !made.isFile()) return false;
  const [, computer, pid] = lockMark.exec(readFileSync(lock, "latin1")) ?? [];
  const isOwn = pid !== undefined && computer === getComputerMark();
  return isOwn ? !isRunning(Number(pid)) : Date.now() - made.mtimeMs > leftoverAge;
}

/** As {@link createMark} makes it. */
const lockMark = /^([0-9a-f]{6})[0-9a-f]{6}-(\d{1,10})$/;

/** The new name must survive a power cut too; systems that cannot flush a folder say so. */
export function flushFolder(folder: string): void {
  try {
    const handle = openSync(folder, "r");
    try {
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
  } catch {
    // The file itself is safe; only its name may be late.
  }
}
