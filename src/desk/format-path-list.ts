/**
 * Formats paths for `--map` and `--only`, with ranges for consecutive strips.
 *
 * @param paths such as `7/mic`
 * @example
 * formatPathList(["1/mic", "2/mic", "3/mic", "1/line"]); // "1-3/mic,1/line"
 */
export function formatPathList(paths: readonly string[]): string {
  const runs: { from: string; to: string; input: string }[] = [];
  for (const path of paths) {
    const at = path.indexOf("/");
    const [strip, input] = [path.slice(0, at), path.slice(at + 1)];
    const last = runs.at(-1);
    const follows =
      last?.input === input && /^[1-9]\d*$/.test(strip) && Number(last.to) + 1 === Number(strip);
    if (last !== undefined && follows) last.to = strip;
    else runs.push({ from: strip, to: strip, input });
  }
  return runs
    .map(({ from, to, input }) => `${from === to ? from : `${from}-${to}`}/${input}`)
    .join(",");
}
