/**
 * What people type when they are new, tired or in a hurry, on the desk of `desk.ts`, and what the
 * answer has to name: the thing they meant, or the way to it.
 */
export interface Request {
  /** The words after `deskround`; `DESK` and `NOWHERE` stand for folders with and without a desk. */
  readonly words: readonly string[];
  readonly code: 0 | 1 | 2 | 3;
  /** What the answer has to say. */
  readonly says: RegExp;
  /** What it must not say, as it would lead astray. */
  readonly never?: RegExp;
}

const understood = (words: string, says: RegExp): Request => ({
  words: split(words),
  code: 0,
  says,
});

const refused = (words: string, says: RegExp, never?: RegExp): Request => ({
  words: split(words),
  code: 2,
  says,
  ...(never === undefined ? {} : { never }),
});

/** Words of a line; quotes hold several together. */
function split(line: string): readonly string[] {
  return (line.match(/"[^"]*"|\S+/g) ?? []).map((word) => word.replace(/^"(.*)"$/, "$1"));
}

/** Answers that were misleading, in vain or missing when they were first tried. */
export const collected: readonly Request[] = [
  // A path as people write it.
  understood("show 7mic", /^7\/mic of Big desk/),
  understood("show 7-mic", /^7\/mic of Big desk/),
  understood("show 07/mic", /^7\/mic of Big desk/),
  understood('show "7 mic"', /^7\/mic of Big desk/),
  understood("show 7 mic", /^7\/mic of Big desk/),
  understood("show mic 7", /^7\/mic of Big desk/),
  understood("show mic7", /^7\/mic of Big desk/),
  understood("show strip 7", /^Strip 7 of Big desk/),
  understood("show 7", /^Strip 7 of Big desk/),
  understood("show ch7", /^Strip 7 of Big desk/),
  understood("show 7/", /^Strip 7 of Big desk/),
  understood("show 7/mic/", /^7\/mic of Big desk/),
  understood("show 7.mic", /^7\/mic of Big desk/),
  understood("show 7\\mic", /^7\/mic of Big desk/),
  refused("show 25/mic", /no strip "25".* run from 1 to 24/, /did you mean/i),
  refused("show 25", /no strip "25".* run from 1 to 24/, /did you mean/i),
  refused("show 7/mc", /Did you mean 7\/mic\?/),
  refused("show mic", /deskround show 1\/mic/, /No round/),
  refused("show /mic", /deskround show 1\/mic/, /no strip ""/),
  refused("show list", /deskround show --list/, /Did you mean last/),
  refused("show 7/mic 9/mic", /one path or strip at a time/, /No round/),
  understood("plan --history 7mic", /^Strip 7 of Big desk/),
  refused("plan --history strip 7", /quotes.*"strip 7"/),
  refused("plan --history 25", /no strip "25".* run from 1 to 24/, /did you mean/i),
  refused("plan 7", /deskround show 7/),
  refused("compare 7/mic", /deskround compare --path 7\/mic/, /No round/),
  refused("compare last 7/mic", /deskround compare last --path 7\/mic/),
  refused("check 7", /deskround show 7/, /No round/),
  refused("report 7/mic", /deskround show 7\/mic/, /No round/),
  understood("note add 7mic hum", /strip 7\/mic: hum/),
  understood("note add mic 7 hum", /strip 7\/mic: hum/),
  understood("note add 7 mic hum", /strip 7\/mic: hum/),
  refused("note add 25 hum", /no strip "25".* run from 1 to 24/, /did you mean/i),
  understood("note list 7mic", /n1 2031-02-01 7\/mic/),
  understood("note list strip 7", /n2 2031-02-02 7/),
  understood("note list all", /n\d+/),
  understood("note meter mic 7 direct 120mV", /120 mV/),
  understood("note meter 7 direct 120 mV", /120 mV/),
  understood("note meter 7 rails --plus 17,9V --minus -17.8V", /17\.9 V/),
  understood("signal --only 7mic --sheet-only", /paths 1 of 72/),
  understood('signal --only "mic 7" --sheet-only', /paths 1 of 72/),
  refused("signal --only 25 --sheet-only", /--only: .*no strip "25".* run from 1 to 24/),
  refused("signal --only 25/mic --sheet-only", /--only: .*no strip "25"/, /did you mean/i),
  refused("signal --only --sheet-only", /--only.*7,12\/mic/, /"--sheet-only"/),
  refused("analyze DESK/1.wav --silent 25/mic", /--silent: .*no strip "25"/, /did you mean/i),
  // Days, numbers and units.
  understood("plan --date 14.3.2031", /2031-03-14/),
  understood("plan --date 2031-3-14", /2031-03-14/),
  understood("show 31.1.2031", /round 2031-01-31-01/),
  understood("plan --hours 2,5h", /2\.5 h at hand/),
  understood('plan --hours "2 h"', /2 h at hand/),
  understood("signal --rate 48k --sheet-only", /./),
  refused("signal --rate 48", /48000/),
  refused("signal --format 24 --sheet-only", /int24/),
  understood(
    "signal --tone 1kHz --level -18dBFS --minutes 0,1min --out TEMP/tone.wav",
    /1 kHz|1000/,
  ),
  refused("calibrate DESK/1.wav --output-volts 1,228V", /1\.wav.* not a WAV/, /invalid/),
  refused("calibrate DESK/1.wav", /--output-volts.*meter/),
  // Names of files and desks.
  refused("show --desk NOWHERE/nodesk", /--desk \S*nodesk: there is no such folder/),
  refused("init --desk TEMP/new --strips twenty", /--strips.*24/),
  refused("note import DESK/notes.xlsx", /spreadsheet.*CSV/),
  refused("note import NOWHERE/no.txt", /there is no such file/),
  refused("note import DESK/desk.yaml", /desk\.yaml.*not.*notes/),
];

/** Others of the same kind, thought of and not tried before. */
export const invented: readonly Request[] = [
  understood("show 7_mic", /^7\/mic of Big desk/),
  understood("show 7:mic", /^7\/mic of Big desk/),
  understood("show Mic 07", /^7\/mic of Big desk/),
  understood("show channel 7 mic", /^7\/mic of Big desk/),
  understood('show "strip 7"', /^Strip 7 of Big desk/),
  understood("show #7", /^Strip 7 of Big desk/),
  understood("show 2030 7", /^Strip 7 of Big desk.*round 2030-01-31-01/),
  understood("show 7mic 2030", /^7\/mic of Big desk, round 2030-01-31-01/),
  understood("show 31.1.2030 7", /^Strip 7 of Big desk, round 2030-01-31-01/),
  understood("show 2030 mic 7", /^7\/mic of Big desk, round 2030-01-31-01/),
  understood("show strip 7 --json", /"strip": ?"7"/),
  understood("show LAST", /round 2031-01-31-01/),
  understood("show latest", /round 2031-01-31-01/),
  understood("show first", /round 2029-01-31-01/),
  understood("show previous", /round 2030-01-31-01/),
  refused("show 2035", /No round of 2035.*--list/, /did you mean/i),
  refused("show 25mic", /no strip "25".* run from 1 to 24/, /did you mean/i),
  refused("show 7/lin", /Did you mean 7\/line\?/),
  refused("show 7/xlr", /no input "xlr".*mic, line, tape/),
  refused("show 0/mic", /no strip "0".* run from 1 to 24/, /did you mean/i),
  refused("show 7.5/mic", /no strip "7\.5".* run from 1 to 24/),
  refused("show 7-9", /one path or strip at a time/),
  refused("show 7,8", /one path or strip at a time/),
  refused("show --why", /deskround show --why 7\/mic/),
  refused("show 7 --why", /--why 7\/mic/),
  refused("show 7 --plot", /--plot 7\/mic/),
  refused("show --lsit", /--list/),
  refused("show --jsn", /--json/),
  refused("shwo 7", /show/),
  refused("7/mic", /deskround show 7\/mic/),
  refused("7", /deskround show 7/),
  refused("mic 7", /deskround show 7\/mic|deskround show mic 7/),
  refused("list", /deskround show --list|deskround note list/, /listen/),
  refused("history 7", /deskround plan --history 7/),
  refused("import DESK/notes.xlsx", /deskround note import/),
  refused("add 7 hum", /deskround note add/),
  refused("worklist", /deskround plan/),
  refused("measure DESK/1.wav", /deskround analyze/),
  refused("retest", /analyze --retest|plan --retest/),
  refused("compare --path 25/mic", /no strip "25"/, /did you mean/i),
  understood("compare --path 7mic", /7\/mic/),
  understood('compare --path "mic 7"', /7\/mic/),
  refused("compare --path 7", /7\/mic/),
  refused("compare --with 2040", /No round of 2040/, /did you mean/i),
  refused("compare 2029", /first round|No round is stored before/),
  refused("note add 7", /deskround note add 7 "/),
  refused("note add hum 7", /strip.*first|no strip "?hum/),
  refused("note close n99", /note list --all/),
  refused("note accept 7", /[Ww]hy.*deskround note accept 7 "/),
  refused("note remove n1", /deskround note close|note correct/),
  refused("note meter 7 volts 12V", /phantom, rail, direct/),
  refused("note meter 7 phantom 48", /--pin2.*--pin3/),
  refused("note done 7 x --date 1.2.31", /2031-02-01|YYYY-MM-DD/),
  refused("plan --date 3/4/2031", /2031-04-03.*2031-03-04|2031-03-04.*2031-04-03/),
  refused("plan --date 31.2.2031", /no such day|YYYY-MM-DD/),
  refused("plan --hours two", /hours/),
  refused("plan --hours 0", /above 0/),
  refused("signal --profile kwick --sheet-only", /Did you mean quick\?/),
  refused("check --format xml", /junit/),
  refused("withdraw last", /deskround withdraw last "/),
];
