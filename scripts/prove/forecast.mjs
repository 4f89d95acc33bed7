/**
 * How often the interval of a date holds the day on which a corner really comes to 20 Hz, and how often
 * that of the yearly change beside it holds the real one: capacitors in a row, some of which age by laws that are not the program's own, read for seven to nine years with
 * years left out, other strips recapped and the interface exchanged on the way.
 *
 *     npm run build && node scripts/prove/forecast.mjs --desks 200 --seed 1
 *
 * Corners are worked out from the −3 dB point of all in the row, of which the model puts the others together as one.
 */
import { parseArgs } from "node:util";
import { computeTrends } from "../../dist/history/trend/trends.js";
import { diceOf } from "./draw.mjs";
import { interval } from "./shared-tables.mjs";
import { table } from "./tables.mjs";

const { values: asked } = parseArgs({
  options: { desks: { type: "string", default: "100" }, seed: { type: "string", default: "1" } },
});

const firstYear = 2030;
const strips = 12;
const bandHz = 20;
/** Standard deviation of a corner's reading, as a share. */
const readingShare = 0.004;
/** A day further off than this may be never, and an interval that ends there is open (years). */
const horizon = 30;

/** What is left of a capacitor after so many years, by its law, its rate and, where it comes to rest, the end. */
const laws = {
  exponential: (years, rate) => Math.exp(-rate * years),
  linear: (years, rate) => Math.max(0.002, 1 - 0.45 * rate * years),
  flagging: (years, rate) => 1 / (1 + rate * years),
  saturating: (years, rate, end) => end + (1 - end) * Math.exp(-rate * years),
  quickening: (years, rate) => Math.exp(-0.35 * rate * years ** 1.5),
  stepwise: (years, rate) => Math.exp((-rate * Math.floor(2 * years)) / 2),
  late: (years, rate) => Math.exp(-rate * Math.max(0, years - 1.5)),
};

/** What a capacitor that ages in steps does on the whole. */
const smoothed = { ...laws, stepwise: laws.exponential };
/** The yearly change is that of so much of the last year. */
const stepYears = 0.02;

const limit = { name: "band", value: bandHz, side: "upper" };
const counted = [];
for (let k = 0; k < Number(asked.desks); k++) judgeDesk(Number(asked.seed) + k);
const rows = Object.keys(laws).map((law) => [law, ...tell(counted.filter((o) => o.law === law))]);
process.stdout.write(
  `${table(["law", "dates", "held", "early", "late", "off", "±", "change"], [...rows, ["all", ...tell(counted)]])}\n`,
);

function tell(own) {
  const held = own.filter((one) => one.held).length;
  const [low, high] = interval(held, own.length).map((part) => (100 * part).toFixed(0));
  return [
    String(own.length),
    own.length === 0 ? "" : `${((100 * held) / own.length).toFixed(0)} %, ${low} to ${high}`,
    String(own.filter(({ side }) => side === "early").length),
    String(own.filter(({ side }) => side === "late").length),
    middleOf(own.map(({ off }) => off)),
    middleOf(own.map(({ width }) => width / 2)),
    own.length === 0
      ? ""
      : `${((100 * own.filter(({ changeHeld }) => changeHeld).length) / own.length).toFixed(0)} %`,
  ];
}

function middleOf(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.length === 0 ? "" : sorted[sorted.length >> 1].toFixed(1);
}

