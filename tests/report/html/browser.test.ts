import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { renderReport } from "../../../src/jobs/report.js";
import { slow } from "../../helpers/slow.js";
import { hostileTexts } from "../check/hostile.js";
import { aDesk } from "./a-desk.js";
import { describeInBrowser, type OpenPage, type Pages } from "./open-pages.js";

describeInBrowser("a round's page in a browser", roundPage, slow);

function roundPage({ open, write, plain }: Pages) {
  let hostile: string;
  beforeAll(async () => {
    const nasty = `</title></script><script>window.harmed=1</script><img src=x onerror="window.harmed=1">"'><b id=forged>`;
    const texts = {
      desk: nasty,
      strip: (k: number) => `${k}${nasty}`,
      inputs: [nasty],
      note: nasty,
    };
    hostile = write("hostile.html", await renderReport({ round: aDesk(4, texts) }));
  });

  /** A page for those that do not mind what was done on it before. */
  let shared: Promise<OpenPage> | undefined;
  const openShared = () => {
    shared ??= open(plain());
    return shared;
  };
  afterAll(async () => (await shared)?.close());

  it("sorts the ranking by a click or a key on a column's head", async () => {
    const { page, close } = await open(plain());
    expect(await paths(page)).toEqual(["2/mic", "3/mic", "4/tape"]);
    await page.locator("#all-paths").check();
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
    const { page } = await openShared();
    await page.locator("select[name=input]").selectOption("mic");
    expect(await paths(page)).toEqual(["1/mic", "2/mic", "3/mic", "4/mic"]);
    expect(await page.locator(".filters output").textContent()).toBe("4 of 12 paths");
    await page.locator("select[name=standing]").selectOption("service");
    expect(await paths(page)).toEqual(["2/mic"]);
    await page.locator("select[name=reading]").selectOption("noise");
    const { noise } = aDesk(4).paths[1].readings;
    expect(await page.locator("tr[data-path=p1] .among").textContent()).toContain(
      ` dBFS noise ${noise?.value.toFixed(3).replace("-", "−")} ± `,
    );
  });

  it("lights one strip up through all plots", async () => {
    const { page } = await openShared();
    await page.locator("select[name=strip]").selectOption({ value: "1" });
    const lit = page.locator(".lit");
    expect(await page.locator(".wide-strip .lit").count()).toBeGreaterThan(10);
    expect(
      await lit.evaluateAll((all) => all.every((one) => one.getAttribute("data-s") === "1")),
    ).toBe(true);
  });

  it("can be walked with the keyboard alone", async () => {
    const { page, close } = await open(plain());
    await page.keyboard.press("Tab");
    expect(await focused(page)).toBe("Skip to what to do first");
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
    const { page } = await openShared();
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
  });

  it("shows everything without a script", async () => {
    const { page, said, close } = await open(plain(), { javaScriptEnabled: false });
    expect(await page.locator(".filters").isVisible()).toBe(false);
    const rows = page.locator(".ranking tbody tr");
    expect(await rows.count()).toBe(12);
    // Those like their siblings are folded away, and shown without a script too.
    const folded = await page.locator(".ranking .folded tr.alike").count();
    expect(folded).toBeGreaterThan(5);
    expect(await rows.filter({ visible: true }).count()).toBe(12 - folded);
    await page.locator("#all-paths").check();
    expect(await rows.filter({ visible: true }).count()).toBe(12);
    expect(await page.getByText("To confirm").first().isVisible()).toBe(true);
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
}

async function paths(page: Page): Promise<readonly string[]> {
  return page.locator("table.ranking tbody tr:visible th").allTextContents();
}

function focused(page: Page): Promise<string | null> {
  return page.evaluate("document.activeElement.textContent");
}
