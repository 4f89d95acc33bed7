import { describe, expect, it } from "vitest";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import { formatStarterDesk } from "../../src/desk/starter.js";
import {
  buildNextPatch,
  buildRunSheet,
  hotWords,
  type PathSignal,
  type RunSheetOptions,
  toneSteps,
} from "../../src/service/run-sheet.js";
import { buildMoves } from "../../src/signal/moves.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import type { Segment, SignalTable, ToneSegment } from "../../src/signal/types.js";

const text = formatStarterDesk({
  name: "Big desk",
  strips: "24",
  inputs: ["mic", "line", "tape"],
  mainsHz: 50,
});
const desk = parseDesk(text, "desk.yaml");
const table = buildSignalTable("standard", "base");
const options = { sampleRate: 48000, file: "signal.wav" };
const sheet = buildRunSheet(desk, table, options);

describe("the run sheet", () => {
  it("lists every path once, in the order of the desk", () => {
    expect(sheet.patches.map(({ path }) => path)).toStrictEqual(desk.paths.map(({ path }) => path));
    expect(sheet.patches.map(({ number }) => number)).toStrictEqual(
      desk.paths.map((_, i) => i + 1),
    );
  });

  it("gives the level at the socket in dBu and as a voltmeter shows it", () => {
    const [mic, line] = sheet.inputs;
    // +4 dBu is 1.228 V (trade use, and the voltage of 1 mW in 600 Ω raised by 4 dB).
    expect(line?.nominalVolts).toBeCloseTo(1.228, 3);
    expect(line?.nominalVolts).toBeCloseTo(Math.sqrt(0.001 * 600) * 10 ** 0.2, 12);
    // −40 dBu = √0.6 / 100 V.
    expect(mic?.nominalVolts).toBeCloseTo(0.007746, 6);
  });

  it("asks for a pad into inputs far below line level, and for none into line inputs", () => {
    expect(sheet.inputs.map(({ padDb }) => padDb)).toStrictEqual([44, undefined, undefined]);
  });

  it("counts what hands do, and takes signal and hands as the time needed", () => {
    // Counted by hand: the mics first, then line and tape of each strip, 24 + 48 plugs. The pad goes
    // in before the first and out after the last mic. One mute is opened at first, and two are pressed at each of the 47
    // borders between strips. Six controls of every strip are looked at; then the gain is set for
    // line, and tape wants it as line does.
    expect(sheet.work).toStrictEqual({
      plugs: 72,
      pads: 2,
      mutes: 1 + 2 * 47,
      controls: 24 * (6 + 1),
    });
    const hands = 72 * (8 + 4) + 2 * 10 + 95 * 2 + 168 * 2;
    expect(sheet.totalS).toBeCloseTo(72 * table.lengthS + hands, 6);
  });

  it("tells every control of a patch, and which of them to touch", () => {
    const first = sheet.patches.find(({ path }) => path === "3/mic");
    expect(first?.settings).toHaveLength(6);
    expect(first?.settings.every(({ move }) => move === "set")).toBe(true);
    const second = sheet.patches.find(({ path }) => path === "3/line");
    expect(second?.settings.filter(({ move }) => move === "set")).toStrictEqual([
      { control: "gain", to: "0 dB", move: "set" },
    ]);
  });

  it("names the map that its recordings want where they want one", () => {
    expect(sheet).not.toHaveProperty("map");
    expect(buildRunSheet(desk, table, { ...options, map: "7/mic,8/mic" }).map).toBe("7/mic,8/mic");
  });

  it("is made for chosen paths alone, in the order of the whole", () => {
    const paths = desk.paths.filter(({ path }) => ["7/tape", "7/mic", "12/line"].includes(path));
    const some = buildRunSheet(desk, table, { ...options, paths });
    expect(some.patches.map(({ path }) => path)).toStrictEqual(["7/mic", "7/tape", "12/line"]);
    expect(some.partial).toStrictEqual({ paths: 3, of: 72 });
    expect(some.inputs.map(({ name }) => name)).toStrictEqual(["mic", "line", "tape"]);
  });

  it("warns of a desk that lies open where it does", () => {
    const open = buildRunSheet(desk, table, { ...options, open: true }).cautions.join(" ");
    expect(open).toMatch(
      /^The desk is open and live: leave every cover over mains and power supply fitted/,
    );
    expect(open).toMatch(/pull the mains plug .* licensed people, under local codes/);
    expect(open).toContain("Mute the monitors");
    expect(open).not.toContain("Nothing here needs the desk opened");
    expect(sheet.cautions.join(" ")).toContain("Nothing here needs the desk opened");
  });

  it("puts ears, phantom power and the supply first", () => {
    expect(sheet.cautions[0]).toMatch(/Mute the monitors and turn headphones down/);
    expect(sheet.cautions[1]).toMatch(/Switch phantom power off .* wait/);
    expect(sheet.cautions[2]).toMatch(/licensed/);
  });

  it("leaves room for the loudest step of its own signal", () => {
    const room = (profile: Parameters<typeof buildSignalTable>[0]) =>
      buildRunSheet(desk, buildSignalTable(profile, "base"), options).steps.join(" ");
    expect(room("standard")).toContain("loudest step is 17 dB above: leave 18 dB of headroom");
    expect(room("quick")).toContain("loudest step is 12 dB above: leave 13 dB of headroom");
    expect(room("controls")).not.toContain("loudest step");
  });

  it("sends to a tone of minutes where its own is too short for a meter", () => {
    const controls = buildRunSheet(desk, buildSignalTable("controls", "base"), options).steps.join(
      " ",
    );
    for (const steps of [sheet.steps.join(" "), controls]) {
      expect(steps).toContain(
        "`deskround signal --tone 1000` writes five minutes of the same tone",
      );
    }
    expect(controls).toContain("knobs and faders from end to end and back");
  });

  it("tells when to move which control in a controls pass, and never to touch phantom power", () => {
    const table = buildSignalTable("controls", "base", buildMoves(desk.controls));
    const pass = buildRunSheet(desk, table, options);
    expect(pass.moves.map(({ control }) => control)).toStrictEqual(
      desk.controls.map(({ name }) => name).filter((name) => name !== "phantom"),
    );
    for (const [k, { countInS, fromS, quietS, untilS }] of pass.moves.entries()) {
      expect(fromS - countInS).toBeCloseTo(1.5, 9);
      expect(quietS).toBeGreaterThan(fromS);
      expect(untilS).toBeGreaterThan(quietS);
      // Two seconds late, the hand is still not in the next control's window.
      expect(pass.moves[k + 1]?.countInS ?? untilS + 2).toBeGreaterThanOrEqual(untilS + 2);
    }
    expect(pass.cautions.join(" ")).toContain("Keep phantom power off");
  });
});

