import { expect, it } from "vitest";
import { describeInBrowser, expectAccessible } from "./open-pages.js";

describeInBrowser(
  "a round's page in a browser, in both themes, on a telephone and on paper",
  (pages) => {
    const { open, plain } = pages;

    it.each(["light", "dark"] as const)(
      "says nothing on the console, asks for nothing and is accessible in the %s theme",
      (colorScheme) => expectAccessible(pages, colorScheme),
    );

    it("fits a telephone: no table scrolls sideways", async () => {
      const { page, close } = await open(plain(), { viewport: { width: 390, height: 844 } });
      await page.locator("button[data-open=all]").click();
      expect(await page.evaluate("document.documentElement.scrollWidth")).toBe(390);
      const wide = page.locator(".wide");
      expect(await wide.count()).toBeGreaterThan(10);
      const over = await wide.evaluateAll((all) =>
        (all as unknown as readonly Scrolling[]).flatMap((one) =>
          one.scrollWidth > one.clientWidth + 1 ? [one.ariaLabel] : [],
        ),
      );
      expect(over).toEqual([]);
      await close();
    });

    it.each(["A4", "Letter"] as const)(
      "prints on %s, and begins a page with each strip that lies open",
      async (format) => {
        const { page, close } = await open(plain());
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
        // Two strips have a path that stands out; the first shares its page with the heading.
        expect(await breaks()).toEqual(["auto", "page"]);
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
  },
);

/** What is asked of an element in the browser. */
interface Scrolling {
  readonly scrollWidth: number;
  readonly clientWidth: number;
  readonly ariaLabel: string;
}

/** Page objects of a PDF (ISO 32000-1, 7.7.3.3). */
function pagesOf(pdf: Buffer): number {
  return pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)?.length ?? 0;
}
