import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { storeRound } from "../../../src/history/store.js";
import { aRound } from "../../history/a-round.js";
import { path } from "../../history/rounds-of.js";
import { newFolder, run } from "../run.js";

const inputs = ["mic", "line", "tape"] as const;
const level = { value: -20, unit: "dBFS", uncertainty: 0.01 };

/** A desk of 24 strips with three years of rounds, two notes and files that are not recordings. */
export function createTriedDesk(): string {
  const folder = newFolder();
  const file = (name: string, text: string | Uint8Array) => writeFileSync(join(folder, name), text);
  const nominals = inputs.map((input) => `  ${input}: { nominal: ${input === "mic" ? -40 : 4} }`);
  file(
    "desk.yaml",
    `name: Big desk\nmains: 50\nstrips: 24\ninputs:\n${nominals.join("\n")}\nrails: [17, -17]\n`,
  );
  const paths = inputs.flatMap((input) =>
    Array.from({ length: 24 }, (_, k) => path(`${k + 1}/${input}`, { readings: { level } })),
  );
  for (const year of [2029, 2030, 2031]) {
    storeRound(folder, { ...aRound(`${year}-01-31`), paths });
  }
  run("note", "add", "7/mic", "hum since the move", "--date", "2031-02-01", "--desk", folder);
  run("note", "add", "7", "scratchy fader", "--date", "2031-02-02", "--desk", folder);
  file("1.wav", "This is a text.\n");
  file("comma.yaml", "limits:\n  quiet: level > -60,5 dBFS\n");
  file("words.yaml", "limits:\n  loud: Level > -60 dBFS\n");
  file("typo.yaml", "limits:\n  loud: levle > -60 dBFS\n");
  // How a tagged MP3 begins (ID3v2.4.0, 3.1).
  file("song.mp3", Uint8Array.of(0x49, 0x44, 0x33, 4, 0, 0, 0, 0, 0, 0));
  // How a spreadsheet begins: a zip archive (APPNOTE.TXT 6.3.10, 4.3.7, local file header).
  file("notes.xlsx", Uint8Array.of(0x50, 0x4b, 3, 4, 20, 0, 8, 8));
  return folder;
}
