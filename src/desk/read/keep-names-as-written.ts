import { isMap, isScalar, isSeq, type YAMLMap } from "yaml";

/**
 * YAML reads 01, 3.10 and 1e3 as numbers; as names of strips and settings of controls they are kept
 * as written.
 */
export function keepNamesAsWritten(desk: YAMLMap): void {
  for (const place of [
    ["construction", "parts"],
    ["construction", "values"],
    ["age", "recapped"],
    ["flow", "shared"],
  ]) {
    const block = desk.getIn(place, true);
    if (!isMap(block)) continue;
    for (const { value } of block.items) keepText(isMap(value) ? value.get("strips", true) : value);
  }
  const places = desk.get("places", true);
  if (isMap(places)) {
    for (const { value } of places.items) if (isMap(value)) keepText(value.get("feeds", true));
  }
  keepText(desk.get("strips", true));
  keepText(desk.get("channels", true));
  keepText(desk.get("captures", true));
  const inputs = desk.get("inputs", true);
  if (isMap(inputs)) {
    for (const { value } of inputs.items) {
      if (!isMap(value)) continue;
      keepText(value.get("strips", true));
      const set = value.get("set", true);
      if (isMap(set)) for (const pair of set.items) keepText(pair.value);
    }
  }
  const controls = desk.get("controls", true);
  if (isMap(controls)) {
    for (const { value } of controls.items) if (isMap(value)) keepText(value.get("set", true));
  }
  const families = desk.get("families", true);
  if (isMap(families)) for (const { value } of families.items) keepText(value);
}

function keepText(node: unknown): void {
  if (isSeq(node)) for (const item of node.items) keepText(item);
  if (isMap(node)) for (const { value } of node.items) keepText(value);
  if (isScalar(node) && node.source !== undefined && node.source !== "") node.value = node.source;
}
