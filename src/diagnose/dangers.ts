/** What can hurt somebody or set the desk on fire, as a note tells of it. */
export interface DangerKind {
  readonly id: string;
  /** In a few words, for a list. */
  readonly name: string;
  /** Words of free text, in small letters, that mean it; any of them is enough. */
  readonly words: readonly RegExp[];
  /** What it may be, the likeliest first (common practice, no source). */
  readonly mayBe: string;
  /**
   * What is not to be powered again before the cause is found: `strip`, the strip and, as long as it is
   * plugged in, the supply that feeds it; `desk`, all of the desk, whatever place the note names.
   */
  readonly leaveOff: "strip" | "desk";
}

/** The supply by any of its names. */
const supply = "(?:psus?|power (?:supply|supplies|unit|pack)|suppl(?:y|ies)|regulator|rectifier)";
const drink =
  "(?:coffee|tea|beer|water|wine|cola|coke|juice|soda|drinks?|lemonade|whisk(?:e)?y|champagne|liquid|rain|milk|soup|latte|cappuccino|espresso|mocha|smoothie|squash|gin|vodka|rum|cider|lager|ale|prosecco|mead|broth|sauce)";
const part =
  "(?:caps?|(?:small|little|metal|alu\\w*|big|blue|black|tall) cans?|capacitors?|c ?\\d+|electrolytics?|lytics?|elcos?|tants?|tantalums?|batter(?:y|ies)|parts?|components?)";
/** What can be live, and what feels it. */
const metal =
  "(?:front ?plates?|plates?|plinth|casing|body work|metal\\w*|case|chassis|frame|panel|screws?|racks?|desk|console|mic|microphone|faceplate|knobs?|grille?|rail|trim|armrest|housing)";
const limb =
  "(?:fingers?|fingertips?|hands?|arms?|lips?|elbows?|skin|wrists?|knuckles?|teeth|tongue|thumbs?)";
const shortGap = "[^.;\\n]{0,40}?";

