import type { RenderCheck } from "./render-check.js";

/** The output formats by their name for `--format`; each is loaded only when it is used. */
export const checkFormats = {
  text: async (): Promise<RenderCheck> => (await import("./text.js")).renderText,
  json: async (): Promise<RenderCheck> => (await import("./json.js")).renderJson,
  csv: async (): Promise<RenderCheck> => (await import("./csv.js")).renderCsv,
  junit: async (): Promise<RenderCheck> => (await import("./junit.js")).renderJunit,
  tap: async (): Promise<RenderCheck> => (await import("./tap.js")).renderTap,
  markdown: async (): Promise<RenderCheck> => (await import("./markdown.js")).renderMarkdown,
} as const;

export type CheckFormat = keyof typeof checkFormats;

export const checkFormatNames = Object.keys(checkFormats) as readonly CheckFormat[];
