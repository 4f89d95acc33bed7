import fc from "fast-check";
import markdownIt from "markdown-it";
import { describe, expect, it } from "vitest";
import { renderMarkdown } from "../../../src/report/check/markdown.js";
import { hostileRounds, oneOfEach, plain, unprintable } from "./hostile.js";

/** Reads Markdown with tables, raw HTML passed through, bare addresses turned into links. */
const reader = markdownIt({ html: true, linkify: true });

const elements = (html: string) => [...html.matchAll(/<(\w+)/g)].map(([, name]) => name);

describe("the Markdown summary", () => {
  it("begins with the verdict and lists what did not pass", async () => {
    const text = renderMarkdown(await oneOfEach(), plain);
    expect(text).toMatch(/^## Fail: 2 of 4 strips: 2, 3\. Incomplete: 4\.\n/);
    const html = reader.render(text);
    expect(elements(html).filter((name) => name === "tr")).toHaveLength(4);
    expect(html).toContain("<td>loud: gain 2.50 ± 0.10 dB, at most 1 dB</td>");
    expect(html).toContain("4 strips: 1 pass, 2 fail, 1 incomplete.");
  });

  it("has no other markup than its own, whatever names desk and strips have", async () => {
    const own = ["h2", "p", "table", "thead", "tbody", "tr", "th", "td", "br", "ul", "li"];
    await fc.assert(
      fc.asyncProperty(hostileRounds, async (of) => {
        const text = renderMarkdown(await oneOfEach("fail", of), plain);
        expect(text).not.toMatch(unprintable);
        const found = elements(reader.render(text));
        for (const name of found) expect(own).toContain(name);
        expect(found.filter((name) => name === "tr")).toHaveLength(4);
        expect(found.filter((name) => name === "h2")).toHaveLength(1);
      }),
      { numRuns: 150 },
    );
  });
});
