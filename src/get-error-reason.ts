const reasons: Readonly<Record<string, string>> = {
  EACCES: "permission denied",
  EPERM: "not permitted",
  ENOSPC: "no space left on the disk",
  EDQUOT: "no space left for this user",
  EFBIG: "the file would be larger than is allowed",
  EROFS: "the disk is read-only",
  EIO: "the disk reports an error",
  ENOTDIR: "a part of its folder is a file",
  EEXIST: "a part of its folder is a file",
  EISDIR: "it is not a regular file",
  ENOENT: "its folder cannot be created",
  ENAMETOOLONG: "the name is too long",
};

/** The system's reason for an error, in words. */
export function getErrorReason(error: unknown): string {
  return reasons[getErrorCode(error)] ?? (error instanceof Error ? error.message : String(error));
}

/** The system's code of an error, e.g. `ENOENT`; empty for other errors. */
export function getErrorCode(error: unknown): string {
  return String((error as NodeJS.ErrnoException).code ?? "");
}
