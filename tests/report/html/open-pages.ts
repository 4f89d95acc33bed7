import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { AxeResults } from "axe-core";
import type { Browser, BrowserContextOptions, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect } from "vitest";
import { compareRounds } from "../../../src/history/compare/compare.js";
import type { Round, RoundControl, RoundReference } from "../../../src/history/types.js";
import { buildYears } from "../../../src/history/years.js";
import { renderReport } from "../../../src/jobs/report.js";
import { getReadingId } from "../../../src/measure/reading-kinds.js";
import { browserFile, browserRequired, openBrowser } from "../../helpers/browser.js";
import { aDesk } from "./a-desk.js";

/** A page in a browser, with what it said and asked for. */
export interface OpenPage {
  readonly page: Page;
  readonly said: readonly string[];
  readonly asked: readonly string[];
  readonly close: () => Promise<void>;
}

/** What the tests of a page in a browser work with. */
export interface Pages {
  readonly open: (url: string, options?: BrowserContextOptions) => Promise<OpenPage>;
  /** Writes a page and returns its address. */
  readonly write: (name: string, text: string) => string;
  /** Address of the page of a desk of twelve paths, of which two stand out, with a baseline. */
  readonly plain: () => string;
}

const aControl: RoundControl = {
  control: "gain",
  hand: "turn",
  fromS: 10,
  untilS: 20,
  moved: "seen",
  rangeDb: 30,
  scratches: { tone: 5, silence: 0 },
  dropouts: 0,
  jumps: 0,
  expected: 0.1,
  events: [{ kind: "scratch", during: "tone", atS: 12.3, lengthS: 0.01, levelDb: -40 }],
  verdicts: ["scratchy"],
  points: "dirty or worn track",
};

/** A reference path that came back twice as the first path did. */
function aReference({ paths: [{ take, readings, curves }] }: Round): RoundReference {
  if (take === undefined) throw new Error("the first path was not measured");
  const turn = { status: "measured", take, readings, absent: {}, curves } as const;
  return {
    name: "reference",
    into: "insert",
    turns: [
      { turn: "first", ...turn },
      { turn: "last", ...turn },
    ],
  };
}

/** Tests in a browser; where there is none they say that they were skipped. */
export function describeInBrowser(
  title: string,
  tests: (pages: Pages) => void,
  options: { readonly tags?: string[] } = {},
): void {
  const missing = browserFile() === undefined && !browserRequired;
  const skipped =
    "SKIPPED, no Chromium was found (apt-get install chromium, or name one in CHROMIUM)";
  describe.skipIf(missing)(missing ? `${title}: ${skipped}` : title, options, () => {
    const folder = mkdtempSync(join(tmpdir(), "page-"));
    let browser: Browser;
    let plain: string;

    const write = (name: string, text: string): string => {
      const file = join(folder, name);
      writeFileSync(file, text);
      return pathToFileURL(file).href;
    };

    beforeAll(async () => {
      // As small as shows everything.
      const [round, earlier] = [aDesk(4), aDesk(4, undefined, 1)];
      const baseline = { round: earlier, comparison: compareRounds(round, earlier) };
      const reference = aReference(round);
      const years = buildYears([earlier, round], [getReadingId("noise")]);
      const controls = [{ date: round.date, path: { ...round.paths[0], controls: [aControl] } }];
      const parts = { round: { ...round, reference }, baseline, years, controls };
      plain = write("plain.html", await renderReport({ ...parts, notes: ["n1 1/mic hum"] }));
      browser = await openBrowser();
    });

    afterAll(async () => {
      await browser?.close();
      rmSync(folder, { recursive: true, force: true });
    });

    async function open(url: string, options: BrowserContextOptions = {}): Promise<OpenPage> {
      const context = await browser.newContext(options);
      const page = await context.newPage();
      const said: string[] = [];
      const asked: string[] = [];
      page.on("console", (message) => said.push(message.text()));
      page.on("pageerror", (error) => said.push(error.message));
      page.on("request", (request) => asked.push(request.url()));
      await page.goto(url);
      return { page, said, asked, close: () => context.close() };
    }

    tests({ open, write, plain: () => plain });
  });
}

/** The page says nothing, asks for nothing, and axe finds nothing serious in it. */
export async function expectAccessible(
  { open, plain }: Pages,
  colorScheme: "light" | "dark",
): Promise<void> {
  const { page, said, asked, close } = await open(plain(), { colorScheme });
  await page.locator("#p1 .plot[data-from]").first().hover();
  const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
  const results: AxeResults = await page.evaluate(
    `${axe};axe.run({ resultTypes: ["violations"] })`,
  );
  const serious = results.violations
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 200)}`);
  expect(serious).toEqual([]);
  expect(said).toEqual([]);
  expect(asked).toEqual([plain()]);
  await close();
}