function judgeDesk(seed) {
  const dice = diceOf(`${seed}/forecast`);
  const law = dice.of(Object.keys(laws));
  const span = dice.whole(7, 9);
  const all = Array.from({ length: span }, (_, k) => firstYear + k);
  // The first and the last two are there; of the others one in five is left out.
  const years = all.filter((_, k) => k === 0 || k >= span - 2 || dice.chance(0.8));
  const [first, last] = [years[0], years.at(-1)];
  const exchanged = dice.chance(0.4) ? first + dice.whole(2, span - 2) : Number.POSITIVE_INFINITY;
  // Each interface has a corner of its own in the row of every path.
  const interfaces = [dice.between(0.2, 2), dice.between(0.2, 2)];
  const parts = Array.from({ length: strips }, (_, k) => ({
    alone: dice.between(1, 2.5),
    rest: [dice.between(0, 2.5), dice.between(0, 1.5)],
    rate: dice.between(0.15, 0.45),
    end: dice.between(0.04, 0.2),
    dries: dice.chance(0.3),
    recapped: dice.chance(0.15) ? first + dice.whole(1, span - 3) : undefined,
    number: k + 1,
  }));
  const cornerOf = ({ alone, rest, rate, end, dries, recapped = first }, year, by = laws) => {
    const since = year >= recapped ? recapped : first;
    const own = dries ? alone / by[law](year - since, rate, end) : alone;
    return findCorner([...rest, own, interfaces[year >= exchanged ? 1 : 0]]);
  };
  const rounds = years.map((year) =>
    roundOf(
      year,
      parts.map((own) => ({
        path: `${own.number}/line`,
        cornerHz: cornerOf(own, year) * (1 + readingShare * gaussian(dice)),
        gainDb: (year >= exchanged ? -3 : 0) + 0.1 * gaussian(dice),
      })),
    ),
  );
  const { paths } = computeTrends(rounds, () => [limit]);
  for (const [k, { crossing, perYear, uncertainty }] of paths.entries()) {
    if (crossing === undefined || !parts[k].dries) continue;
    let due = last;
    while (cornerOf(parts[k], due) < bandHz && due < last + horizon) due += 0.05;
    const [from, until] = [crossing.from - 0.1, crossing.until + 0.1];
    const real = due - last;
    const now = cornerOf(parts[k], last, smoothed);
    const change = (now - cornerOf(parts[k], last - stepYears, smoothed)) / stepYears;
    counted.push({
      law,
      held: real >= from && real <= until,
      // What was promised too early comes later than the interval.
      side: real > until ? "early" : real < from ? "late" : undefined,
      off: Math.abs(crossing.years - real),
      width: crossing.until - crossing.from,
      changeHeld: Math.abs(perYear - change) <= uncertainty,
    });
  }
}

function gaussian(dice) {
  const radius = Math.sqrt(-2 * Math.log(1 - dice.between(0, 1)));
  return radius * Math.cos(2 * Math.PI * dice.between(0, 1));
}

/** Where first-order high-passes in a row have fallen by 3.01 dB, hertz. */
function findCorner(corners) {
  const fallen = (hz) => corners.reduce((sum, fc) => sum + 10 * Math.log10(1 + (fc / hz) ** 2), 0);
  let [low, high] = [0.01, 10_000];
  for (let k = 0; k < 60; k++) {
    const middle = Math.sqrt(low * high);
    if (fallen(middle) > 10 * Math.log10(2)) low = middle;
    else high = middle;
  }
  return low;
}

/** A round as far as trends need it. */
function roundOf(year, paths) {
  return {
    format: "deskround-round",
    version: 1,
    id: `${year}-04-02-01`,
    desk: { name: "drawn", mainsHz: 50 },
    date: `${year}-04-02T10:00:00+01:00`,
    tool: { name: "deskround", version: "0.1.0" },
    signal: {
      id: "standard-base-1",
      version: 1,
      profile: "standard",
      band: "base",
      sampleRate: 48_000,
      nominalDbfs: -18,
    },
    calibration: null,
    captures: [],
    warnings: [],
    remarks: [],
    paths: paths.map(({ path, cornerHz, gainDb }) => ({
      path,
      strip: path.split("/")[0],
      input: "line",
      family: "line",
      status: "measured",
      readings: {
        cornerLow: { value: cornerHz, unit: "Hz", uncertainty: 0.01 },
        gain: { value: gainDb, unit: "dB", uncertainty: 0.01 },
        level: { value: gainDb - 18, unit: "dBFS", uncertainty: 0.01 },
      },
      absent: {},
      curves: {},
      oddness: 0,
      findings: [],
      causes: [],
    })),
  };
}
