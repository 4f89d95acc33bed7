import fc from "fast-check";
import { XmlDocument } from "libxml2-wasm";
import { describe, expect, it } from "vitest";
import { compareRounds } from "../../../src/history/compare/compare.js";
import type { Round } from "../../../src/history/types.js";
import { withSides } from "../../../src/history/with-sides.js";
import { buildYears } from "../../../src/history/years.js";
import { renderReport } from "../../../src/jobs/report.js";
import { getReadingId } from "../../../src/measure/reading-kinds.js";
import { escapeHtml, html } from "../../../src/report/html/markup.js";
import { renderPlots } from "../../../src/report/html/plot-files.js";
import { listReferenceRows, renderRoundCsv } from "../../../src/report/round-csv.js";
import { hostileTexts } from "../check/hostile.js";
import { aDesk } from "./a-desk.js";

describe("markup", () => {
  it("lets no text end an element or an attribute", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), (text) => {
        expect(html`<p title="${text}">${text}</p>`.text).toMatch(
          /^<p title="[^"<>]*">[^<>]*<\/p>$/u,
        );
      }),
    );
  });

  it("writes the five characters of markup as entities and nothing unseen", () => {
    expect(escapeHtml(`<a href="x">&'`)).toBe("&lt;a href=&quot;x&quot;&gt;&amp;&#39;");
    expect(escapeHtml("a\u202Eb\u0000c")).toBe("a\uFFFDb\uFFFDc");
  });
});

/** What matches in a page's own markup; its script is code and may say anything. */
function found(page: string, what: RegExp): readonly string[] {
  const [markup] = page.split('<script type="module">');
  return [...(what.exec(markup) ?? [])].slice(0, 1);
}