describe("the reference path on the run sheet", () => {
  const withReference = parseDesk(`${text}\nreference-path: { into: insert }\n`, "desk.yaml");
  const { patches } = buildRunSheet(withReference, table, options);

  it("is played before all others and after them", () => {
    const [first, last] = [patches[0], patches[patches.length - 1]];
    expect([first.reference, last.reference]).toStrictEqual(["first", "last"]);
    expect(first.plug).toMatch(/before all others$/);
    expect(last.plug).toMatch(/after all others$/);
    expect(patches).toHaveLength(desk.paths.length + 2);
  });
});

describe("the run sheet of a small desk, worked out by hand", () => {
  const head = `name: Small desk
mains: 50
strips: 2
inputs:
  mic: { nominal: -40, setup: pad off, set: { gain: 44 dB } }
  line: { nominal: 4, plug: line jack }
controls: { gain: knob, pan: { kind: knob, set: middle } }
`;
  const of = (more = "") => parseDesk(head + more, "desk.yaml");
  const small = of();
  const tone: ToneSegment = {
    kind: "tone",
    name: "tone",
    startS: 1,
    lengthS: 5,
    frequencyHz: 1000,
    levelDbfs: -18,
  };
  const signal = (
    segments: readonly Segment[] = [],
    more: Partial<SignalTable> = {},
  ): SignalTable => ({
    version: 1,
    profile: "standard",
    band: "base",
    lengthS: 10,
    nominalDbfs: -18,
    segments,
    ...more,
  });
  const build = (desk = small, table = signal(), more: Partial<RunSheetOptions> = {}) =>
    buildRunSheet(desk, table, { sampleRate: 44_100, file: "a.wav", ...more });
  // 0 dBu is the voltage of 1 mW in 600 Ω.
  const volts = (dbu: number) => expect.closeTo(Math.sqrt(0.6) * 10 ** (dbu / 20), 12);
  const setting = (control: string, to: string, move: string) => ({ control, to, move });
  const mic = {
    input: "mic",
    nominalDbu: -40,
    nominalVolts: volts(-40),
    padDb: 44,
    settings: [setting("gain", "44 dB", "set"), setting("pan", "middle", "set")],
  };
  const line = { input: "line", nominalDbu: 4, nominalVolts: volts(4) };

  it("has each path once, with its plug, pad and settings, and no key that says nothing", () => {
    const { cautions, steps, ...rest } = build();
    expect(rest).toStrictEqual({
      desk: "Small desk",
      order: "by-input",
      purpose: "round",
      signal: {
        file: "a.wav",
        profile: "standard",
        sampleRate: 44_100,
        lengthS: 10,
        nominalDbfs: -18,
      },
      inputs: [
        { name: "mic", nominalDbu: -40, nominalVolts: volts(-40), setup: "pad off", padDb: 44 },
        { name: "line", nominalDbu: 4, nominalVolts: volts(4), setup: "" },
      ],
      moves: [],
      patches: [
        { number: 1, path: "1/mic", strip: "1", plug: "strip 1, mic socket", pad: "in", ...mic },
        {
          number: 2,
          path: "2/mic",
          strip: "2",
          plug: "strip 2, mic socket",
          pad: "as it is",
          ...mic,
        },
        {
          number: 3,
          path: "1/line",
          strip: "1",
          plug: "strip 1, line jack",
          pad: "out",
          settings: [setting("pan", "middle", "as it is")],
          ...line,
        },
        {
          number: 4,
          path: "2/line",
          strip: "2",
          plug: "strip 2, line jack",
          pad: "as it is",
          settings: [setting("pan", "middle", "as it is")],
          ...line,
        },
      ],
      // A mute is opened, then two are pressed at each of three borders.
      work: { plugs: 4, pads: 2, mutes: 7, controls: 4 },
      handsS: 4 * (8 + 4) + 2 * 10 + 7 * 2 + 4 * 2,
      totalS: 4 * 10 + 90,
    });
    expect(cautions).toHaveLength(3);
    expect(steps).toHaveLength(7);
  });

  it("names in its steps what its own signal and inputs want alone", () => {
    const says = (
      pattern: RegExp,
      desk = small,
      table = signal(),
      more: Partial<RunSheetOptions> = {},
    ) => build(desk, table, more).steps.filter((step) => pattern.test(step)).length;
    expect(build().steps[0]).toMatch(/^Play a\.wav at 44\.1 kHz from/);
    expect(says(/at 44\.1 kHz, 24 bit/)).toBe(1);
    expect(says(/pad box/)).toBe(1);
    expect(
      says(/pad box/, of(), signal(), {
        paths: small.paths.filter(({ input }) => input === "line"),
      }),
    ).toBe(0);
    expect(says(/file to play is listed beside each path/)).toBe(0);
    expect(
      says(/file to play is listed beside each path/, small, signal(), { signals: new Map() }),
    ).toBe(1);
    expect(says(/Three pips/)).toBe(0);
    expect(says(/Three pips/, small, signal([], { profile: "controls" }))).toBe(1);
    expect(says(/analyze --silent/)).toBe(1);
    expect(says(/analyze --retest --silent/, small, signal(), { open: true })).toBe(1);
    expect(says(/mix output \(\+4 dBu\)/)).toBe(1);
    expect(says(/mix output \(0 dBu\)/, of("reference: 0\n"))).toBe(1);
    expect(says(/mix output \(-10 dBu\)/, of("reference: -10\n"))).toBe(1);
    expect(says(/about -18 dBFS\.$/)).toBe(1);
  });

  it("is of a re-test where the desk is open, and has cautions of its own", () => {
    expect(build(small, signal(), { open: true }).purpose).toBe("retest");
    const moving = build(small, signal([], { profile: "controls" })).cautions;
    expect(moving).toHaveLength(5);
    expect(moving[3]).toMatch(/^Keep phantom power off/);
    expect(build(small, signal(), { open: true }).cautions).toHaveLength(4);
  });

  it("is partial where it has fewer paths than the whole", () => {
    const paths = small.paths.slice(0, 2);
    expect(build(small, signal(), { paths }).partial).toStrictEqual({ paths: 2, of: 4 });
    expect(build(small, signal(), { paths, of: 3 }).partial).toStrictEqual({ paths: 2, of: 3 });
    expect(build(small, signal(), { paths, of: 2 })).not.toHaveProperty("partial");
    expect(build(small, signal(), { paths }).inputs.map(({ name }) => name)).toStrictEqual(["mic"]);
  });

  it("has what was heard beside the paths that have it, and open dangers", () => {
    const heard = { round: "2031-03-14-01", words: new Map([["2/mic", "hums"]]) };
    const sheet = build(small, signal(), { heard });
    expect(sheet.heardIn).toBe("2031-03-14-01");
    expect(sheet.patches.map(({ heard: words }) => words)).toStrictEqual([
      undefined,
      "hums",
      undefined,
      undefined,
    ]);
    expect(sheet.patches[0]).not.toHaveProperty("heard");
    const danger = { note: "n1", date: "2031-03-14", words: "hot", dangers: ["heat"] } as const;
    expect(build(small, signal(), { dangers: [danger] }).dangers).toStrictEqual([danger]);
  });

  it("goes past the strips first and last, but not in a controls pass", () => {
    const past = of("reference-path: { into: insert, nominal: 4 }\n");
    const sheet = build(past);
    expect(sheet.patches.map(({ number, path }) => `${number} ${path}`)).toStrictEqual([
      "1 reference",
      "2 1/mic",
      "3 2/mic",
      "4 1/line",
      "5 2/line",
      "6 reference",
    ]);
    expect(sheet.patches[5]).toStrictEqual({
      number: 6,
      path: "reference",
      strip: "reference",
      input: "reference",
      reference: "last",
      nominalDbu: 4,
      nominalVolts: volts(4),
      plug: "mix insert return: the reference path, after all others",
      pad: "as it is",
      settings: [],
    });
    expect(sheet.work.plugs).toBe(6);
    expect([sheet.handsS, sheet.totalS]).toStrictEqual([90 + 2 * 12, 6 * 10 + 114]);
    expect(sheet.steps.at(-1)).toMatch(
      /output into the mix insert return at \+4 dBu\. .* as for all other paths\.$/,
    );
    const named = of(
      "reference-path: { into: bus, nominal: -40, plug: the spare, setup: Mute it., pad: 40 }\n",
    );
    expect(build(named).steps.at(-1)).toMatch(
      /into the spare input of the mix bus \(the spare\) at -40 dBu\. .* paths\. Mute it\.$/,
    );
    expect(build(named).patches[0]).toMatchObject({ padDb: 40, pad: "in", reference: "first" });
    const controls = build(past, signal([], { profile: "controls" }));
    expect(controls.patches).toHaveLength(4);
    expect(controls.steps.join()).not.toContain("Reference path");
    expect(controls.handsS).toBe(90);
  });

  it("tells when each control is moved, from the pips before to the pip after", () => {
    const move = { control: "gain", hand: "turn" } as const;
    const pips = { kind: "pips", startS: 2, lengthS: 1.5 } as unknown as Segment;
    const moved: ToneSegment = { ...tone, startS: 3.5, lengthS: 4, move };
    const after: Segment = { kind: "silence", name: "quiet", startS: 7.5, lengthS: 2, move };
    const whole = { ...move, countInS: 2, fromS: 3.5, quietS: 7.5, untilS: 9.5 };
    const moves = (...segments: readonly Segment[]) => build(small, signal(segments)).moves;
    expect(moves(pips, moved, after, tone)).toStrictEqual([whole]);
    // At the ends of a signal the tone's own times are all there is.
    expect(moves(moved)).toStrictEqual([
      { ...move, countInS: 3.5, fromS: 3.5, quietS: 7.5, untilS: 7.5 },
    ]);
    expect(moves(pips, tone, after)).toStrictEqual([]);
  });

  it("counts the length of the file that each path plays", () => {
    const move = { control: "pan", hand: "turn" } as const;
    const short = signal([{ ...tone, move }], { lengthS: 3 });
    const signals = new Map<string, PathSignal>(
      ["1/line", "2/line"].map((path) => [path, { file: "b.wav", table: short }] as const),
    ).set("1/mic", { file: "a.wav", table: signal() });
    const sheet = build(small, signal(), { signals });
    expect(sheet.patches.map(({ file }) => file)).toStrictEqual([
      "a.wav",
      undefined,
      "b.wav",
      "b.wav",
    ]);
    expect(sheet.others).toStrictEqual([
      {
        file: "b.wav",
        lengthS: 3,
        moves: [{ ...move, countInS: 1, fromS: 1, quietS: 6, untilS: 6 }],
      },
    ]);
    expect(sheet.totalS).toBe(10 + 10 + 3 + 3 + 90);
    expect(build(small, signal(), { signals: new Map() })).not.toHaveProperty("others");
  });

  it.each([
    // A tone of five seconds can be read on a meter.
    [[tone], 1, false],
    [[{ ...tone, lengthS: 4.9 }], 1, true],
    [[{ ...tone, frequencyHz: 100 }], 0, false],
    [[{ ...tone, levelDbfs: -12 }], 0, false],
    [[], 0, false],
  ] as const)(
    "sets the level by its own tone of 1 kHz at nominal level, %#",
    (segments, count, isShort) => {
      const steps = toneSteps(signal(segments));
      expect(steps).toHaveLength(count);
      if (count > 0) expect(steps[0]).toMatch(/the 1 kHz tone \(-18 dBFS\)/);
      expect(steps.join().includes("It is short")).toBe(isShort);
    },
  );

  it("leaves a decibel more than its loudest step, of all its steps", () => {
    const step = (...levelsDbfs: number[]): Segment => ({
      kind: "steps",
      name: "steps",
      startS: 0,
      lengthS: 1,
      frequencyHz: 1000,
      stepS: 1,
      levelsDbfs,
    });
    expect(hotWords(signal([step(-30, -6), step(-8)]))).toBe(
      " The loudest step is 12 dB above: leave 13 dB of headroom.",
    );
    expect(hotWords(signal([tone]))).toBe("");
  });

  it("tells of one path what to do after another", () => {
    const [mic1, mic2, line1] = small.paths;
    expect(buildNextPatch(small, mic2)).toStrictEqual({
      number: 1,
      path: "2/mic",
      strip: "2",
      plug: "strip 2, mic socket",
      pad: "in",
      ...mic,
    });
    expect(buildNextPatch(small, mic2, mic1).pad).toBe("as it is");
    expect(buildNextPatch(small, line1, mic1)).toMatchObject({
      path: "1/line",
      pad: "out",
      settings: [setting("pan", "middle", "as it is")],
    });
    // An input that the desk file has not: nothing is known of its level.
    const tape = { path: "1/tape", strip: "1", input: "tape", family: "tape" };
    expect(buildNextPatch(small, tape)).toStrictEqual({
      number: 1,
      path: "1/tape",
      strip: "1",
      input: "tape",
      nominalDbu: 0,
      nominalVolts: volts(0),
      plug: "strip 1, tape socket",
      pad: "as it is",
      settings: [],
    });
  });
});
