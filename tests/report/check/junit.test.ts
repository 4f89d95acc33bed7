import { readFileSync } from "node:fs";
import fc from "fast-check";
import { XmlDocument, XsdValidator } from "libxml2-wasm";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { renderJunit } from "../../../src/report/check/junit.js";
import { hostileRounds, oneOfEach, plain, unprintable } from "./hostile.js";

let schema: XmlDocument;
let validator: XsdValidator;

beforeAll(() => {
  const file = new URL("../../reference/junit/junit-4.xsd", import.meta.url);
  schema = XmlDocument.fromBuffer(readFileSync(file));
  validator = XsdValidator.fromDoc(schema);
});

afterAll(() => {
  validator.dispose();
  schema.dispose();
});

/** Parses and validates; throws where the text is no XML or the schema is not met. */
function read<T>(text: string, look: (document: XmlDocument) => T): T {
  const document = XmlDocument.fromString(text);
  try {
    validator.validate(document);
    return look(document);
  } finally {
    document.dispose();
  }
}

const attribute = (document: XmlDocument, xpath: string) => document.get(xpath)?.content;

describe("JUnit XML", () => {
  it("meets the schema, with a test case for each path", async () => {
    const text = renderJunit(await oneOfEach(), plain);
    read(text, (document) => {
      const cases = document.find("//testcase/@name").map(({ content }) => content);
      expect(cases).toEqual(["1/mic", "2/mic", "3/mic", "4/mic"]);
      const suite = "/testsuites/testsuite";
      expect(attribute(document, `${suite}/@tests`)).toBe("4");
      expect(attribute(document, `${suite}/@failures`)).toBe("2");
      expect(attribute(document, `${suite}/@errors`)).toBe("1");
      expect(document.find("//failure")).toHaveLength(2);
      expect(document.find("//error")).toHaveLength(1);
      expect(attribute(document, "//testcase[2]/failure/@message")).toBe(
        "loud: gain 2.50 ± 0.10 dB, at most 1 dB",
      );
      expect(attribute(document, "//testcase[4]/error/@message")).toBe(
        "missing: no return was assigned to it",
      );
    });
  });

  it("gives what the strictest reader asks for: each attribute, seconds without a zone", async () => {
    // The schema written for the Ant task "junitreport" demands these (from its text).
    const text = renderJunit(await oneOfEach(), plain);
    const suite = /<testsuite ([^>]*)>/.exec(text)?.[1] ?? "";
    for (const name of ["id", "package", "name", "timestamp", "hostname", "tests", "time"]) {
      expect(suite).toMatch(new RegExp(`\\b${name}="[^"]+"`));
    }
    expect(suite).toMatch(/timestamp="2031-03-14T09:00:00"/);
    expect(text).toMatch(/<testsuites>\n/);
    expect(text.match(/<testcase [^>]*classname="strip \d" time="0"/g)).toHaveLength(4);
    expect(text).toMatch(/<\/system-out>\n\s*<system-err\/>\n\s*<\/testsuite>/);
  });

  it("does not fail what is undecided and counts as passing, but says it", async () => {
    read(renderJunit(await oneOfEach("pass"), plain), (document) => {
      expect(document.find("//testcase[@name='3/mic']/*")).toHaveLength(0);
      expect(attribute(document, "//system-out")).toContain("3/mic: loud: gain 0.95 ± 0.10 dB");
    });
  });

  it("stays XML that meets the schema, whatever names desk and strips have", async () => {
    await fc.assert(
      fc.asyncProperty(hostileRounds, async (of) => {
        const check = await oneOfEach("fail", of);
        const text = renderJunit(check, plain);
        expect(text).not.toMatch(unprintable);
        read(text, (document) => {
          expect(document.find("//testcase")).toHaveLength(4);
          expect(document.find("//failure")).toHaveLength(2);
          const known =
            "testsuites|testsuite|properties|property|testcase|failure|error|system-out|system-err";
          for (const { name } of document.find("//*") as unknown as { name: string }[]) {
            expect(known.split("|")).toContain(name);
          }
        });
      }),
      { numRuns: 150 },
    );
  });
});
