import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { AxeResults } from "axe-core";
import type { Browser, BrowserContextOptions, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { compareRounds } from "../../../src/history/compare/compare.js";
import { renderReport } from "../../../src/jobs/report.js";
import { browserFile, browserRequired, openBrowser } from "../../helpers/browser.js";
import { hostileTexts } from "../check/hostile.js";
import { aDesk } from "./a-desk.js";

const missing = browserFile() === undefined && !browserRequired;
const title = missing
  ? "a round's page in a browser: SKIPPED, no Chromium was found (apt-get install chromium, or name one in CHROMIUM)"
  : "a round's page in a browser";

describe.skipIf(missing)(title, () => {
  const folder = mkdtempSync(join(tmpdir(), "page-"));
  let browser: Browser;
  let plain: string;
  let hostile: string;
  let axe: string;

  const write = (name: string, text: string): string => {
    const file = join(folder, name);
    writeFileSync(file, text);
    return pathToFileURL(file).href;
  };

  beforeAll(async () => {
    // As small as shows everything: twelve paths, of which two stand out.
    const [round, earlier] = [aDesk(4), aDesk(4, undefined, 1)];
    const baseline = { round: earlier, comparison: compareRounds(round, earlier) };
    plain = write("plain.html", await renderReport({ round, baseline }));
    const nasty = `</title></script><script>window.harmed=1</script><img src=x onerror="window.harmed=1">"'><b id=forged>`;
    const texts = {
      desk: nasty,
      strip: (k: number) => `${k}${nasty}`,
      inputs: [nasty],
      note: nasty,
    };
    hostile = write("hostile.html", await renderReport({ round: aDesk(4, texts) }));
    axe = await readAxe();
    browser = await openBrowser();
  });

  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** Opens a page and keeps count of what it says and asks for. */
  async function open(url: string, options: BrowserContextOptions = {}) {
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

  it.each(["light", "dark"] as const)(
    "says nothing on the console, asks for nothing and is accessible in the %s theme",
    async (colorScheme) => {
      const { page, said, asked, close } = await open(plain, { colorScheme });
      await page.locator("#p1 .plot[data-from]").first().hover();
      const results: AxeResults = await page.evaluate(
        `${axe};axe.run({ resultTypes: ["violations"] })`,
      );
      const serious = results.violations
        .filter(({ impact }) => impact === "serious" || impact === "critical")
        .map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 200)}`);
      expect(serious).toEqual([]);
      expect(said).toEqual([]);
      expect(asked).toEqual([plain]);
      await close();
    },
  );

  it("sorts the ranking by a click or a key on a column's head", async () => {
    const { page, close } = await open(plain);
    expect((await paths(page)).slice(0, 2)).toEqual(["1/mic", "1/line"]);
    const head = page.getByRole("columnheader", { name: "oddness" });
    await head.getByRole("button").click();
    expect(await head.getAttribute("aria-sort")).toBe("ascending");
    await head.getByRole("button").press("Enter");
    expect(await head.getAttribute("aria-sort")).toBe("descending");
    expect(await page.locator("table.ranking [aria-sort]").count()).toBe(1);
    expect((await paths(page)).slice(0, 2)).toEqual(["2/mic", "3/mic"]);
    await close();
  });

  it("filters the ranking and counts what is left", async () => {
    const { page, close } = await open(plain);
    await page.locator("select[name=input]").selectOption("mic");
    expect(await paths(page)).toEqual(["1/mic", "2/mic", "3/mic", "4/mic"]);
    expect(await page.locator(".filters output").textContent()).toBe("4 of 12 paths");
    await page.locator("select[name=standing]").selectOption("service");
    expect(await paths(page)).toEqual(["2/mic"]);
    await page.locator("select[name=reading]").selectOption("noise");
    expect(await page.locator("tr[data-path=p1] .among").textContent()).toMatch(/^noise −59/);
    await close();
  });

  it("lights one strip up through all plots", async () => {
    const { page, close } = await open(plain);
    await page.locator("select[name=strip]").selectOption({ value: "1" });
    const lit = page.locator(".lit");
    expect(await page.locator(".wide-strip .lit").count()).toBeGreaterThan(10);
    expect(
      await lit.evaluateAll((all) => all.every((one) => one.getAttribute("data-s") === "1")),
    ).toBe(true);
    await close();
  });

  it("can be walked with the keyboard alone", async () => {
    const { page, close } = await open(plain);
    await page.keyboard.press("Tab");
    expect(await focused(page)).toBe("To what to do first");
    const cell = page.locator(".map a").first();
    await cell.focus();
    await page.keyboard.press("Enter");
    await page.waitForFunction("document.querySelector('#p0').closest('details').open");
    const summary = page.locator("details.path > summary").nth(1);
    await summary.focus();
    await page.keyboard.press("Enter");
    expect(await page.locator("details.path").nth(1).getAttribute("open")).toBe("");
    await page.locator("#p1 .plot[data-from]").first().focus();
    await page.keyboard.press("ArrowRight");
    expect(await page.getByRole("status").last().textContent()).toMatch(
      /^\d+ Hz\nsiblings {2}.* dB\n2030-03-10-01 {2}.* dB\n2\/mic {2}.* dB$/,
    );
    await close();
  });

  it("reads the value of a curve under the pointer as the round has it", async () => {
    const { page, close } = await open(plain);
    const plot = page.locator("#p1 .plot[data-from]").first();
    await plot.scrollIntoViewIfNeeded();
    const box = await plot.boundingBox();
    if (!box) throw new Error("the plot has no place");
    // 1 kHz lies ln(1000/19.6)/ln(20400/19.6) of the way across a plot 440 wide from 46 to 430.
    const x = 46 + (384 * Math.log(1000 / 19.6078)) / Math.log(20_400 / 19.6078);
    await page.mouse.move(box.x + (x / 440) * box.width, box.y + box.height / 2);
    const [hz, ...values] = (await page.locator(".tip").textContent())?.split("\n") ?? [];
    expect(hz).toBe("1.00 kHz");
    const own = aDesk(4).paths[1].curves.response;
    const at = own.x.findIndex((one) => Math.abs(one - 1000) < 1);
    const read = Number(/(−?[\d.]+) dB$/.exec(values[2])?.[1].replace("−", "-"));
    expect(Math.abs(read - own.y[at])).toBeLessThan(0.02);
    await close();
  });

  it("shows everything without a script", async () => {
    const { page, said, close } = await open(plain, { javaScriptEnabled: false });
    expect(await page.locator(".filters").isVisible()).toBe(false);
    expect(await page.locator(".ranking tbody tr").count()).toBe(12);
    expect(await page.getByText("To settle it").first().isVisible()).toBe(true);
    expect(await page.locator("#p1 .plot").first().isVisible()).toBe(true);
    const closed = page.locator("details.path").first();
    await closed.locator("summary").click();
    expect(await closed.locator("table.readings").isVisible()).toBe(true);
    expect(said).toEqual([]);
    await close();
  });

  it("takes hostile names for names", async () => {
    const { page, said, asked, close } = await open(hostile);
    expect(await page.evaluate("window.harmed")).toBeUndefined();
    expect(await page.locator("#forged").count()).toBe(0);
    expect(await page.locator("img").count()).toBe(0);
    expect(await page.locator("script").count()).toBe(1);
    expect(await page.locator("h1").textContent()).toContain("<script>window.harmed=1</script>");
    expect(said).toEqual([]);
    expect(asked).toEqual([hostile]);
    await close();
  });

  it("takes names that mean something to terminals, parsers and spreadsheets for names", async () => {
    const text = (k: number) => hostileTexts[k % hostileTexts.length];
    const texts = {
      desk: hostileTexts.join(""),
      strip: (k: number) => `${k}${text(k)}`,
      inputs: ["mic", text(14)],
      note: hostileTexts.join(""),
    };
    const round = aDesk(hostileTexts.length, texts);
    const url = write("odd-names.html", await renderReport({ round }));
    const { page, said, asked, close } = await open(url);
    expect(said).toEqual([]);
    expect(asked).toEqual([url]);
    expect(await page.locator("h1").count()).toBe(1);
    expect(await page.locator(".map > li").count()).toBe(hostileTexts.length);
    expect(await page.locator("script, img, x, b#forged").count()).toBe(1);
    await close();
  });

  it("fits a telephone: nothing but tables runs out at the side", async () => {
    const { page, close } = await open(plain, { viewport: { width: 390, height: 844 } });
    await page.locator("button[data-open=all]").click();
    expect(await page.evaluate("document.documentElement.scrollWidth")).toBe(390);
    await close();
  });

  it.each(["A4", "Letter"] as const)(
    "prints on %s, and begins a page with each strip that lies open",
    async (format) => {
      const { page, close } = await open(plain);
      await page.emulateMedia({ media: "print" });
      const breaks = () =>
        page.locator(".one-strip:has(details[open])").evaluateAll((all) =>
          all.map(
            (one) =>
              (
                globalThis as unknown as {
                  getComputedStyle(of: unknown): { breakBefore: string };
                }
              ).getComputedStyle(one).breakBefore,
          ),
        );
      // Two strips have a path that stands out; the first strip shares its page with the heading.
      expect(await breaks()).toEqual(["page", "page"]);
      const few = pagesOf(await page.pdf({ format }));
      // The head with the map, the ranking, three families, three runs of strips, the measurement.
      expect(few).toBeGreaterThanOrEqual(9);
      expect(few).toBeLessThanOrEqual(20);
      await page.emulateMedia({ media: "screen" });
      await page.locator("button[data-open=all]").click();
      await page.emulateMedia({ media: "print" });
      expect(await breaks()).toEqual(["auto", "page", "page", "page"]);
      // Nine more paths lie open, of which each fills more than a page and less than three.
      const many = pagesOf(await page.pdf({ format }));
      expect(many).toBeGreaterThanOrEqual(few + 9);
      expect(many).toBeLessThanOrEqual(few + 27);
      await close();
    },
  );
});

async function paths(page: Page): Promise<readonly string[]> {
  return page.locator("table.ranking tbody tr:visible th").allTextContents();
}

function focused(page: Page): Promise<string | null> {
  return page.evaluate("document.activeElement.textContent");
}

/** Page objects of a PDF (ISO 32000-1, 7.7.3.3). */
function pagesOf(pdf: Buffer): number {
  return pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)?.length ?? 0;
}

async function readAxe(): Promise<string> {
  const { readFile } = await import("node:fs/promises");
  return readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
}
