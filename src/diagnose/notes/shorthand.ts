/**
 * Abbreviations of people who write many notes, in lower case, and their meaning (common practice,
 * no source).
 */
const shorthand: readonly (readonly [short: RegExp, long: string])[] = [
  [/\bo ?\/ ?c\b/g, "open circuit"],
  [/\bs ?\/ ?c\b/g, "short circuit"],
  [/\bn ?\/ ?g\b/g, "no good"],
  [/\bs ?\/ ?n\b(?: ratio)?|\bsnr\b/g, "noise ratio"],
  [/\bw ?\/ ?o\b/g, "without"],
  [/\bw\/(?=\s|$)/g, "with"],
  [/\bo ?\/ ?p\b/g, "output"],
  [/\bi ?\/ ?p\b/g, "input"],
  [/\bint(?:er)?m?\.(?=\s|$)/g, "intermittent"],
  [/\bx-?talk\b/g, "crosstalk"],
  [/\bfdrs?\b/g, "fader"],
  [/\bd ?\/ ?o\b|\bd\.o\.?(?=\s|$)/g, "direct out"],
  [/\brtg\b/g, "routing"],
  [/\bsegs\b/g, "segments"],
  [/\bseg\b/g, "segment"],
  // Praise that contains the name of a fault.
  [
    /\b(?:clean as a whistle|clear as a bell|sound as a bell|right as rain|(?:as )?good as new|fit as a fiddle|dead (?:quiet|silent)(?= (?:now|again))|quiet (?:now |again )?(?:after|since) (?:the |its |a |i )?(?:clean|servic|squirt|repair|swap|new|fix)\w*)/g,
    "fine",
  ],
  [/\bnothing to worry(?: about)?\b|\bbang on(?= *(?:$|[,.;]|\bnow\b|\btoday\b))/g, "fine"],
  // A person is silent, not the desk.
  [
    /\b(?:im|i am|were|we are|youre|you are|hes|he is|shes|she is|theyre|they are|nobody(?:s| is)?|no ?one(?:s| is)?) (?:not )?(?:playing|singing|talking|speaking)\b/g,
    "idle",
  ],
  [/\blvl\b/g, "level"],
  [/\bvol\b/g, "volume"],
  [/\b(?:rtn|ret)\b/g, "return"],
  [/\bins(?=[ .]+(?:send|return|jack|point|dead|open|socket|intermittent))/g, "insert"],
  [/\bdo(?:es|ing|in|n)? (?:jack|diddly|bugger all)\b/g, "does nothing"],
  [/(?<!\b(?:on|with|the|from|by|using|off|at) )\bosc(?:\.|s|'s)?(?=\s|$)/g, "oscillates"],
  [/\bxfo?r?mr?s?\b/g, "transformer"],
  [/\b(?:btn|butt)s?\b/g, "button"],
  [/\bmtr\b/g, "meter"],
  [/(?<=\b(?:no|any|the) )snd\b/g, "sound"],
  [/\bded\b/g, "dead"],
  [/\bpwr\b/g, "power"],
  [/\bfreqs?\b/g, "frequency"],
  [/\bconn\b/g, "connector"],
  [/\bimped\b/g, "impedance"],
  // "Half a dB", "three dB", "a couple of VU".
  [/\bhalf an? (?=(?:db|decibels?|vus?|volts?)\b)/g, "0.5 "],
  [/\b(?:an?|one) (?=(?:db|decibels?|vu|volt)\b)/g, "1 "],
  [/\ba (?:couple|pair) of (?=(?:db|decibels?|vus?|volts?)\b)/g, "2 "],
  [/\b(?:a few|some|several) (?=(?:db|decibels?)\b)/g, "3 "],
  ...[
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
  ].map(
    (word, k) =>
      [new RegExp(`\\b${word} (?=(?:db|decibels?|vus?|volts?)\\b)`, "g"), `${k + 2} `] as const,
  ),
  [/\bdecibels?\b/g, "db"],
  // A difference, not a level: "+6 dB vs the rest".
  [
    /(?<!\b(?:at|to|above|over|from|of|with|into|in) )(?<![><]\s?)\+ ?(\d+(?:[.,]\d+)?) ?db\b/g,
    "$1 db up",
  ],
  [
    /(?<!\b(?:at|to|below|under|from|of|with|into|in) )(?<![><]\s?)(?<![\w)])[-−] ?(\d+(?:[.,]\d+)?) ?db\b/g,
    "$1 db down",
  ],
];

/**
 * Expands shorthand.
 *
 * @param text in lower case
 * @example
 * expandShorthand("ins return o/c"); // "insert return open circuit"
 */
export function expandShorthand(text: string): string {
  return shorthand.reduce((left, [short, long]) => left.replace(short, long), text);
}
