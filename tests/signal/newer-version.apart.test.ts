import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, expect, it, vi } from "vitest";
import type { SignalProfile } from "../../src/signal/profiles/types.js";

// As if a later program had changed the quick signal: a row more, nothing else. Modules are loaded
// anew around it, as test files share them.
vi.resetModules();
vi.doMock(import("../../src/signal/profiles/signal-profiles.js"), async (original) => {
  const { signalProfiles, findSignalProfile } = await original();
  const later: SignalProfile = {
    profile: "quick",
    version: 2,
    code: 6,
    build: (table) =>
      table.silence(1.5).sweep(1, 1.85, 0.25).tone("tone-1k", 1000, 0, 1.1).gap(0.05),
  };
  const rows = [...signalProfiles, later];
  return {
    signalProfiles: rows,
    findSignalProfile: (profile, version) => findSignalProfile(profile, version, rows),
  };
});
const { inspectRecording } = await import("../../src/capture/containers/inspect-recording.js");
const { openSamples } = await import("../../src/capture/containers/open-samples.js");
const { findReturns } = await import("../../src/capture/find/find-returns.js");
const { buildSignalTable, getProfileVersion } = await import("../../src/signal/signal-table.js");
const { encodeCaptureWav } = await import("../../src/signal/signal-wav.js");
const { synthesise } = await import("../../src/signal/synthesise.js");

afterAll(() => {
  vi.doUnmock("../../src/signal/profiles/signal-profiles.js");
  vi.resetModules();
});

const kept = fileURLToPath(
  new URL("../../fixtures/kept-signals/quick-1-base-44100.flac", import.meta.url),
);

it("a newer version is written, a recording of the old one is read as what it is", async () => {
  expect(getProfileVersion("quick")).toBe(2);
  const reader = await openSamples(inspectRecording(kept));
  const [found] = findReturns(reader).returns;
  reader.close();
  expect(found).toMatchObject({ profile: "quick", signalVersion: 1 });
  // Its length is that of its own table, to the sample: 6.5 s against the newer one's 5.4 s.
  const old = buildSignalTable("quick", "base", undefined, 1);
  expect(Math.abs(found.lengthSamples - old.lengthS * 44_100)).toBeLessThan(1);
});

it("a recording of the newer one is told from the old by its markers", async () => {
  const samples = synthesise(buildSignalTable("quick", "base"), 44_100);
  const capture = new Float64Array(samples.length + 44_100);
  capture.set(samples, 22_050);
  const file = join(mkdtempSync(join(tmpdir(), "newer-")), "new.wav");
  writeFileSync(file, encodeCaptureWav(capture, 44_100, "int24"));
  const reader = await openSamples(inspectRecording(file));
  expect(findReturns(reader).returns).toMatchObject([{ profile: "quick", signalVersion: 2 }]);
  reader.close();
});
