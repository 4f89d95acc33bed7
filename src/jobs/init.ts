import { randomBytes } from "node:crypto";
import { join } from "node:path";
import { deskFileName, getDeskFolder } from "../desk/desk-file.js";
import { formatStarterDesk, type StarterRequest } from "../desk/starter.js";
import { DeskroundError } from "../errors.js";
import { writeFileAtomic } from "../write-file-atomic.js";

/**
 * Writes a starting desk file. An existing one is never touched.
 *
 * @param folder the desk's folder; made when it is missing
 * @returns the file written
 * @throws DeskroundError `usage` for unusable names, `cannot-write` when it exists or cannot be
 * written written
 */
export function initDesk(folder: string, request: StarterRequest): string {
  const strips = request.strips.trim();
  if (/^\p{L}{3,}$/u.test(strips)) {
    throw new DeskroundError(
      "usage",
      `--strips ${strips}: one strip of that name would be the whole desk.`,
      "Give their number (24), a range (1-24) or their names (1,2,3A).",
    );
  }
  const file = join(getDeskFolder(folder), deskFileName);
  if (
    writeFileAtomic(file, formatStarterDesk({ id: createDeskId(), ...request }), "new") === "exists"
  ) {
    throw new DeskroundError(
      "cannot-write",
      `${file} exists already and was left as it is.`,
      "Edit it, or name another folder with --desk.",
    );
  }
  return file;
}

/** A unique desk id: 40 random bits in hexadecimal. */
function createDeskId(): string {
  return `desk-${randomBytes(5).toString("hex")}`;
}
