import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import { getSheetFormat } from "../../src/report/sheet/form.js";
import { buildRunSheet } from "../../src/service/run-sheet.js";
import { buildMoves } from "../../src/signal/moves.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";

// Expected: HTML and CSP as the standards have them (WHATWG HTML, 13.1.2; W3C CSP 3, 2.3.1).

const hostile = `<img src=x onerror=alert(1)> & "b" 'c' | *d*`;
const desk = parseDesk(
  `name: ${JSON.stringify(hostile)}
mains: 50
strips: 2
inputs:
  mic: { nominal: -40, setup: ${JSON.stringify(hostile)}, set: { gain: ${JSON.stringify("<b>44</b>")} } }
controls: { gain: knob, "<i>fader": fader }
`,
  "desk.yaml",
);
const table = buildSignalTable("controls", "base", buildMoves(desk.controls));
const words = new Map([["1/mic", hostile]]);
const sheet = buildRunSheet(desk, table, {
  sampleRate: 48_000,
  file: "a<b>.wav",
  heard: { round: "2031-03-14-01", words },
});

describe("the run sheet as a page", () => {
  const page = getSheetFormat("sheet.html").render(sheet);

  it("holds no markup but its own, whatever the desk file says", () => {
    expect(page).not.toMatch(/<img|<i>|<b>44|a<b>/);
    expect(page).toContain("&lt;img src=x onerror=alert(1)&gt; &amp; &quot;b&quot;");
  });

  it("lets nothing in but its own style, by that style's hash", () => {
    const policy = /http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(page)?.[1] ?? "";
    const style = /<style>([\s\S]*?)<\/style>/.exec(page)?.[1] ?? "";
    const hash = createHash("sha256").update(style).digest("base64");
    expect(policy.replaceAll("&#39;", "'")).toContain(
      `default-src 'none'; style-src 'sha256-${hash}'`,
    );
    expect(page).not.toMatch(/https?:|<script|<link|url\(/);
  });

  it("keeps a patch whole on paper and puts the heads of columns on every page", () => {
    expect(page).toMatch(/tr \{ break-inside: avoid; \}/);
    expect(page).toMatch(/thead \{ display: table-header-group; \}/);
    expect(page.match(/class="tick"/g)).toHaveLength(2);
  });
});

describe("the run sheet as Markdown", () => {
  it("escapes what would be markup, and has a row for each patch", () => {
    const text = getSheetFormat("SHEET.MD").render(sheet);
    expect(text).not.toMatch(/(?<!\\)<img|(?<!\\)\*d|[^\\]\| \*d/);
    expect(text.split("\n").filter((line) => line.startsWith("| \\[ \\] |"))).toHaveLength(2);
  });
});

describe("a form of the run sheet", () => {
  it("is refused by name when its ending says nothing", () => {
    expect(() => getSheetFormat("sheet.pdf")).toThrow(/does not say which format/);
    expect(() => getSheetFormat("sheet")).toThrow(/does not say which format/);
  });
});
