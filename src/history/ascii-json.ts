/** JSON in ASCII only, which is much quicker to read back. */
export function formatAsciiJson(value: unknown): string {
  return JSON.stringify(value).replace(/[^\0-\x7f]/g, (one) => {
    return `\\u${one.charCodeAt(0).toString(16).padStart(4, "0")}`;
  });
}

/** Reads it back. */
export function parseAsciiJson<T>(bytes: Buffer): T {
  return JSON.parse(bytes.toString("latin1"));
}
