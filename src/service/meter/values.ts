import type { Desk } from "../../desk/types.js";
import { DeskroundError } from "../../errors.js";
import { formatCommand } from "../../text/program-name.js";
import type { MeterValue } from "../notebook/schema.js";
import { formatQuantity, type MeterUnit, parseQuantity } from "./quantity.js";

export const meterQuantities = ["phantom", "rail", "direct", "resistor", "capacitor"] as const;
export type MeterQuantity = (typeof meterQuantities)[number];

/** Values as written on the command line. */
export interface WrittenValues {
  readonly pin2?: string;
  readonly pin3?: string;
  readonly plus?: string;
  readonly minus?: string;
  readonly value?: string;
  readonly nominal?: string;
  readonly tolerance?: string;
}

/** The values of each kind of reading, and their unit. */
const made: Readonly<
  Record<
    MeterQuantity,
    { readonly unit: MeterUnit; readonly fields: readonly Field[]; readonly example: string }
  >
> = {
  phantom: {
    unit: "V",
    fields: ["pin2", "pin3"],
    example: "note meter 6 phantom --pin2 31.2 --pin3 47.8",
  },
  rail: {
    unit: "V",
    fields: ["plus", "minus"],
    example: "note meter 6 rail --plus 15.1 --minus -14.9",
  },
  direct: {
    unit: "V",
    fields: ["value"],
    example: 'note meter 6/mic direct 120mV --part "gain control"',
  },
  resistor: {
    unit: "Ω",
    fields: ["value"],
    example: "note meter 6 resistor 6.79k --nominal 6.8k --part R14",
  },
  capacitor: {
    unit: "F",
    fields: ["value"],
    example: "note meter 6 capacitor 12u --nominal 47u --part C3",
  },
};

type Field = "pin2" | "pin3" | "plus" | "minus" | "value";

const fieldNames: Readonly<Record<Field, string>> = {
  pin2: "pin 2",
  pin3: "pin 3",
  plus: "plus",
  minus: "minus",
  value: "value",
};

/**
 * Stored values in the form of the command line.
 *
 * @example
 * listWrittenValues([{ at: "pin 2", value: 47.8 }]); // { pin2: "47.8" }
 */
export function listWrittenValues(
  values: readonly { readonly at: string; readonly value: number }[],
): WrittenValues {
  return Object.fromEntries(
    Object.entries(fieldNames).flatMap(([field, at]) =>
      values.filter((one) => one.at === at).map(({ value }) => [field, String(value)]),
    ),
  );
}

/** Volts; no desk's phantom supply or rail is higher: the decimal point must be wrong. */
const mostVolts: Readonly<Partial<Record<MeterQuantity, number>>> = {
  phantom: 70,
  rail: 100,
  direct: 100,
};

/**
 * Parses the values of a meter reading, with nominal value and tolerance.
 *
 * @throws DeskroundError `usage`: a value that is missing, not of this reading, without a unit that
 *   it needs, or impossible
 */
export function parseMeterValues(
  what: MeterQuantity,
  written: WrittenValues,
  desk: Pick<Desk, "phantomV" | "railsV">,
): readonly MeterValue[] {
  const { unit, fields, example } = made[what];
  const example_ = `For example: ${formatCommand(example)}`;
  const given = fields.filter((field) => written[field] !== undefined);
  const stray = (Object.keys(fieldNames) as Field[]).find(
    (field) => written[field] !== undefined && !fields.includes(field),
  );
  if (stray !== undefined || given.length === 0) {
    const names = fields.map((field) => (field === "value" ? "a value" : `--${field}`));
    throw new DeskroundError(
      "usage",
      stray === undefined
        ? `A reading of ${what} needs ${names.join(" or ")}.`
        : `${stray === "value" ? `The value ${written.value}` : `--${stray}`} does not belong to a reading of ${what}: it takes ${names.join(" and ")}.`,
      example_,
    );
  }
  return given.map((field): MeterValue => {
    const at = fieldNames[field];
    const value = parseQuantity(written[field] ?? "", unit, field === "value" ? what : at);
    reasonable(what, at, value, example_);
    const nominal = nominalOf(what, field, written, desk);
    const tolerance = toleranceOf(written, unit, nominal);
    return {
      at,
      value,
      unit,
      ...(nominal === undefined ? {} : { nominal }),
      ...(tolerance === undefined ? {} : { tolerance }),
    };
  });
}

function reasonable(what: MeterQuantity, at: string, value: number, hint: string): void {
  const most = mostVolts[what];
  if (most !== undefined && Math.abs(value) > most) {
    throw new DeskroundError(
      "usage",
      `${at}: ${formatQuantity(value, "V")} is impossible: no ${what} ${what === "phantom" ? "supply gives" : "voltage of a strip is"} more than ${most} V.`,
      `Look at the decimal point and the meter's range. ${hint}`,
    );
  }
  const wrongSign =
    (what === "phantom" && value < -1) ||
    (at === "plus" && value < -1) ||
    (at === "minus" && value > 1);
  if (wrongSign) {
    throw new DeskroundError(
      "usage",
      `${at}: ${formatQuantity(value, "V")} has the wrong sign.`,
      `The black lead belongs on ${what === "phantom" ? "pin 1" : "ground"}. ${hint}`,
    );
  }
}

function nominalOf(
  what: MeterQuantity,
  field: Field,
  { nominal }: WrittenValues,
  { phantomV, railsV }: Pick<Desk, "phantomV" | "railsV">,
): number | undefined {
  if (nominal !== undefined) {
    const value = parseQuantity(nominal, made[what].unit, "--nominal");
    return field === "minus" ? -Math.abs(value) : value;
  }
  if (what === "phantom") return phantomV;
  if (what === "direct") return 0;
  if (what === "rail") return railsV?.[field === "minus" ? 1 : 0];
  return undefined;
}

/** `5%`, or a value in the reading's unit. */
function toleranceOf(
  { tolerance }: WrittenValues,
  unit: MeterUnit,
  nominal: number | undefined,
): number | undefined {
  if (tolerance === undefined) return undefined;
  const percent = /^(\d+(?:[.,]\d+)?)\s*%$/.exec(tolerance.trim());
  if (percent === null) return Math.abs(parseQuantity(tolerance, unit, "--tolerance"));
  if (nominal === undefined) {
    throw new DeskroundError(
      "usage",
      `--tolerance ${tolerance}: it is not known of what value.`,
      "Give --nominal as well.",
    );
  }
  return Math.abs(nominal) * (Number(percent[1].replace(",", ".")) / 100);
}
