import { accessSync, constants } from "node:fs";
import { delimiter, join } from "node:path";
import { type Browser, chromium } from "playwright-core";

const names = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome"];
const places = [
  "/usr/bin",
  "/usr/local/bin",
  "/snap/bin",
  "/Applications/Google Chrome.app/Contents/MacOS",
  "/Applications/Chromium.app/Contents/MacOS",
];

/** A Chromium of this machine, or of the variable CHROMIUM; undefined where there is none. */
export function browserFile(): string | undefined {
  const named = process.env.CHROMIUM;
  if (named !== undefined && named !== "") return named;
  const folders = [...(process.env.PATH ?? "").split(delimiter), ...places];
  return folders
    .flatMap((folder) => [...names, "Google Chrome", "Chromium"].map((name) => join(folder, name)))
    .find(isExecutable);
}

/** Where a browser must be there, a missing one is a failure. */
export const browserRequired = process.env.CI_BROWSER === "required";

/** Starts it without a window. */
export async function openBrowser(): Promise<Browser> {
  const executablePath = browserFile();
  if (executablePath === undefined) {
    throw new Error(
      "No Chromium was found. Install one (Debian: apt-get install chromium), or name it in the variable CHROMIUM.",
    );
  }
  // Chromium's sandbox refuses root, which is who a container runs as.
  const args = process.getuid?.() === 0 ? ["--no-sandbox"] : [];
  return chromium.launch({ executablePath, args });
}

function isExecutable(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
