import { appendFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { newDesk } from "../jobs/recordings.js";
import { run } from "./run.js";

describe("stores", () => {
  it("lose what a repair takes and list what a plan lacks", () => {
    const desk = newDesk(4);
    appendFileSync(
      join(desk, "desk.yaml"),
      "construction:\n  values: { contact cleaner: any, control: 10 kΩ log }\n",
    );
    const stores = (...args: string[]) => run("stores", ...args, "--desk", desk);
    expect(stores("list").out).toContain("Nothing is in the stores");
    const add = stores(
      "add",
      "electrolytic 10 µF 63 V",
      "--count",
      "6",
      "--price",
      "0,12",
      "--from",
      "mail order",
    );
    expect([add.code, add.err]).toEqual([0, "electrolytic 10 µF 63 V: 6 in the stores.\n"]);
    stores("add", "control", "10k", "log", "--count", "1", "--price", "4");
    const done = run("note", "done", "3", "C4 replaced", "--part", "4x 10 µF 50 V", "--desk", desk);
    expect(done.err).toContain(
      "Taken from the stores: 4 × electrolytic 10 µF 63 V for 10 µF 50 V; 2 left.",
    );
    const more = run("note", "done", "3", "again", "--part", "4x 10 µF 50 V", "--desk", desk);
    expect(more.err).toContain(
      "2 × electrolytic 10 µF 63 V for 10 µF 50 V; none left, the other 2 came from elsewhere",
    );
    expect(JSON.parse(stores("list", "--json").out)[0]).toMatchObject({ count: 0, price: 0.12 });
    expect(stores("take", "control 10k log", "--count", "2").err).toContain("There are 1");
    expect(stores("add", "10 µF", "--count", "2").err).toContain("what kind of part");
    expect(stores("add", "fuse", "--count", "-1").code).toBe(2);
    run("note", "add", "2", "fader scratchy", "--desk", desk);
    expect(stores("missing").out).toContain("1 × control: 10 kΩ log (strip 2)");
    const [head, ...rows] = stores("missing", "--format", "csv").out.trimEnd().split("\r\n");
    expect(head).toBe(
      "part,kind,value,volts,missing,needed,reserved,set aside,price,cost,from,strips",
    );
    expect(rows).toContain("control,control log,10 kΩ,,1,2,1,1 × control log 10 kΩ,4,4,,2");
    expect(run("plan", "--desk", desk).out).toContain("set aside in the stores: 1 × control");
  });
});