/** The gravest first. No source: common practice. */
export const dangerKinds = [
  {
    id: "smoke",
    name: "smoke or fire",
    words: [
      /\bsmok(?:e|es|ed|ey|ing|y)\b/,
      /\bfumes?\b|\bwisps?\b|\bplumes? (?:of|from|rising|rose|out)\b|\bpuffs? of (?!air|wind)\w+|\bhaze\b|\bvapou?r\b|\bcloud (?:came|rose|coming|rising|of)\b|\bsteam(?:s|ed|ing)? (?:from|out|rising|coming)\b/,
      /\bflames?\b|\bon fire\b|\bcaught fire\b|\ba fire\b|\bfire (?:in|inside|at|from|behind|under)\b/,
    ],
    mayBe: "a shorted capacitor or rectifier, an overloaded resistor or transformer",
    leaveOff: "desk",
  },
  {
    id: "burning",
    name: "burning or a smell",
    words: [
      /\bburn(?:s|t|ed|ing)?\b/,
      /\bscorch(?:ed|ing|es)?\b|\bsinged\b|\bchar(?:red|ring)\b|\bsmoulder|\bsmolder|\bglow(?:s|ed|ing) (?:red|orange)\b/,
      /\bfr(?:y|ies|ied|ying)\b|\btoasted\b|\btoasty\b|\broasted\b|\bcooked\b|\bcooking\b|\bozone\b/,
      /\bmelt(?:s|ed|ing)?\b/,
      /\b(?:mains|iec|power|wall|plug|inlet|neutral|live)\b[^.;\n]{0,25}\b(?:gone|turned|going|went|looks?|is|are) (?:\w+ )?(?:brown\w*|black\w*|yellow\w*|toffee|caramel|amber|tan|honey|\w+[- ]colou?red)\b/,
      /\b(?:scents?|aroma|phenol(?:ic)?|bakelite|chemical)\b[^.;\n]{0,20}\b(?:smell|odd|strange|funny|sweet|burnt|when|after|in the air)\b|\b(?:odd|strange|funny|sweet|chemical|acrid|sharp) (?:scent|aroma|air)\b|\bsniff of\b/,
      /\b(?:plastic|insulation|sleeve|sleeving|knob|housing|wax|potting|solder)\b[^.;\n]{0,20}\b(?:soft|droop\w*|sagg\w*|warped|deformed|ran|running|flowed|bubbl\w*|shrivel\w*)\b/,
      /\b(?:charcoal|cinders?|ash(?:es)?|carboni[sz]ed|crisp(?:ed)?|singeing|charring)\b(?! (?:sound|packet|eating))/,
      /\b(?:smoke|fire) (?:detector|alarm)s?\b[^.;\n]{0,12}\b(?:went off|going off|triggered|sounded)\b[^.;\n]{0,25}\b(?:desk|console|rack|psu|supply|strip|near)\b/,
      /\b(?:resistors?|r ?\d+|pcb|(?:lamp |bulb |fuse |led )?holders?|circuit board|board|tracks? lifted|traces?|components?|chips?|ics?|relays?|coils?|chokes?|inductors?|transistors?|regulators?)\b[^.;\n]{0,30}\b(?:brown|black|dark|charred|cooked|toasted|crispy|flaky)\b/,
      /\b(?:discolou?red|browned|blackened|darkened|bubbled|blistered)\b|\b(?:brown|black|dark|sooty) (?:mark|patch|ring|spot|stain|burn)s?\b|\bsoot(?:y|ed)?\b/,
      /\bsmell(?:s|ed|ing|y)?\b|\bsmelt\b|\breek(?:s|ed|ing|y)?\b|\bpong(?:s|ed|y)?\b|\bniff(?:s|y)?\b|\bwhiffs?\b|\bwhiffy\b|\bstank\b|\bfishy\b|\bstinky\b|\bin (?:my|the|your) nose\b|\bstinks?\b|\bstinking\b|\bstench\b|\bodou?rs?\b|\bacrid\b/,
    ],
    mayBe: "a shorted tantalum or decoupling capacitor, an overloaded resistor, a failing op amp",
    leaveOff: "strip",
  },
  {
    id: "heat",
    name: "heat",
    words: [
      /\bhot\b|\bhotter\b|\bscalding\b|\bboiling\b|\bsizzling hot\b|\bbaking hot\b|\bbliste(?:rs?|ring)\b|\bburns? (?:your|my|the) (?:hand|finger)s?\b|\broasting\b|\bglow(?:s|ing)\b/,
      /\bheats?\b|\bheating\b|\bheated\b|\bover ?-?heat(?:s|ed|ing)?\b/,
      /\b(?:very|quite|really|unusually|rather|extremely|too|so|suspiciously|abnormally) warm\b|\bwarm enough to\b/,
      /\bwarm\b[^.;\n]{0,20}\b(?:never (?:was|been|used)|wasn'?t before|since (?:today|yesterday|last))\b|\b(?:supply|psu|transformer|regulator|heat ?sink|op ?amp|chip|resistor|panel|strip|module|board) (?:\w+ ){0,4}(?:is|gets?|got|runs?|feels?|getting|running) (?:\w+ )?warm(?:er)?\b(?! (?:sound|to the ear))/,
      new RegExp(
        `\\b(?:heat ?sinks?|${supply}|transformers?|surface|case|casing|lid|chips?|resistors?|op ?amps?)\\b[^.;\\n]{0,30}\\b(?:[6-9]\\d|1\\d\\d) ?(?:deg(?:ree)?s?|°|º|c)\\b`,
      ),
      // What a thermometer says: no part of a desk that a hand reaches is as hot as 60 °C.
      /(?<!\b(?:phase|turned|rotated|shift(?:ed)?|pan(?:ned)?|angle)[^.;\n]{0,20})\b(?:[6-9]\d|1\d\d) ?(?:deg(?:ree)?s?|°|º)(?! ?(?:phase|out|shift|turn|angle|apart|off|rotat|pan))(?: ?c\b| ?celsius\b|[^.;\n]{0,30}\b(?:thermometer|ir|infrared|touch|surface|heat ?sinks?|probe)\b)|\b(?:[6-9]\d|1[0-4]\d) ?c\b(?= (?:on|at|and|now|when|after|in)\b)/,
      /\b(?:can'?t|cannot|couldn'?t|can barely|hardly) (?:leave|keep|hold|rest|bear|put|touch)(?: \S+){0,2} (?:hand|finger|thumb|palm)s?\b/,
    ],
    mayBe:
      "a shorted decoupling capacitor, a latched or oscillating op amp, a regulator in trouble",
    leaveOff: "strip",
  },
  {
    id: "shock",
    name: "electric shock or a live panel",
    words: [
      /\bshocks?\b|\bshocked\b|\belectrocut/,
      new RegExp(
        `\\b(?:gives?|gave|gets?|got|feels?|felt|has) (?:\\S+ ){0,2}electricity\\b(?! bill)|\\b(?:gives?|gave)(?: \\S+){0,2} ${limb} (?:a |an |some )?(?:\\w+ )?(?:buzz|tingle|nip|sting|tickle|jolt|prickle|feeling)\\b`,
      ),
      /\btingl(?:e|es|ed|ing|y)\b|\bprickl(?:e|es|ed|ing|y)\b|\bjolts?\b|\btickl(?:e|es|ed|ing)\b|\bfelt (?:a |the )?current\b|\b(?:got|get|gets|gives?|gave)(?: \S+){0,2} (?:belts?|kicks?|whacks?)\b(?! (?:drums?|mic|track|sample|sound|out of|drum))|\bkicks? when [^.;\n]{0,12}touch|\bzap(?:s|ped|ping)?\b/,
      /\b(?:case|chassis|frame|panel|metalwork|housing|rack|screws?|knobs?|faders?|desk|mic) (?:is|are|was|were|feels?|seems?) live\b|\blive (?:case|chassis|frame|panel|metal(?:work)?|housing|screws?|knobs?)\b/,
      /\b(?:nip|bite|sting|jab|prick|belt|kick|whack|wallop|jolt|zing|clout)s?\b (?:when(?:ever)?|while|if|on|as|by) [^.;\n]{0,12}\b(?:touch|hold|brush|grab|lean|plugg)\w*/,
      /\bcurrents?\b[^.;\n]{0,15}\b(?:through|in|on|up|into) (?:my|his|her|your|the) (?:finger|hand|arm|lip|body|tongue|feet|leg)s?\b/,
      /\b(?:got|gets|get|felt|feel|gave|gives)(?: \S+){0,2} (?:buzz|nip|bite|prickle|sting|jolt|zing|tickle|poke) (?:off|from|through|up|out of)\b/,
      new RegExp(
        `\\bfelt (?:it|that|this|one|something) (?:\\w+ ){0,2}(?:in|to|up|through|into|down) (?:my |the |his |her |their |both )?(?:\\w+ )?${limb}\\b|\\b(?:stroke|hit|slap|punch|blow|knock) from (?:the |that |a )?(?:\\w+ )?${metal}\\b(?! (?:knob|switch)s?)`,
      ),
      new RegExp(
        `\\b(?:fizz|fuzz|hum|throb|twitch|snap|electric\\w*|feeling|something|vibration|current|prick)\\w* (?:in|through|up|into) (?:the |my |his |her |your )*${limb}\\b`,
      ),
      /\bbetween\b[^.;\n]{0,20}\b(?:desk|console|case|chassis|frame|rack)\b[^.;\n]{0,30}\b(?!48)\d{2,3} ?v(?:olts?|ac)?\b/,
      // "When I touch the metal I feel little ants in the fingers"
      new RegExp(
        `\\b(?:touch|hold|lean|rest|brush|grab|strok)\\w*\\b[^.;\\n]{0,30}\\b${metal}\\b[^.;\\n]{0,40}\\b(?:feel|feels|felt|get|gets|got|gives?|gave|sends?)\\b[^.;\\n]{0,30}\\b${limb}\\b`,
      ),
      new RegExp(
        `\\b(?:ants|pins and needles|needles|insects|crawl\\w*|itch\\w*|numb\\w*|electricity|electric feeling)\\b[^.;\\n]{0,25}\\b${limb}\\b`,
      ),
      /\b(?:ac|mains|voltage|volts) (?:is |was )?(?:on|at|to) (?:the )?(?:chassis|case|frame|panel|metalwork|housing|shell|screws?|grille?)\b/,
      /\b(?:jumped|recoiled|yelped|screamed|flinched)\b[^.;\n]{0,30}\b(?:when(?:ever)?|as|after) [^.;\n]{0,12}\b(?:touch|grab|held|lean)\w*/,
      /\b(?:earth|ground|chassis) (?:bond|continuity|strap|stud)(?:ing)?\b[^.;\n]{0,12}\b(?:open|broken|off|loose|missing|bad|high|gone|failed)\b/,
      /\bthrown (?:by|off|across|back)\b|\b(?:buzz|prickl|tingl|sting|bit|zapp?|vibrat)\w* (?:my|his|her|their|your) (?:lips?|tongue|hands?|fingers?|mouth|arms?)\b|\btongue\b[^.;\n]{0,12}\b(?:tingl|buzz|sting)\w*/,
      /\b(?:vibrat\w*|buzz(?:ing)?|tingl\w*|hum(?:ming)?) when (?:i |you |we )?(?:stroke|brush|run (?:a|my|your) (?:hand|finger)|slide (?:a|my|your) (?:hand|finger))/,
      /\b(?:neon|phase|mains|test) ?(?:tester|screwdriver|lamp|pen|indicator)\b[^.;\n]{0,12}\b(?:lights?|glows?|lit|beeps?)\b|\b(?:pat|earth|insulation|flash|bond(?:ing)?) (?:test|continuity|resistance)\b[^.;\n]{0,15}\b(?:fail\w*|bad|high|open|low|not)\b|\bfail(?:s|ed|ing)? (?:the |its |a )?(?:pat|earth|insulation|safety)\b/,
      /\b(?:hairs?) [^.;\n]{0,20}\b(?:stands?|stood|stand) (?:up|on end)\b/,
      /\b\d{2,3} ?v(?:olts?|ac)?\b[^.;\n]{0,15}\b(?:between|from) (?:the )?(?:desk|console|case|chassis|frame|mic|rack)\b[^.;\n]{0,15}\b(?:and|to)\b/,
      /\b(?:touch|touching|hold|holding) (?:both|two) (?:desks|racks|cases|chassis|mics|things)\b/,
      /\b(?:nip|bite|sting|jab|prick|belt|kick|whack|wallop|buzz|poke|zing|tickle|tickling)s? (?:off|from|through|up|in) (?:the |my |his |her |your |that )*(?:faceplate|panel|case|chassis|frame|metal\w*|screws?|knobs?|faders?|desk|console|mic|microphone|grille?|strings?|lips?|hands?|fingers?|arms?|mouth|armrest)\b/,
      new RegExp(
        `\\b${limb} touch\\w*[^;\\n]{0,20}\\b${metal}\\b[^;\\n]{0,30}\\b(?:surpris\\w*|jump\\w*|ouch|ow|bzz+|b[iz]r+\\w*|biri|pain\\w*|hurt\\w*|scared)\\b`,
      ),
      /\b(?:lips?|fingers?|hands?|fingertips?) (?:buzz|sting|prickl|tingl)\w*/,
      /\b(?:panel|case|chassis|frame|metal\w*|faceplate|desk|console|casing)\b[^.;\n]{0,20}\bfeels? (?:furry|fuzzy|velvety|buzzy|alive|like (?:it is |its |it )?vibrat)/,
      /\bbit(?:es|ing|ten)\b[^.;\n]{0,20}\btouch|\b(?:bit|bites|stung|stings|nipped|nips|jolted|kicked|kicks) (?:me|him|her|us|them|you|my|his|the (?:singer|drummer|guitarist|bassist|player|engineer|assistant|presenter|vocalist))\b|\b(?:case|chassis|frame|panel|desk|console|mic) bites\b/,
      /\b(?:volts?|voltage|\d+ ?v|mains)\b (?:ac )?(?:is )?(?:on|at|to|between) (?:the )?(?:case|chassis|frame|panel|metalwork|housing|earth|screws?)\b/,
    ],
    mayBe:
      "a protective earth that is off or broken, a fault of insulation in a supply or in what is plugged in",
    leaveOff: "desk",
  },
  {
    id: "arcing",
    name: "arcing, sparks or a bang",
    words: [
      /\b(?:wall|mains|power|iec|desk'?s) (?:plug|inlet|lead|cord|socket)\b[^.;\n]{0,30}\b(?:fzz*t|bzz*t|zzt|spits?|spitting|fizz\w*|crackl\w*|snaps?)\b|\bplug of the (?:desk|supply|psu)\b[^.;\n]{0,30}\b(?:fzz*t|bzz*t|zzt|spits?|spitting|fizz\w*|crackl\w*|snaps?)\b/,
      /\barc(?:s|ed|ing|ks|king)?\b|\bspark(?:s|ed|ing)?\b|\bflash ?over\b/,
      /\b(?:went|goes|go) (?:poof|pfft|phut|kaboom|boom)\b(?! (?:when|on) (?:mut|solo|the (?:mute|solo)))|\b(?:sizzl|fizz|crackl|sputter)\w* (?:behind|under|inside|beneath|within) (?:the |a |its )?(?:patch|panel|desk|console|cover|lid|rack|meter|frame|module|strip)\w*/,
      // "You can see a little light jump by the terminals"
      /\b(?:lights?|glow|flame|something (?:blue|bright|white))\b[^.;\n]{0,12}\b(?:jump|hop|leap|danc|crawl)\w*\b[^.;\n]{0,10}\b(?:by|at|between|across|around|along|over|on) (?:the )?(?:\w+ )?(?:terminals?|contacts?|pins?|plugs?|connectors?|relays?|wires?|tags?|lugs?|inlet|transformer|fuse)\b/,
      new RegExp(
        `\\b${supply}\\b[^.;\\n]{0,40}\\b(?:tick|click|snap|crack|crackl|sizzl|fizz|spit)\\w*\\b[^.;\\n]{0,20}\\b(?:inside|within|in there|terminals?)\\b`,
      ),
      /\b(?:w\/|with|and) (?:a |an )?(?:\w+ )?flash\b|\b(?:sizzl|fizz)\w*\b[^.;\n]{0,20}\b(?:from|in|inside|out of) (?:the |its |inside )*(?:module|metal\w*|strip|board|wood|knob|switch|connector|inlet|box)\b/,
      /\bfire ?works?\b|\b(?:flashing|popping|banging|cracking|spitting)\b[^.;\n]{0,15}\b(?:in|inside|from) (?:the |a )?(?:psu|supply|transformer|rack|power)\b/,
      /\bflash(?:es)? (?:from|in|inside|at|under|behind|and|when|of light)\b|\b(?:blue|purple|violet) (?:light|glow|flicker)\b|\b(?:psu|supply|transformer)\b(?: is| was| makes| making| starts)* (?:frying|sizzling|fizzing|spitting|squeal\w*|ticking and)\b/,
      /\b(?:blue|bright|white|big) flash\b|\blightning (?:in|inside|at)\b|\b(?:went off|flash(?:es|ed)?) (?:inside|in the (?:psu|supply|rack)|of light)\b/,
      new RegExp(
        `\\b(?:crackl|sizzl|fizz|hiss|buzz|snap|pop|tick)\\w*${shortGap}\\b(?:inside|within|from) (?:the |a |its )?(?:${supply}|rack|transformer|desk|console|cabinet)\\b`,
      ),
      new RegExp(`\\b(?:crackl|sizzl|fizz)\\w* (?:in|at|inside|within|from) (?:the )?${supply}\\b`),
      new RegExp(`\\b${supply}(?: is| was)? (?:crackl|sizzl|fizz|snapp|ticking)\\w*`),
      /\b(?:loud|big|huge|a) bang\b|\bwent bang\b|\bbang (?:from|inside|in the)\b/,
    ],
    mayBe:
      "a broken joint or contact that carries current, failed insulation, a capacitor that burst",
    leaveOff: "desk",
  },
  {
    id: "transformer",
    name: "humming or buzzing transformer",
    words: [
      /\b(?:transformers?|trafos?|toroids?|toroidals?|mains tx)\b(?: (?:itself|now|in|of|the|psu|supply))*(?: is| was| are| has been| started| starts| keeps| makes)?(?: (?:a|an|very|noisy|loudly|badly|really|loud|mechanical|to|again|now|mechanically|physically))* (?:hum|buzz|growl|rattl|whin|vibrat|roar|groan|sing|nois|loud)\w*/,
      /\b(?:hum|buzz|growl|rattl|whin|vibrat|roar|groan)\w*[^.;,\n]{0,25}?\b(?:transformers?|trafos?|toroids?)\b/,
      new RegExp(
        `\\b${supply}(?: unit| box| rack)?(?: is| was| are| starts| started| makes| has)?(?: (?:a|an|very|loudly|badly|really|loud|mechanical|to|again|now|also))* (?:hums|buzzes|humming|buzzing|growl\\w*|rattl\\w*|whin\\w*|vibrat\\w*|roar\\w*|groan\\w*|(?<=(?:loud|mechanical) )(?:hum|buzz))\\b`,
      ),
      new RegExp(
        `\\b${supply}\\b(?:(?!\\bfans?\\b)[^.;,\\n]){0,25}?\\b(?:humming|buzzing|growling|whining|vibrating|hums|buzzes|growls|whines|vibrates)\\b(?! (?:on|in|through|into) (?:all|the|every|strips?|both|most|each|\\d))`,
      ),
      new RegExp(
        `\\b(?:hum|buzz|growl|rattl|whin|vibrat|roar|groan)\\w* (?:noise |sound )?(?:comes |coming )?(?:from|in|inside|of|at) (?:the |its )?${supply}\\b(?! (?:on|in|through|into) (?:all|the|every|strips?|both|most|each|\\d))`,
      ),
      new RegExp(
        `\\b${supply}\\b(?:(?!\\bfans?\\b)[^.;\\n]){0,20}?\\b(?:goes|makes|going|making|does) (?:a )?(?:(?:loud|low|deep) )*(?:m{2,}|hm+|br{2,}|z{2,}|wo{2,}|vr{2,})\\w*`,
      ),
      new RegExp(
        `\\b${supply}\\b(?:(?!\\bfans?\\b)[^.;\\n]){0,30}?\\b(?:bees?(?: nest)?|wasps?|hornets?|hive|swarm|drones?|droning|noises?)\\b(?![^.;\\n]{0,20}\\b(?:on|in|through) (?:all|the|every|strips?|channels?|mix)\\b)`,
      ),
      new RegExp(
        `\\b${supply}\\b(?:(?!\\bfans?\\b)[^.;,\\n]){0,30}?\\b(?:loud|louder|noisy|noisier)\\b(?! (?:on|in|through|channel))`,
      ),
    ],
    mayBe: "an overloaded or shorted transformer, rectifier or reservoir capacitor; loose windings",
    leaveOff: "desk",
  },
  {
    id: "fuse",
    name: "a fuse that blew, a breaker that tripped or a short",
    words: [
      // A fuse that was bridged, or is of a larger rating.
      /\b(?:fuses?|fuse ?holder|(?:slow|fast)[- ]?blow)\b[^.;\n]{0,40}\b(?:foil|nail|paper ?clip|bridged|bypassed|wired across|shorted|bigger (?:one|fuse)|larger (?:one|fuse))\b|\b(?:foil|nail|paper ?clip|wire|bridge|link|bigger|larger|wrong)\b[^.;\n]{0,20}\b(?:in place of|instead of|across|for|over|as|rated) (?:the |a |its )?fuses?\b/,
      /\b(?:fuses?|(?:slow|fast)[- ]?blow)\b[^.;\n]{0,20}\b(?:let go|gave up|gave out|did not hold|didnt hold|didn't hold)\b/,
      /\b(?:blew|blown|blows|blow|blowing|popped|pops|popping|burnt|melted|dead|broken|open|bad|gone|failed|lost)(?: \S+){0,3} fuses?\b/,
      /\bfuses?\b(?: \S+){0,4} (?:blew|blown|blows|blow|blowing|gone|goes|went|popped|pops|popping|out|dead|burnt|black|melted|failed|fails|open|broken|bad|again|keeps|trips|tripped|interrupted)\b/,
      new RegExp(
        `\\b${supply}\\b[^.;\\n]{0,30}\\b(?:protection|crowbars?|crowbarred|current limit\\w*|foldback|hiccup\\w*)\\b`,
      ),
      /\bfuses?\b[^.;\n]{0,12}\b(?:won'?t|doesn'?t|does not|will not|never|don'?t|can'?t) (?:hold|last|stay|survive)\b|\b(?:eat(?:s|ing)?|through|another|burns?|new|third|second|more) fuses?\b(?! (?:holder|box|rating|ok|fine))|\bfuses? (?:keep|keeps|kept)\b/,
      /\b(?:took|takes|taking|knock(?:s|ed)?|throw(?:s|n)?|threw|blew|tripped|killed|popped)(?: \S+){0,2} (?:ring main|breakers?|main switch|mains (?:supply|power|breaker)|house supply|whole building|sockets circuit|power in the)\b/,
      /\b(?:lights|power|electricity|everything in the (?:room|building))\b[^.;\n]{0,12}\b(?:went|goes|went out|died|tripped)\b[^.;\n]{0,12}\b(?:when|as soon as|after) [^.;\n]{0,15}\b(?:switch|turn|power|plugg)\w* (?:it |the desk |the psu |the supply )?(?:on|in)\b/,
      /\bthermal (?:cut ?-?outs?|trips?|fuses?|shut ?-?downs?|protection|switch)\b|\b(?:psu|supply|rack)\b(?: \S+){0,2} (?:switch(?:es|ed)?|shut(?:s)?|turn(?:s|ed)?|trip(?:s|ped)?) (?:itself )?(?:off|down|out)\b/,
      /\b(?:breakers?|rcds?|rcbos?|gfcis?|mcbs?|elcbs?|residual current device)\b(?: \S+){0,3} (?:trips?|tripped|tripping|goes|went|out|falls|fell|drops|dropped|keeps)\b/,
      /\b(?:trips?|tripped|tripping)(?: \S+){0,2} (?:breakers?|rcds?|rcbos?|gfcis?|mcbs?|elcbs?)\b/,
      // A false friend of the fuse, and one of the wrong rating.
      /\b(?:blew|blown|popped|lost|used up|gone|went|through) (?:\w+ )?(?:another|a second|a third|again a|the new (?:one|fuse|[tf] ?\d+)|[tf] ?\d+(?:[.,]\d+)? ?a)\b(?! (?:take|channel|deadline|string|speaker|head|kiss|joke|mix|day|week|hour|singer|client))|\bglass (?:\w+ )?(?:tube|thing)\b[^.;\n]{0,40}\b(?:silver\w*|black\w*|dark\w*|mirror\w*|smoky|cloudy)\b/,
      /\b(?:the |main |house |earth )(?:trip|trip switch)(?: switch)? (?:goes|went|drops|dropped|keeps|kept)\b|\blights?\b[^.;\n]{0,25}\b(?:dip|dim)s?\b[^.;\n]{0,20}\b(?:it|psu|supply|desk|console) (?:starts?|powers|comes on|switches on)\b/,
      /\b(?:securit(?:y|ies)|fusible|plomb|zekering|sicherung(?:en)?|sikring)\b[^.;\n]{0,20}\b(?:gone|blew|blown|burnt|out|again|flies|flew|jumped|fell|came)\b/,
      /\b(?:put|fitted|used|took|installed|swapped)\b[^.;\n]{0,15}\b(?:thicker|bigger|larger|stronger|heavier|fatter|higher rated|more amps?) (?:one|fuse|rating)\b/,
      /\blights? (?:in the \w+ )?(?:dips?|dims?|dimmed|dipped|go(?:es)? (?:dim|down))\b[^.;\n]{0,12}\b(?:when|if|as|whenever)\b[^.;\n]{0,12}\b(?:turn|switch|power)\w*\b[^.;\n]{0,12}\bon\b/,
      /\bblows fuses\b|\bf ?\d+ (?:is |has |was )?(?:blown|blew|blows|gone|open|popped|went)\b/,
      /\b(?:gone|dead|missing|blown|blew|lost)\b[,;:]? (?:\w+ )?fuse\b(?! ?(?:box|panel|holder))/,
      /\bfuse\b[^.\n]{0,20}\bblew\b/,
      /\bshort(?:ed)?(?: circuit)?\b[^.;\n]{0,25}\b(?:rails?|psu|supply|caps?|capacitors?|tant|tantalum|decouplers?|transformer|mains)\b|\b(?:rails?|psu|supply|caps?|capacitors?|tant|tantalum|decouplers?)\b(?: \S+){0,2} short(?:ed|s)?\b(?! (?:leads?|ribbon|cable))/,
    ],
    mayBe: "a short behind it: a decoupling capacitor, a rectifier, a failed op amp or transformer",
    leaveOff: "strip",
  },
  {
    id: "swollen",
    name: "bulging, leaking or burst part",
    words: [
      /\b(?:has|have|had|is|was|are|just) burst\b/,
      new RegExp(
        `\\b${part}\\b[^.;\\n]{0,20}\\b(?:pregnant|mushrooms?|like a (?:mushroom|dome|balloon)|bent out|rounded top|fat|(?:top is |gone |become |got |gotten )round|round on top|lifting|raised|puffy|puffed|pushed|went pop|gone pop|gone bang|shorted|venting|vented)\\b`,
      ),
      /\b(?:seep\w*|trickl\w*|run(?:s|ning)? out|came out|coming out|leach\w*) [^.;\n]{0,15}\b(?:caps?|can|capacitors?|electrolytics?|battery|transformer)\b|\b(?:fluid|liquid|juice|oil|goo|gunk)\b[^.;\n]{0,20}\b(?:caps?|capacitors?|electrolytics?|battery|transformer|board|pcb)\b/,
      /\b(?:powder|powdery|crystals?|salt|residue|deposit)\b[^.;\n]{0,20}\b(?:caps?|capacitors?|electrolytics?|battery|board|pcb)\b|\b(?:caps?|capacitors?|electrolytics?|battery)\b[^.;\n]{0,25}\b(?:powder|powdery|crystals?|residue|deposit)\b/,
      /\b(?:corrosion|corroded|verdigris|crust|furry|fuzz|green stuff|acid)\b[^.;\n]{0,20}\b(?:nicad|nicads|ni-?mh|battery|batteries|cell|cells|cap|caps|capacitors?|electrolytics?)\b/,
      new RegExp(
        `\\b${part}(?: \\S+){0,3} (?:lids?|tops?|cans?|vents?|sleeves?)(?: \\S+){0,2} (?:lifted|lifting|raised|up|open|opened|split|rounded|not flat|pushed up)\\b`,
      ),
      /\bbulg(?:e|es|ed|ing|y)\b|\bswollen\b|\bswell(?:s|ed|ing)?\b|\bdomed\b|\bbloated\b|\bpuffed up\b|\bballoon(?:ed|ing)\b|\bconvex\b|\bweep(?:s|ing|ed)?\b|\booz(?:e|es|ed|ing)\b|\bgoo\b|\belectrolyte\b/,
      new RegExp(
        `\\bleak(?:s|ed|ing|y)?\\b${shortGap}\\b(?:electrolytics?|lytics?|elcos?|batter(?:y|ies))\\b`,
      ),
      new RegExp(
        `\\b(?:electrolytics?|lytics?|elcos?|batter(?:y|ies))\\b${shortGap}\\bleak(?:s|ed|ing|y)?\\b`,
      ),
      new RegExp(`\\bleak(?:s|ed|ing) (?:\\S+ ){0,2}${part}\\b`),
      new RegExp(`\\b${part}(?: \\S+){0,4} leak(?:s|ed|ing)?\\b`),
      new RegExp(
        `\\bleak(?:s|ed|ing|y)?\\b${shortGap}\\b(?:sticky|gunk|goo|gloop|fluid|oil|brown|acid|stuff|onto the (?:board|pcb|card))\\b`,
      ),
      new RegExp(`\\b${supply}(?: is| was| has| has been| keeps)? leak(?:s|ed|ing)?\\b`),
      /\b(?:sticky|brown|oily|crusty|white|green) (?:stuff|goo|gunk|residue|crust|fluid|puddle|mess)\b/,
      /\bexplod(?:e|es|ed|ing)\b|\bblew up\b|\bblown up\b|\bvomit|\bspewed\b|\bbattery acid\b/,
      new RegExp(
        `\\b${part}(?: \\S+){0,3} (?:burst|bursting|vented|popped|blew|blown|split|erupted)\\b`,
      ),
      new RegExp(`\\b(?:burst|vented|popped|blown|split|erupted) (?:\\S+ ){0,2}${part}\\b`),
      new RegExp(
        `\\b${part}(?: \\S+){0,4} (?:bumps?|humps?|lumps?|blobs?|crust|fluff on top|craters?|crack(?:ed|s)?|hole|holes|chunk|pitted|charcoal|lid off|tops? off|came apart|fell apart|in (?:bits|pieces|half))\\b`,
      ),
      new RegExp(`\\b(?:craters?|hole|chunk) (?:\\S+ ){0,3}${part}\\b`),
    ],
    mayBe: "an electrolytic that dried out or sits the wrong way round; a battery past its life",
    leaveOff: "strip",
  },
  {
    id: "liquid",
    name: "liquid in the desk",
    words: [
      /\bsprinklers?\b|\b(?:peed|pissed|urinated|puked|vomited|threw up|sneezed|urine|sick)\b(?: \S+){0,2} (?:on|over|in|into|across|near|by|at|against|behind|under|all)\b|\b(?:plant|flower) ?(?:pot|vase)s?\b|\bpuddles?\b|\bdamp\b(?! (?:cloth|down|sound))|\bleak(?:s|ed|ing)? (?:from|through) (?:the )?(?:roof|ceiling|air ?con\w*|pipe|window)\b/,
      /\bspil(?:t|l|ls|led|ling)\b|\bpoured\b|\bdripp?(?:s|ed|ing)?\b|\bsoaked\b|\bflooded\b|\bdrenched\b|\bsplash(?:ed|es)?\b/,
      /\b(?:rain|snow|roof|ceiling|gutter|pipe|radiator)\b[^.;\n]{0,25}\b(?:through|thru|in|onto|on|over|down|drips?|dripping|leaks?|leaking) (?:the )?(?:\w+ )?(?:strips?|desk|console|faders?|meters?|rack|psu|supply|ceiling|roof|patch ?bay)\b/,
      /\bwet\b|\bmoisture\b|\bliquids?\b|\bwater\b|\bcondensation\b|\broof leak/,
      new RegExp(
        `\\b${drink}\\b(?: \\S+){0,3} (?:in|into|on|onto|over|inside|through|under|across|between|down|got|went|ran)\\b`,
      ),
      new RegExp(
        `(?:^|\\b(?:it is|its|it's|that's|with|some|spilt|of) )\\W*${drink}\\b(?! (?:break|machine|mug|cup|table|time|level)s?\\b)[.,!:; ]{1,3}(?:(?:lots|loads|all|right|everywhere|just) )*(?:over|on|in|into|all)\\b`,
      ),
      // "Put his pint on the group, it's in the faders now"
      new RegExp(
        `\\b(?:${drink}|pints?|glass|cups?|mugs?|bottles?|cans? of \\w+|flask|thermos)\\b[^.;\\n]{0,40}\\b(?:in|into|inside|through|between|down|all over) (?:the |my |all the )?(?:faders?|strips?|desks?|panels?|knobs?|switch(?:es)?|modules?|channels?|buttons?|keys|board|meters?|sockets?|patch ?bay|psu|supply|rack|console|electronics|works)\\b`,
      ),
      new RegExp(
        `\\b(?:leak|leaks|leaked|leaking|knocked|tipped|dropped)\\b${shortGap}\\b${drink}\\b`,
      ),
      /\b(?:tipped|knocked|dropped|emptied|fell|tilted|upset)\b[^.;\n]{0,25}\b(?:glass|cups?|mugs?|bottles?|cans? of|pints?|vase|bucket|flask|thermos|drinks?)\b|\b(?:glass|cups?|mugs?|bottles?|pints?|vase|bucket|flask|thermos|drinks?) (?:\w+ ){0,3}(?:tipped|knocked|went over|fell|toppled|over|into|onto|emptied)\b/,
    ],
    mayBe: "a short across contacts, current on its way through what is wet, corrosion later",
    leaveOff: "strip",
  },
  {
    id: "mains-lead",
    name: "damaged mains or earth lead",
    words: [
      /\b(?:earth|ground)(?:ing)? (?:pin|prong|wire|lead|core|tag|strap|conductor)\b[^.;\n]{0,20}\b(?:missing|gone|broken|off|loose|cut|bent|taped|snapped|removed|lifted|sheared)\b/,
      /\b(?:cut|taped?|taped over|snapped|removed|lift(?:ed|s)?|took|broke|bent|sawn|snipped)\b[^.;\n]{0,12}\b(?:earth|ground)\b[^.;\n]{0,15}\b(?:pin|prong|plug|wire|lead|mains|off|core)\b/,
      /\b(?:earth|ground) (?:is |was )?(?:lifted|cut|missing|removed|taped|disconnected|off) (?:at|on|in|from|of) (?:the )?(?:mains|plug|iec|socket|wall|inlet|power|desk|console|supply|psu)\b/,
      /\b(?:green and yellow|green ?\/ ?yellow|yellow[- ]green|green[- ]yellow)\b/,
      /\b(?:live|hot) and neutral\b|\bneutral and live\b|\b(?:live|neutral)\b[^.;\n]{0,12}\b(?:swapped|reversed|crossed)\b/,
      /\b(?:mains|power|iec)\b[^.;\n]{0,12}\b(?:lead|cable|cord|plug|inlet|flex|wires?|socket|connector)\b[^.;\n]{0,25}\b(?:nick\w*|down to (?:the )?copper|copper|squashed|crumbl\w*|cracking|chewed|nicked|melted|trapped|kinked|brittle|perish\w*|taped)\b|\b(?:insulation|sheath|jacket)\b[^.;\n]{0,20}\b(?:crumbl\w*|crack\w*|split|missing|gone|perish\w*|stripped|damaged|brittle|cut)\b/,
      /\b(?:frayed|bare|damaged|cut|cracked|broken|torn|exposed|pinched|crushed|chewed)(?: \S+){0,2} (?:mains|power) (?:lead|cable|cord|plug|inlet|flex|wires?)\b/,
      /\b(?:mains|power) (?:lead|cable|cord|plug|inlet|flex|wire)\b(?: \S+){0,3} (?:frayed|fraying|bare|damaged|cut|cracked|broken|torn|exposed|pinched|crushed|chewed|split|perished|loose|hot|warm)\b/,
      /\b(?:stepped|stood|ran|rolled|wheeled|drilled|cut|tripped)\b(?: \S+){0,3} (?:on|over|onto|into|through) (?:the )?(?:mains|power) (?:lead|cable|cord|flex|wire)s?\b/,
      /\b(?:wires?|conductors?|copper|cores?|strands?)\b (?:is |are )?(?:show(?:s|ing)?|poking out|sticking out|peeping out|coming out|visible through)\b/,
      /\b(?:see|seen|seeing|touch|reach|get at|feel)\b[^.;\n]{0,8}\b(?:live|neutral|bare) (?:pins?|parts?|wires?|metal|bits?|ends?|copper)\b|\b(?:mains|power|iec)\b[^.;\n]{0,8}\b(?:inlets?|plugs?|sockets?|switch(?:es)?)\b[^.;\n]{0,12}\b(?:crack\w*|broken|broke|smashed|split|hanging|burst|shattered|chipped)\b/,
      /\b(?:mains|power|iec|supply) (?:lead|cable|cord|flex|wire)\b[^\n]{0,45}\bbare\b|\b(?:mice|mouse|rats?|rodents?|cat|dog|rabbit)\b[^\n]{0,40}\b(?:power|mains|psu|supply|gnaw\w*|chew\w*|ate|eaten|bitten)\b[^\n]{0,20}\b(?:cables?|leads?|flex|cords?|wires?|insulation)?/,
      /\blive (?:terminals?|tags?|lugs?|screws?|busbars?|connections?|contacts?)\b/,
      /\b(?:leads?|cables?|cords?|flex|plugs?|gland)\b[^.;\n]{0,40}\b(?:see|seeing|show\w*|down to)\b[^.;\n]{0,12}\b(?:copper|wires?|conductors?|metal inside)\b/,
      /\bbare (?:wires?|copper|conductors?|cores?)\b|\bexposed (?:wires?|mains|live|conductors?)\b/,
      /\b(?:protective |safety )?(?:earth|ground)(?:ing)? (?:wire|lead|strap|conductor|tag)\b(?: \S+){0,3} (?:off|broken|missing|cut|loose|lifted|disconnected|not connected)\b|\b(?:mains|safety|protective) (?:earth|ground) (?:is |was )?(?:off|broken|missing|cut|loose|lifted|gone|disconnected|not connected)\b|\bearth (?:is |was )?(?:disconnected|not connected)\b/,
      /\b(?:no|missing|broken|lifted|lost) (?:protective|safety|mains) (?:earth|ground)\b/,
      /\b(?:no|missing|broken|lifted|lost) (?:earth|ground)(?:ing)?(?: (?:wire|lead|pin|strap|connection|contact))? (?:on|at|in|to|of) (?:the )?(?:mains|power|psu|supply|chassis|case|frame|desk|console|rack|plug)\b/,
    ],
    mayBe: "mains within reach of a hand, or no protective earth",
    leaveOff: "desk",
  },
] as const satisfies readonly DangerKind[];

export type DangerId = (typeof dangerKinds)[number]["id"];

/**
 * The kind of an id.
 *
 * @example
 * getDangerKind("shock").id; // "shock"
 */
export function getDangerKind(id: DangerId): DangerKind {
  return dangerKinds.find((kind) => kind.id === id) as DangerKind;
}

/** Sound and level are hot too. */
const heard =
  "(?:takes?|signals?|levels?|mics?|outputs?|inputs?|sends?|returns?|mix(?:es)?|mixdown|recordings?|tracks?|feeds?|kick|snare|bass|vocals?|drums?|guitars?|keys|toms?|overheads?|preamp gain|singer|band|solo|groove)";
/** Of the two conductors of a line, one is the hot one. */
const wire =
  "(?:tip|pins?|legs?|side|conductor|wire of the|spare|swap|swappable|plug(?:ged|ging|gable)|topic|glue)";

/** Phrases that only sound like a danger; they are taken out before the words are looked for. */
export const harmlessPhrases: readonly RegExp[] = [
  // What is not so: "nothing warm, nothing smells", "no funny smell", "not a shock", "barely lukewarm".
  /\bnothing (?:is |was |gets |feels |looks |even )?(?:warm|hot|smells?|burnt|burns?|burning|smoking|wet|leaking|swollen|scorched|sparks?)\b(?! any ?more)/g,
  /\bno (?:\w+ )?(?:scorch\w*|smells?|smoke|heat|burn(?:ing|s|t)?|sparks?|shocks?|arcing|leaks?)\b(?! (?:any ?more|now)\b)/g,
  /\bnot an? (?:electric )?shock\b|\bchecked (?:for|against) (?:heat|smoke|smells?|burns?|leaks?|shorts?|scorch\w*)\b[^.;\n]{0,40}\b(?:none|nothing|fine|ok|cold|cool|luke ?warm|clean)\b|\b(?:barely|hardly|only|just) (?:luke)?warm\b/g,
  // A lamp that is at its end.
  /\b(?:leds?|lamps?|lights?|bulbs?|indicators?)\b(?: \w+){0,2} burn(?:ed|t) out\b|\bburn(?:ed|t)[- ]out (?:leds?|lamps?|bulbs?|indicators?)\b/g,
  // Sound, and ears.
  /\bsounds? (?:\w+ )?(?:fried|burnt|burned|toasted|cooked|crispy)\b|\b(?:my|our|his|her|your) (?:ears?|brains?|head|nerves) (?:is|are|feels?)? ?(?:fried|cooked|burning|toasted|toast|melt\w*)\b|\blacks? spark\b|\bcrackles? like frying(?: bacon)?\b/g,
  // Sayings.
  /\bhot potato\b|\bmelted butter\b|\b(?:blow|blew|blowing) a fuse (?:about|at|over)\b|\bsomething fishy (?:about|with)\b|\bfishy about\b|\bdrips? of\b/g,
  /\b(?:gain|level|fader|runs?|comes in|set) (?:\w+ )?(?:very |too )?hot\b(?=[^\n]{0,30}(?:\d ?db\b|\+ ?\d))/g,
  /\bsmok(?:e)?y (?:jazz|vocals?|voice|sound|tone|bar)\b|\bwater level\b|\b(?:channel|strip|take|desk) is (?:really )?cooking\b(?! (?:inside|and|in|from))|\bdamp (?:the|a|my|his|her|it)\b/g,
  /\b(?:switch|button|mute|solo|phantom|48 ?v|pad|phase|key|relay)\w*(?: \w+){0,3} (?:makes|gives|goes|does|with|causes) (?:with )?(?:a )?(?:loud |big |huge |nasty )*bangs?\b/g,
  /\b(?:the |central |house |room )+heating\b/g,
  // A buzz that comes from a loudspeaker, a noise of frying, a sample of fireworks.
  /\b(?:got|gets|get|gave|gives)(?: \S+){0,2} (?:buzz|prickle|poke) (?:off|from|out of) (?:the )?(?:\w+ )?(?:speakers?|monitors?|headphones?|cans|channels?|mix|mains?|amps?|guitar|bass|box|strips?|inputs?|sends?|returns?|tape|line)\b/g,
  /\b(?:noise|noises|sounds?|sort) of (?:\w+ )?(?:frying|sizzling|burning|sparking|fire ?works?)\b(?! [^.;\n]{0,20}\b(?:from|inside|psu|supply|transformer|smell|smoke)\b)/g,
  /\b(?:fire ?works?|explosions?|thunder|fire|flames?|sparks?|lightning|water|rain|arcing) (?:effects?|fx|sfx|samples?|loops?|sounds?|foley|tracks?|show|sound effects?)\b/g,
  /\b(?:the |central |house |room |night |storage )*(?:heating|heaters?) (?:kicks? in|comes? on|came on|goes on|went on|switches on|is on|was on|starts?|cuts in)\b/g,
  /\b(?:goes|went|go) (?:phut|pfft|poof) for (?:a|half|one|about) /g,
  // Level that was turned down, a disc, a sound.
  /\bhot\b[^.;\n]{0,40}\b(?:pull|turn|back|trim|bring)\w*\b[^.;\n]{0,15}\b\d+ ?db\b/g,
  /\bburn(?:s|ed|t|ing)? (?!smell)(?:(?!smell)[\w']+ ){0,5}(?:cds?|dvds?|discs?|disks?)\b/g,
  /(?<!\b(?:psu|supply|transformer|rack)\b[^.;\n]{0,30})\b(?:spits?|hiss(?:es)?|crackles?|pops?|sputters?) and (?:fries|fry|frying|sizzles?)\b(?! (?:from|in|inside|and smell))/g,
  /\b(?:48|phantom)(?: power)? (?:on|off|in|out) (?:\w+ )?(?:makes|gives|does|causes) (?:a )?(?:loud |big |huge |nasty )*bangs?\b/g,
  /\bhot (?:news|topic|guests?|tips?|list|stuff|mess|shot|ticket|date|singer|drummer|player|voice)s?\b/g,
  // Praise, and people.
  /\b(?:burnt|burned|toasty|toasted|cooked|crispy|fried|singed|smoky) (?:on|at|in) (?:the |my )?(?:loud\w*|peaks?|hits|transients|choruses|chorus|top|highs?|high end|shouts?)\b/g,
  /\bcook(?:ed|ing|s)? (?:up )?(?:a |an |the |some |another |this )?(?:\w+ )?(?:vocal|vocals|mix|beat|groove|track|sound|take|solo|song|tune|set)s?\b/g,
  /\bsmoked (?:it|that|this one)\b(?=[^\n]{0,30}\b(?:takes?|solo|best|vocal|performance|tour|track)\b)/g,
  /\bfuse of (?:the |our |that )?(?:singer|guitarist|drummer|bassist|producer|engineer|player|keyboarder|client|band|boss)\b(?: \w+)?|\b(?:singer|guitarist|drummer|bassist|producer|engineer|client|boss)(?:'s)? (?:has a |had a )?(?:short )?fuse(?: blew)?\b|\bshort fuse\b/g,
  /\b(?:was|is|were|it|gets?|got|so|very|too) (?:very |too |so |really )?hot (?:like \w+(?: \w+)? )?(?:in|inside) (?:the |this |our |my )?(?:room|studio|control room|live room|booth|building|house)\b/g,
  // What only sounds like it.
  /\b(?:noise|noises|sounds?|sounding) (?:just |a bit |more |kind of |sort of )?(?:like|as if|as though)(?! [^.;\n]{0,40}\b(?:from|inside|psu|supply|transformer|smell|smoke)\b)[^.,;\n]*/g,
  /\bsplash(?:y|ing)?\b(?= (?:sound|top|cymbals?|highs?|sibilance|esses)|$)|\bsound\w* (?:spit\w* and )?splash\w*/g,
  // The cap on a fader, a smell that is not there, a kick and a weeping that are music.
  /\b(?:fader|knob|slider|button|pot)s?,? (?:the |its |a )?caps?\b/g,
  /\b(?:not|isn't|no|never) (?:at all |even |really )?(?:smelly|stinky|whiffy|smelling)\b/g,
  // Without it.
  /\b(?:no|without|never any|not any|nor|neither) (?:sign of |signs of |trace of |traces of |visible |more )?(?:smoke|smell|smells|odou?rs?|heat|burning smells?|burnt smells?|smell of burning|burning|fire|sparks?|arcing|shocks?|tingle|tingling|bulging|bulges?|leaks?|leaking|liquid|burn marks?|scorch marks?|fumes)\b(?! (?:any ?more|now)\b)/g,
  /\b(?:not|isn't|wasn't|is not|was not|never|nothing|none) (?:getting |even |really |very |too |at all |was |is |looks |feels )?(?:hot|burnt|burned|burning|smoking|bulging|bulged|leaking|swollen|wet|warm)\b(?! any ?more| now)/g,
  // Other uses of the words.
  /\bsmoke on the water\b|\bsmoked (?:fish|salmon|ham|meat)\b|\b(?:orange|yellow|flame|melted|burnt) (?:red|cheese)\b|\bmelt(?:ed|s|ing)? (?:my|our|the|his|her|your) (?:hearts?|faces?)\b|\btape burn\b|\bvery short\b/g,
  /\bhot (?:cue|plate|desk|desking|seat|line|button)\w*\b|\bheat pump\b|\bshock loads?\b|\bshock of level\b|\barc of (?:the )?\w+\b|\bzap (?:noise|sound)\b|\bdrip feed\b|\bwater(?:fall|mark|proof|colou?r)\w*\b|\bfuse panel\b|\bshort circuit protect\w+\b/g,
  /\bbangs? (?:in|at|on|from|when|with) (?:the )?(?:(?:mute|solo|routing|pan|insert|eq|phantom|phase|pad)\b|(?:\w+ )?(?:is |was )?(?:mut|solo|switch|press))\w*/g,
  /\b(?:leds?|lamps?|lights?|bulbs?|indicators?) (?:is |are |does |do |did )?(?:not|doesn'?t|don'?t|never|no longer|always|still) burn(?:s|ing)?\b/g,
  /\b(?:left|right|l|r|side|channel|ch|strip|\d+) (?:is |runs? |comes out |seems? |a (?:bit|touch|hair) )*hotter\b/g,
  /\bhot[- ]?(?:plug|swap|patch|wire)\w*/g,
  // Discs and running in.
  /\bburn(?:s|ed|t|ing)? (?:(?:a|an|the|some|another|two|three|\d+|my|his|her|their|off|out|of|new|safety|this|that|it|them|mixes|mix|to|onto|on) )*(?:cds?|dvds?|discs?|disks?|cd-?rs?|copy|copies|demos?|blu-?rays?)\b/g,
  /\bburn(?:ed|t|ing)?[- ]?in\b(?! (?:the|a) (?:psu|supply|rack|desk|console|channel|strip|corner|board|middle))/g,
  /\bburn[- ]?in\b/g,
  /\bburnt (?:orange|umber|sienna)\b|\bheart ?burn\b|\bburning question\b|\bslow burn\b|\bstir[- ]fr(?:y|ied)\b|\bfrench fries\b|\bfry[- ]?ups?\b/g,
  /\bsmell(?:s|ed|ing)? (?:of|like) (?:(?:contact|new|fresh) )*(?:cleaner|paint|varnish|cigarettes?|tobacco|perfume|polish|food|pizza|alcohol|isopropyl|ipa|flowers)\b|\bsmells? (?:fine|ok|okay|good|normal|clean)\b/g,
  /\bcook(?:ed|ing) (?:dinner|lunch|food)\b|\b(?:band|groove|they|drummer) (?:was|is|were|are) cooking\b/g,
  /(?<!\b(?:psu|supply|transformer)\b[^.;\n]{0,20})\b(?:frying|sizzling) (?:noises?|sounds?)\b(?! (?:from|in|inside) )/g,
  // Fire and smoke.
  /\bsmok(?:in|ing)(?: \w+)? (?:good |great |hot |fine )?(?:takes?|solos?|band|guitar|groove|room|break|area|mix|performance)\b|\b(?:no|non)[- ]smok(?:ing|er|ers)\b|\bsmok(?:e|ing) breaks?\b|\bsmokers?\b|\bsmoke (?:machine|detector|alarm)s?\b(?! (?:went|going|goes) off)|\bsmoked (?:glass|perspex|plastic|acrylic)\b/g,
  /\b(?:drummer|singer|band|guitarist|bassist|player|pianist|soloist|everyone|everybody|solo|they|he|she|we) (?:was|were|is|are|'?s|'?re) (?:really |absolutely |all |truly )?on fire\b/g,
  /\bfire ?(?:wire|wall|exit|door|drill|extinguisher|alarm|place)s?\b|\bunder fire\b/g,
  // Level.
  /\b(?:db|decibels?|vus?) (?:too |way |much |far )?hot(?:ter)?\b|\b\d+(?:[.,]\d+)? ?db (?:too |way |much |far )?hot(?:ter)?\b|\bhotter than (?:ch|channel|strip|track|number|the other channels)\b/g,
  new RegExp(
    `\\b(?:too |very |really |a bit |quite |so |red )?hot (?:\\w+ )?(?:${heard}|${wire})\\b(?! (?:is|are|was|were|gets?|got|feels?|has|smells?)\\b)`,
    "g",
  ),
  new RegExp(
    `\\b${heard}(?: \\d+)? (?:(?:is|are|was|were|comes in|came in|come in|runs?|ran|running|recorded|printed|cut|tracked|set|a bit|way|far|much|too|very|really|quite|so|slightly|again|still|always) )*(?:too )?hot\\b(?! to (?:touch|hold))`,
    "g",
  ),
  /\b(?:recorded|printed|tracked|cut|driven|driving|pushed|mixed|recording|printing) (?:\w+ ){0,2}?(?:too |very |quite |really |way |a bit |so |pretty )?hot\b|\b(?:ran|run|running|drove|drive) (?:the |my |our |all )?(?:preamps?|pre-?amps?|mic pres?|pres?|desk|bus|mix|gain|input) (?:too |very |quite |really |a bit )?hot\b/g,
  /\bhot (?:on|at|into|to|for|in) (?:the )?(?:(?:vu|ppm|peak|left|right|bus|mix|master) )*(?:meters?|vus?|ppms?|tape|recorder|interface|converters?|compressor|a\/?d|adc|daw|reds?|mix|bus)\b/g,
  /\bhot(?:,| and|\/|,? &) ?(?:pin \d )?cold\b|\bhot(?:,? ?)?(?:pin ?\d|= ?pin)\b|\bpin ?\d(?: is|=| ?=)? hot\b|\bhot and cold\b|\bhotkeys?\b|\bhot[- ]swap\w*|\bred[- ]hot solo\b/g,
  /\b(?:sounds?|sounding|mixed) (?:a bit |much |way )?(?:very|quite|really|unusually|rather|extremely|too) warm\b|\b(?:very|quite|really|unusually|rather|extremely|too) warm (?:sound|sounding|tone|mix|bass|vocals?|low end)\b/g,
  /\b(?:hot|warm) (?:day|days|weather|summer|night|afternoon|room|studio|chocolate|drinks?|coffee|tea|meal|dogs?)\b(?! (?:in|on|over|into|onto) (?:the )?(?:desk|strip|fader|channel))|\b(?:room|studio|control room|weather|outside|it) (?:is|was|gets|got) (?:very |too |so |really )?hot (?:today|in here|outside|in summer|in august|in july)\b/g,
  /\bheat[- ]?shrink\w*|\bheat[- ]?sinks?\b(?![^.;\n]{0,30}\b(?:[6-9]\d|1\d\d) ?(?:deg(?:ree)?s?\b|°|º|c\b))|\bheat[- ]?gun\b|\bheating (?:is )?(?:on|off|bill|season)\b|\bin the heat of\b|\bheat ?wave\b/g,
  // Shock, sparks, spill.
  /\bshock[- ]?(?:mount|proof|absorb|cord)\w*|\bculture shock\b|\bshocked (?:to hear|at|by|that|how)\b|\bin for a shock\b/g,
  /\bspark(?:le|les|led|ling|ly)\b|\bspark (?:of|plug)\w*|\barc (?:light|lamp)s?\b/g,
  /\btingl(?:e|ing|y) (?:top|treble|highs?|sound)\b|\bprickly (?:top|sound)\b/g,
  /\b(?:snare|kick|drum|door|big|loud)s? bangs?\b(?= (?:the|on|too|in the (?:mix|take|recording)))|\bbang on\b/g,
  /\bspill (?:from|of|between|into|on|in) (?:(?:the|a|other|neighbouring|next) )*(?:drums?|snare|kick|guitars?|amps?|vocals?|headphones?|cans?|monitors?|room|click|cymbals?|hats?|piano|bass|wedges?|mics?|channels?)\b|\b(?:drum|headphone|snare|amp|mic|click|guitar|vocal|cymbal|monitor|can)s? spill\b/g,
  /\bwet ?(?:\/|-|and|or|&|vs) ?dry\b|\bdry ?(?:\/|-|and|or|&|vs) ?wet\b|\b(?:too|very|quite|a bit|rather|so|more|less) wet(?=[, ]+(?:reverb|mix|sound|echo|delay|vocals?))|\bwet (?:signal|mix|sound|reverb|vocals?|return|level|control|knob|pot|effects?|fx|echo|delay)\b|\b(?:reverb|echo|delay|mix|vocals?) (?:is |was |are |a bit |way |much )*(?:too |very )?wet\b/g,
  /\b(?:coffee|tea|drinks?|beer) (?:break|machine|mug|cup|table)s?\b|\bflooded with\b|\bsoaked in (?:reverb|isopropyl|ipa|alcohol|cleaner)\b|\bdamp cloth\b|\bsplash cymbals?\b/g,
  // Fuses and transformers.
  /\bfuses? (?:(?:was|were|is|are|all|checked|tested|looks?|seems?|measures?|both|and|found)[:,]? )*(?:ok|okay|fine|good|intact|sound|in order|alright|all right|not blown)\b/g,
  /\bspare fuses?\b|\bfuse ?(?:box|boxes|board|holder|rating|drawer|label)s?(?= (?:labell?ed|label|is labell?ed|tidied|moved|ordered|clean|checked|ok|fine|full|empty)|$|[.,;])/g,
  /\b(?:input|output|mic|line|microphone|balancing|isolation|isolating|di|direct box|audio|bridging|matching)s? transformers?\b/g,
  /\belectrolytic (?:leakage|leaks? current)\b|\bleak(?:s|ed|ing)? (?:into|through to|across to|onto) (?:the )?(?:\w+ )?(?:mic|vocal|channel|track|mix|bus|headphone|send|aux|take|recording)s?\b/g,
];
