/** With more files than this only two are swapped at a time. */
const mostPermuted = 4;

/** All other orders of a few files; of many, those with two of them swapped. */
export function listOrders(files: readonly string[]): readonly (readonly string[])[] {
  if (files.length < 2) return [];
  const orders =
    files.length <= mostPermuted
      ? permute(files)
      : files.flatMap((_, i) =>
          files.slice(i + 1).map((_, j) => {
            const swapped = [...files];
            [swapped[i], swapped[i + 1 + j]] = [swapped[i + 1 + j], swapped[i]];
            return swapped;
          }),
        );
  // One file a path: any strip's file may be any other's, and only names would show it.
  return orders.filter((order) => order.some((file, k) => file !== files[k]));
}

function permute<T>(list: readonly T[]): readonly (readonly T[])[] {
  if (list.length < 2) return [list];
  return list.flatMap((one, k) =>
    permute([...list.slice(0, k), ...list.slice(k + 1)]).map((rest) => [one, ...rest]),
  );
}
