import { readFileSync } from "node:fs";

interface Manifest {
  readonly version: string;
}

/** Version of this program, as package.json states it. */
export const toolVersion: string = (
  JSON.parse(readFileSync(new URL("../package.json", import.meta.url), "utf8")) as Manifest
).version;