describe("a round's page", () => {
  it("is smaller than 3 MB and made within 2 s for 72 paths", async () => {
    const round = aDesk(24);
    await renderReport({ round: aDesk(2) });
    // Processor time: other tests may hold the processors meanwhile.
    const before = process.cpuUsage();
    const page = await renderReport({ round });
    const { user, system } = process.cpuUsage(before);
    const seconds = (user + system) / 1e6;
    expect(round.paths).toHaveLength(72);
    expect(Buffer.byteLength(page)).toBeLessThan(3e6);
    expect(seconds).toBeLessThan(2);
  });

  it("says once what paths of a strip ask for alike", async () => {
    const whole = aDesk(4);
    const [one, other] = whole.paths.filter(({ strip }) => strip === "2");
    const at = (probability: number) => ({
      findings: one.findings,
      causes: one.causes.map((cause) => ({ ...cause, probability })),
    });
    const paths = whole.paths.map((path) => {
      if (path === one) return { ...one, ...at(0.9) };
      return path === other ? { ...other, ...at(0.7), oddness: one.oddness / 2 } : path;
    });
    expect(one.causes).toHaveLength(1);
    const page = await renderReport({ round: { ...whole, paths } });
    const [, item = ""] = /<li data-s="\d+"><b>Strip 2<\/b>(.*?)<\/li>/s.exec(page) ?? [];
    expect(item.split("<dl").length - 1).toBe(1);
    expect(item).toContain("(70 to 90\u00a0%)");
    for (const { path } of [one, other]) expect(item).toContain(`>${path}</a>`);
  });

  it("is the same every time", async () => {
    const [one, other] = [
      await renderReport({ round: aDesk(3) }),
      await renderReport({ round: aDesk(3) }),
    ];
    expect(one === other).toBe(true);
  });

  it("forbids everything from outside, and any style or script but its own", async () => {
    const page = await renderReport({ round: aDesk(3) });
    const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(page)?.[1];
    expect(policy).toMatch(/^default-src &#39;none&#39;; style-src &#39;sha256-[\w+/=]{44}&#39;; /);
    expect(found(page, / style="| on\w+="|https?:/)).toEqual([]);
  });

  it("has no NaN, whatever is missing of a round", async () => {
    const whole = aDesk(4);
    const bare = {
      ...whole,
      signal: { ...whole.signal, profile: "another", band: "other" },
      paths: whole.paths.map((path) => ({ ...path, readings: {}, curves: {}, absent: {} })),
    };
    const none = { x: [], y: [], uncertainty: [], xUnit: "Hz", yUnit: "dB" } as const;
    const empty = {
      ...whole,
      paths: whole.paths.map((path) => ({
        ...path,
        curves: Object.fromEntries(Object.keys(path.curves).map((id) => [id, none])),
        steps: [],
        marks: [],
      })),
    };
    for (const round of [whole, bare, empty, { ...whole, paths: [] }]) {
      const page = await renderReport({ round });
      expect(found(page, /.{0,60}(NaN|undefined|Infinity|\[object).{0,60}/)).toEqual([]);
    }
  });

  it("does not tell the folders of the recordings", async () => {
    expect(found(await renderReport({ round: aDesk(3) }), /\/somewhere\//)).toEqual([]);
  });

  it("draws the baseline's curves dashed and says what changed", async () => {
    const [round, earlier] = [aDesk(6), aDesk(6, undefined, 1)];
    const baseline = { round: earlier, comparison: compareRounds(round, earlier) };
    const page = await renderReport({ round, baseline });
    expect(found(page, /class="before" data-name="2030-03-10-01"/)).toHaveLength(1);
    expect(found(page, /Since round 2030-03-10-01/)).toHaveLength(1);
  });
});

describe("what other rounds and passes add to a page", () => {
  it("draws noise over the years, with a dot for each round", async () => {
    const [round, earlier] = [aDesk(6), aDesk(6, undefined, 1)];
    const years = buildYears([earlier, round], [getReadingId("noise")]);
    const page = await renderReport({ round, years });
    expect(found(page, /aria-label="noise of 1\/mic in 2 rounds/)).toHaveLength(1);
    // 17 measured paths of 18, in two rounds each.
    expect(page.match(/<circle class="year"/g)).toHaveLength(34);
    expect(found(await renderReport({ round }), /<circle class="year"/)).toEqual([]);
  });

  it("draws years, dots and families of both sides of a stereo bus", async () => {
    const noise = getReadingId("noise");
    // The right sides lie at -89 dBFS, that of 1/mic at -60.
    const inStereo = (mono: Round): Round => ({
      ...mono,
      paths: mono.paths.map((path) => {
        if (path.status !== "measured") return path;
        const value = path.path === "1/mic" ? -60 : -89;
        const own = path.readings[noise];
        const readings = { ...path.readings, [noise]: { ...own, value } };
        const curves = { ...path.curves };
        return { ...path, partner: { side: "right", readings, absent: {}, curves } };
      }),
    });
    const [round, earlier] = [aDesk(6), aDesk(6, undefined, 1)].map(inStereo);
    const years = buildYears([earlier, round].map(withSides), [noise]);
    const page = await renderReport({ round, years });
    // 17 measured paths of 18 have two sides each, in two rounds.
    expect(page.match(/<circle class="year"/g)).toHaveLength(68);
    expect(page.match(/in 2 rounds: [^"]* Its right side: /g)).toHaveLength(17);
    expect(found(page, /<h3>mic \(right side\), \d+ paths measured/)).toHaveLength(1);
    const side = page.slice(page.indexOf("Readings of the right side of 1/mic"));
    const row = /<th scope="row">noise<\/th>(.*?)<\/tr>/.exec(side)?.[1];
    expect(row).toMatch(/<td>\+29(?:\.0+)?<\/td>/);
    expect(row).toMatch(/<svg class="strip"/);
    expect(found(page, /NaN|undefined/)).toEqual([]);
  });

  it("has the reference path, first and last", async () => {
    const round = aDesk(3);
    const [{ take, readings, curves }] = round.paths;
    if (take === undefined) throw new Error("not measured");
    const turn = { status: "measured", take, readings, absent: {}, curves } as const;
    const turns = [
      { turn: "first", ...turn },
      { turn: "last", ...turn },
    ] as const;
    const reference = { name: "reference", into: "insert", turns } as const;
    const page = await renderReport({ round: { ...round, reference } });
    expect(found(page, /<h3 id="reference">Reference path<\/h3>/)).toHaveLength(1);
    const rows = listReferenceRows(reference);
    expect(renderRoundCsv(rows)).toMatch(/^reference first,,,reference,measured,level,/m);
    expect(rows.map(({ path }) => path)).toEqual(["reference first", "reference last"]);
  });
});

describe("plots as files", () => {
  it("are well-formed SVG, whatever the names are", () => {
    for (const text of hostileTexts) {
      const round = aDesk(3, {
        desk: text,
        strip: (number) => `${number}${text}`,
        inputs: [text],
        note: text,
      });
      for (const plot of renderPlots({ round })) {
        expect(plot.name).toMatch(/^[\p{L}\p{N}_-]+\.svg$/u);
        const document = XmlDocument.fromString(plot.text);
        expect(document.root.name).toBe("svg");
        expect(document.find("//*[local-name()='script']")).toEqual([]);
        document.dispose();
      }
    }
  });

  it("have a name each, and need no other file", () => {
    const plots = renderPlots({ round: aDesk(3) });
    expect(new Set(plots.map(({ name }) => name)).size).toBe(plots.length);
    for (const { text } of plots) {
      const ids = [...text.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id);
      for (const [, id] of text.matchAll(/href="#([^"]+)"/g)) expect(ids).toContain(id);
    }
  });
});
