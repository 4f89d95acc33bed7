/** Where in a file a schema's complaint applies: `paths[3].readings.noise.value`. */
export function formatIssuePath(path: readonly PropertyKey[]): string {
  return path.reduce<string>(
    (at, key) =>
      typeof key === "number" ? `${at}[${key}]` : at === "" ? String(key) : `${at}.${String(key)}`,
    "",
  );
}
