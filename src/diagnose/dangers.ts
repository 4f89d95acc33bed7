/** Something described in a note that can hurt somebody or set the desk on fire. */
export interface DangerKind {
  readonly id: string;
  /** In a few words, for a list. */
  readonly name: string;
  /** Patterns of free text, in lower case, that mean it; any of them is enough. */
  readonly words: readonly RegExp[];
  /** Possible reasons, the likeliest first (common practice, no source). */
  readonly mayBe: string;
  /**
   * What must not be powered again before the cause is found: `strip`, the strip and, as long as it
   * is plugged in, the supply that feeds it; `desk`, the whole desk, whatever place the note names.
   */
  readonly leaveOff: "strip" | "desk";
}

/** The supply, by any of its names. */
const supply = "(?:psus?|power (?:supply|supplies|unit|pack)|suppl(?:y|ies)|regulator|rectifier)";
const drink =
  "(?:coffee|tea|beer|water|wine|cola|coke|juice|soda|drinks?|lemonade|whisk(?:e)?y|champagne|liquid|rain|milk|soup|latte|cappuccino|espresso|mocha|smoothie|squash|gin|vodka|rum|cider|lager|ale|prosecco|mead|broth|sauce)";
const part =
  "(?:caps?|(?:small|little|metal|alu\\w*|big|blue|black|tall) cans?|capacitors?|c ?\\d+|electrolytics?|lytics?|elcos?|tants?|tantalums?|batter(?:y|ies)|parts?|components?)";
/** Metal that can be live; below, parts of the body that feel it. */
const metal =
  "(?:front ?plates?|plates?|plinth|casing|body work|metal\\w*|case|chassis|frame|panel|screws?|racks?|desk|console|mic|microphone|faceplate|knobs?|grille?|rail|trim|armrest|housing)";
const limb =
  "(?:fingers?|fingertips?|hands?|arms?|lips?|elbows?|skin|wrists?|knuckles?|teeth|tongue|thumbs?)";
const shortGap = "[^.;\\n]{0,40}?";
/** A person, or a part of the body, that something was done to. */
const person =
  "(?:me|you|him|us|them|one|people|every(?:one|body)|any(?:one|body)|(?:my|your|his|her|our|their|the|both|an?|bass|guitar) (?:\\w+ )?(?:player|singer|drummer|guitarist|bassist|assistant|engineer|runner|cleaner|lips?|fingers?|fingertips?|hands?|arms?|tongue|nose|elbow|thumb|knuckles?))";
/** Parts that hold charge, by all their names, also those from other languages. */
const can =
  "(?:caps?|el ?-?caps?|condens\\w+|capacit\\w+|el[ck]os?|electrolyt\\w*|tant(?:al)?\\w*|(?:blue|black|big|small|little|tall|metal|alu\\w*|silver|filter|main|reservoir|smoothing|looking) cans?)";
/** A rating as printed on a fuse. */
const rating =
  "(?:[tf] ?\\d+(?:[.,]\\d+)? ?m?a?|\\d+ ?ma|\\d+[.,]\\d+ ?a(?:mps?)?|\\d+a|\\d+ ?amps?|\\d+ a(?= (?:slow|fast|quick|anti|time|fuse)))";

/** The most serious first. No source: common practice. */
export const dangerKinds = [
  {
    id: "smoke",
    name: "smoke or fire",
    words: [
      /\bsmok(?:e|es|ed|ey|ing|y)\b/,
      /\bfumes?\b|\bwisps?\b|\bplumes? (?:of|from|rising|rose|out)\b|\bpuffs? of (?!air|wind)\w+|\bhaze\b|\bvapou?r\b|\bcloud (?:came|rose|coming|rising|of)\b|\bsteam(?:s|ed|ing)? (?:from|out|rising|coming)\b/,
      /\bflames?\b|\bon fire\b|\bcaught fire\b|\ba fire\b|\bfire (?:in|inside|at|from|behind|under)\b/,
      // Smoke by other words: "a thin grey thread came up out of the slots".
      /\b(?:gr[ae]y|white|bluish?|black|brown|thin|small|little|tiny|faint|pale)\b[^.;\n]{0,15}\b(?:puffs?|clouds?|threads?|mists?|feathers?|curls?|fogs?|trails?|strings?|columns?|swirls?)\b(?! (?:of|up at) (?:the )?(?:end|reverb|noise|echo|delay|sound|chorus))[^.;\n]{0,30}\b(?:out|from|up|behind|over|above|rose|rising|came|comes|coming)\b/,
      /\b(?:puffs?|mist|fog|clouds?)\b (?!of (?:reverb|noise|echo|sound))(?:\w+ )?(?:came|comes|coming|rose|rising|went up|drifted|out of|from)\b(?! (?:machine|button|menu))|\bsmk\b|(?<!\b(?:noise|reverb|tone|sound|echo|tape|label) )\bcurling (?:up|out)\b/,
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
      // "Wax has run out of the choke"; "a component glowed"; "somebody is making toast in there".
      /\b(?:wax|pitch|tar|varnish|potting|resin|solder)\b[^.;\n]{0,20}\b(?:out|run|ran|running|dripp\w*|flow\w*|melt\w*)\b[^.;\n]{0,20}\b(?:of|from|transformer|choke|coil|toroid|trafo)\b/,
      /\b(?:components?|parts?|resistors?|wires?|something|chips?|transistors?|element|board|choke|coil)\b[^.;\n]{0,12}\bglow\w*\b/,
      /\b(?:making|makes|made|burning|burnt|like) (?:the |some |a )?toast\b(?! (?:to|for))|\b(?:barbecue|bbq|grill(?:ed|ing)?|bonfire|campfire|burnt? (?:hair|rubber|plastic|dust|feathers))\b[^.;\n]{0,20}\b(?:in there|inside|from|out of|under|behind)\b/,
    ],
    mayBe: "a shorted tantalum or decoupling capacitor, an overloaded resistor, a failing op amp",
    leaveOff: "strip",
  },
  {
    id: "heat",
    name: "heat",
    words: [
      /\boven gloves?\b|\b(?:pull(?:ed|s)?|took|takes?|draw|drew|snatched) (?:the |my |your |his |her )?(?:hand|finger|palm)s? (?:back|away|off)\b|\bsays? ouch\b|\bunsolder(?:ed|ing)?\b[^.;\n]{0,15}\b(?:itself|themselves)\b|\b(?:air|heat)\b[^.;\n]{0,20}\bshimmers?\b/,
      /\bhot\b|\bhotter\b|\bscalding\b|\bboiling\b|\bsizzling hot\b|\bbaking hot\b|\bbliste(?:rs?|ring)\b|\bburns? (?:your|my|the) (?:hand|finger)s?\b|\broasting\b|\bglow(?:s|ing)\b/,
      /\bheats?\b|\bheating\b|\bheated\b|\bover ?-?heat(?:s|ed|ing)?\b/,
      /\b(?:very|quite|really|unusually|rather|extremely|too|so|suspiciously|abnormally) warm\b|\bwarm enough to\b/,
      /\bwarm\b[^.;\n]{0,20}\b(?:never (?:was|been|used)|wasn'?t before|since (?:today|yesterday|last))\b|\b(?:supply|psu|transformer|regulator|heat ?sink|op ?amp|chip|resistor|panel|strip|module|board) (?:\w+ ){0,4}(?:is|gets?|got|runs?|feels?|getting|running) (?:\w+ )?warm(?:er)?\b(?! (?:sound|to the ear))/,
      new RegExp(
        `\\b(?:heat ?sinks?|${supply}|transformers?|surface|case|casing|lid|chips?|resistors?|op ?amps?)\\b[^.;\\n]{0,30}\\b(?:[6-9]\\d|1\\d\\d) ?(?:deg(?:ree)?s?|°|º|c)\\b`,
      ),
      // A thermometer reading: no part of a healthy desk within reach of a hand is as hot as 60 °C.
      /(?<!\b(?:phase|turned|rotated|shift(?:ed)?|pan(?:ned)?|angle)[^.;\n]{0,20})\b(?:[6-9]\d|1\d\d) ?(?:deg(?:ree)?s?|°|º)(?! ?(?:phase|out|shift|turn|angle|apart|off|rotat|pan))(?: ?c\b| ?celsius\b|[^.;\n]{0,30}\b(?:thermometer|ir|infrared|touch|surface|heat ?sinks?|probe)\b)|\b(?:[6-9]\d|1[0-4]\d) ?c\b(?= (?:on|at|and|now|when|after|in)\b)/,
      /\b(?:can'?t|cannot|couldn'?t|can barely|hardly) (?:leave|keep|hold|rest|bear|put|touch)(?: \S+){0,2} (?:hand|finger|thumb|palm)s?\b/,
      // What a hand feels: "could not keep my palm on it", "you dont leave your hand on".
      /\b(?:can|could|do|does|did|would|will|wo|ca)(?:n'?t| ?not|nt)\b (?:\w+ ){0,2}(?:leave|keep|hold|rest|bear|put|lay|touch)\b[^.;\n]{0,20}\b(?:hands?|fingers?|thumbs?|palms?|arms?|elbows?)\b[^.;\n]{0,6}(?:\bon\b|\bthere\b|\bit\b|$)/,
      /\bhands?,? (?:says?|said) (?:no|ouch|ow)\b|\b(?:left|leaves|with) (?:a |my |me a |an? \w+ )(?:mark|blister|fingerprint|print|weal|welt)\b[^.;\n]{0,20}\b(?:fingers?|hands?|palm|thumb|skin|on (?:it|the (?:chip|resistor|heat ?sink|regulator)))\b/,
      /(?<!\b(?:hiss|crackl|sound|nois|whistl|hum|buzz|rumbl|fizz|sizzl)\w*[^.;\n]{0,12})\b(?:like|as) (?:an? |the )?(?:hot )?(?:stove|oven|hob|hot ?plate|iron|griddle|toaster|kettle|radiator|furnace|frying pan|sauna|grill|cooker)\b(?! (?:sound|noise))|\b(?:fry|boil|cook) (?:an |your )?eggs? on\b/,
      /\b(?:finger|thumb|hand|palm)s? on (?:the |a )?(?:chip|ic|regulator|transistor|resistor|heat ?sink|case|lid)\b[^.\n]{0,40}\b(?:ouch|ow|blister)\b/,
      // A thermometer reading on anything.
      /\b(?:measur\w*|reads?|shows?|thermometer|probe|ir|lid|case|cover|panel|chassis|supply|psu|rack|xfmr|transformer|trafo|toroid|regulators?|heat ?sinks?|rectifier|bridge|board|chip)\b[^.;\n]{0,25}\b(?:[6-9]\d|1[0-4]\d) ?(?:deg(?:ree)?s?\b|°|º|c\b)(?! (?:phase|out|shift|turn|apart|off|of (?:phase|rotation)))/,
    ],
    mayBe: "a shorted decoupling capacitor, a latched or oscillating op amp, a failing regulator",
    leaveOff: "strip",
  },
  {
    id: "shock",
    name: "electric shock or a live panel",
    words: [
      // "Touch the screw: ow"; "still numb from number 7"; "it hurts to the shoulder".
      /\b(?:ouch|ow|oww+|yikes)\b[^\n]{0,40}\b(?:touch\w*|screws?|panel|mic|microphone|desk|metal|frame|shaft|\d{1,2})\b|\b(?:touch\w*|screws?|panel|mic|microphone|desk|metal|frame|shaft|together)\b[^\n]{0,40}\b(?:ouch|ow|oww+)\b/,
      /\bnumb\b[^.;\n]{0,25}\b(?:from|after|off|when|since)\b|\b(?:current|electricity|electric feeling|needles?|pain|hurts?)\b[^.;\n]{0,20}\b(?:in|into|to|up|through) (?:my|his|her|your|the) (?:fingers?|fingertips?|hands?|wrists?|arms?|elbows?|shoulders?|chest)\b|\b(?:flew|jumped|thrown) backwards?\b/,
      /\b(?:panel|desk|console|screws?|metal|frame|knobs?|mic|shaft|case|chassis|frame|rack)\b(?: \w+)? (?:bit|bites?|biting|kissed|stung) (?:\w+ )?(?:me|him|her|us|\w+ (?:intern|player|singer|drummer|guest|kid|tech)|intern|player|singer|drummer|guest|kid|tech)\b/,
      /\bshocks?\b|\bshocked\b|\belectrocut/,
      // "I took a choke in the iron of the console"
      new RegExp(
        `\\b(?:took|takes?|taken|got|gets?|had|have|received?|becomes?|became|become|caught|catch|suffered)(?: \\w+){0,2} (?:strikes?|chokes?|hits?|blows?|punch|discharges?|currents?|whip|lash|smack|slap|wallop|stroke|whack|clap) (?:from|off|in|on|at|by|of|out of|through) (?:the |this |that |my |a )*(?:\\w+ )?(?:${metal}|iron|steel)\\b`,
      ),
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
      // Bites, nips and pinches of metal: "the mic bit him on the lip".
      new RegExp(
        `\\b(?:bit|bites?|biting|nips?|nipped|pinch(?:es|ed)?|stings?|stung|goosed|pricks?|pricked|belts|belted|clouted|zings?|jolts?|jolted|spiked|prods?|prodded) (?:at |back at )?${person}\\b(?! (?:in|by) (?:the )?(?:mix|arse|budget))`,
      ),
      /\b(?:got|gets?|getting|gives?|gave|feels?|felt|been|was|were|am|is)\b[^.;\n]{0,15}\b(?:bites?|bitten|nips?|nipped|pinch(?:es|ed)?|stings?|stung|pricks?|pricked|pokes?|poked|tickles?|zings?|twinges?|whacked|clout)\b[^.;\n]{0,40}\b(?:lips?|fingers?|hands?|mics?|microphones?|gooseneck|frame|chassis|screws?|metal\w*|panels?|case|desk|console|strings|rack|touch\w*|lean\w*|knobs?|press)\b/,
      /\b(?:metal|mics?|microphones?|gooseneck|frame|chassis|screws?|panels?|case|desk|console|strings?|rack|armrest|xlr|plug|faceplate|box|it) (?:(?!a\b)\w+ )?(?:bites?|nips?|nipped|pinches|pinched|stings|stung|goosed|zings|gives current)\b(?! (?:a bit |more |less |in the |through (?:the )?mix|nicely|hard in))/,
      new RegExp(
        `\\b(?:current|mains|electricity|juice|voltage|volts)\\b (?:to|on|in|into|at|through) (?:the |my |his |her |your |a )*${limb}\\b`,
      ),
      /\b(?!48 ?v)\d{2,3}(?:[.,]\d+)? ?v(?:olts?)?\b[^.;\n]{0,25}\b(?:chassis|case|frame|metal\w*|housing|panel|desk|console|rack|mic)\b[^.;\n]{0,10}\b(?:to|and|against|from)\b[^.;\n]{0,15}\b(?:earth|ground|radiator|pipe|amp|water)\b|\b(?:chassis|case|frame|metal\w*|housing|panel|desk|console|rack)\b[^.;\n]{0,8}\b(?:to|and|against)\b[^.;\n]{0,15}\b(?:earth|ground|radiator|pipe|amp)\b[^.;\n]{0,15}\b(?!48 ?v)\d{2,3}(?:[.,]\d+)? ?v(?:olts?|ac)?\b/,
    ],
    mayBe:
      "a protective earth that is disconnected or broken, or an insulation fault in a supply or in something plugged in",
    leaveOff: "desk",
  },
  {
    id: "arcing",
    name: "arcing, sparks or a bang",
    words: [
      /\b(?:wall|mains|power|iec|desk'?s) (?:plug|inlet|lead|cord|socket)\b[^.;\n]{0,30}\b(?:fzz*t|bzz*t|zzt|spits?|spitting|fizz\w*|crackl\w*|snaps?)\b|\bplugs? (?:it )?spits? when\b|\bplug of the (?:desk|supply|psu)\b[^.;\n]{0,30}\b(?:fzz*t|bzz*t|zzt|spits?|spitting|fizz\w*|crackl\w*|snaps?)\b/,
      // "A pfft from the cupboard"; "with each crackle a light in the slot of the fader"
      /\b(?:pff+t?|phut|poof|fzz*t|bang|thump|crack) (?:came |coming |comes )?(?:from|in|inside|out of|behind) (?:the |a |its )?(?:\w+ )?(?:cupboard|cabinet|rack|psu|supply|machine room|power box)\b/,
      /\b(?:crackl|snap|crack|fizz|pop|tick|spit)\w*\b[^.\n]{0,30}\b(?:light|glow|flicker|flash)\w* (?:in|inside|behind|under|from|out of|through) (?:the |a )?(?:\w+ )?(?:slots?|slits?|gaps?|panel|strip|fader|switch|knob|grille|vents?)\b(?! (?:lamp|led|window|display)s?\b)/,
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
      // Light where there should be none: "in the dark you see little lightning", "fzzt and a light
      // show".
      /\b(?:lightnings?(?![- ](?:fast|quick|strikes?|samples?))|light ?show|(?:tiny|little|small) stars?|stars? fl(?:y|ying|ew)|blue(?:ish)? (?:flick\w*|spots?|points?|dots?|thing|streaks?)|flick\b[^.;\n]{0,30}\bsnap)\b/,
      /\b(?:fz+t|bz+t|z+t|zap|snap|crack|fizz\w*|sizzl\w*)\b[^.\n]{0,30}\b(?:lights?|glow\w*|flash\w*|jump\w*|dark)\b[^.\n]{0,20}\b(?:inside|in it|in there|behind|under|then)\b|\b(?:lights?|glow|flash)\b[^.;\n]{0,12}\b(?:jump|hop|leap|danc|crawl)\w*\b[^.;\n]{0,12}\b(?:inside|in it|in there|behind)\b|\bsizzl\w*\b[^.;\n]{0,30}\bglow\w*/,
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
      // "Singing to itself, low note"; "a second note, 100 cycles, from the core"
      new RegExp(
        `\\b${supply}\\b[^\\n]{0,50}\\b(?:singing|sings|(?:low|deep|second|new|steady) (?:notes?|tones?)|from the (?:core|iron))\\b(?![^.\\n]{0,25}\\b(?:on|in|through|at) (?:all|every|most|each|both|the strips?|strips?|channels?|the mix)\\b)`,
      ),
      // The supply is not always called by its name: "I can hear it growl through the wall, the
      // iron one inside".
      /\b(?:growl|hum|buzz|drone|droning|rattl|vibrat|groan|bees?|wasps|hornets?|hive)\w*\b[^.\n]{0,45}\b(?:the iron|iron (?:one|thing|lump|core)|windings?|laminations?|(?:lid|cabinet|case) (?:hums|buzzes|vibrat\\w*|rattl\\w*)|box itself|mechanical\w*|through the (?:wall|floor|rack|bench))\b(?![^.\n]{0,20}\b(?:fan|speaker)s?\b)/,
      new RegExp(
        `\\b${supply}\\b[^\\n]{0,40}\\b(?:growl\\w*|groan\\w*|vibrates?|vibrating|bees?|buzzes|goes into protection|hums)\\b(?![^.\\n]{0,25}\\b(?:fan|on (?:all|every|most|each|both|strips?)|in (?:all|every)|channels?)\\b)`,
      ),
      /\b(?:bees?|wasps?|hornets?|swarm|hive)\b[^.;\n]{0,25}\b(?:transformer|trafo|xfmr|toroid|transformator|out the back|in the (?:rack|box|cupboard))\b|\bxfmrs?\b[^.;\n]{0,20}\b(?:hum|buzz|growl|loud|nois)\w*/,
    ],
    mayBe: "an overloaded or shorted transformer, rectifier or reservoir capacitor; loose windings",
    leaveOff: "desk",
  },
  {
    id: "fuse",
    name: "a fuse that blew, a breaker that tripped or a short",
    words: [
      // "Ate two T3.15", "blew F3", "trips the board in the hallway", "the cutout clicks out".
      new RegExp(
        `\\b(?:blew|blows?|blown|ate|eats|eaten|popped|pops|through|lost)\\b (?:\\w+ ){0,2}(?:f ?\\d+|fs ?\\d+|${rating}|primary (?:f|fuse))(?![\\w.]*(?:db|hz|k|v)\\b)`,
      ),
      /\b(?:primary|secondary|mains) (?:f|fuse)\b[^.;\n]{0,12}\b(?:gone|blew|blown|open|out|dead)\b|\bblew again\b/,
      /\b(?:trips?|tripp(?:ed|ing)) (?:it|the|our|my|a)? ?(?:\w+ )?(?:board|cut ?-?outs?|main|mains|switchboard|circuit|breaker)\b|\bcut ?-?outs? (?:clicks?|goes|went|drops?|flies|flew|trips?)\b/,
      /\bfuse\b[^\n]{0,40}\b(?:silver|mirror|black|foil|nail)\b/,
      // A fuse that was bridged, or that has a larger rating.
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
      // Other words for a fuse, and a fuse of the wrong rating.
      /\b(?:blew|blown|popped|lost|used up|gone|went|through) (?:\w+ )?(?:another|a second|a third|again a|the new (?:one|fuse|[tf] ?\d+)|[tf] ?\d+(?:[.,]\d+)? ?a)\b(?! (?:take|channel|deadline|string|speaker|head|kiss|joke|mix|day|week|hour|singer|client))|\bglass (?:\w+ )?(?:tube|thing)\b[^.;\n]{0,40}\b(?:silver\w*|black\w*|dark\w*|mirror\w*|smoky|cloudy)\b/,
      /\b(?:the |main |house |earth )(?:trip|trip switch)(?: switch)? (?:goes|went|drops|dropped|keeps|kept)\b|\blights?\b[^.;\n]{0,25}\b(?:dip|dim)s?\b[^.;\n]{0,20}\b(?:it|psu|supply|desk|console) (?:starts?|powers|comes on|switches on)\b/,
      /\b(?:securit(?:y|ies)|fusible|plomb|zekering|sicherung(?:en)?|sikring)\b[^.;\n]{0,20}\b(?:gone|blew|blown|burnt|out|again|flies|flew|jumped|fell|came)\b/,
      /\b(?:put|fitted|used|took|installed|swapped)\b[^.;\n]{0,15}\b(?:thicker|bigger|larger|stronger|heavier|fatter|higher rated|more amps?) (?:one|fuse|rating)\b/,
      /\blights? (?:in the \w+ )?(?:dips?|dims?|dimmed|dipped|go(?:es)? (?:dim|down))\b[^.;\n]{0,12}\b(?:when|if|as|whenever)\b[^.;\n]{0,12}\b(?:turn|switch|power)\w*\b[^.;\n]{0,12}\bon\b/,
      /\bblows fuses\b|\bf ?\d+ (?:is |has |was )?(?:blown|blew|blows|gone|open|popped|went)\b/,
      /\b(?:gone|dead|missing|blown|blew|lost)\b[,;:]? (?:\w+ )?fuse\b(?! ?(?:box|panel|holder))/,
      /\bfuse\b[^.\n]{0,20}\bblew\b/,
      /\bshort(?:ed)?(?: circuit)?\b[^.;\n]{0,25}\b(?:rails?|psu|supply|caps?|capacitors?|tant|tantalum|decouplers?|transformer|mains)\b|\b(?:rails?|psu|supply|caps?|capacitors?|tant|tantalum|decouplers?)\b(?: \S+){0,2} short(?:ed|s)?\b(?! (?:leads?|ribbon|cable))/,
      // By its rating, or by its looks: "400 mA slow went", "that glass tube popped again".
      new RegExp(
        `(?<![\\w.])${rating}(?: (?:slow|fast|quick|time|delay|lag|anti|surge|blow|ones?|glass|fuse|quick-?blow|slow-?blow)\\b)*[^.;\\n]{0,4} ?\\b(?:went|gone|blew|blown|popped|let go|again|open|dead)\\b(?! (?:up|down|to|over|quiet|loud|dull|db))(?<!db[^.;\\n]{0,12})`,
      ),
      new RegExp(
        `\\b(?:blew|blown|popped|blows)\\b[^.;\\n]{0,8}(?<![\\w.])(?:${rating}|\\d+[.,]\\d+)(?: (?:slow|fast|quick|a|amp)\\b|\\b)(?! ?(?:db|k?hz|v\\b))`,
      ),
      new RegExp(
        `\\b(?:second|third|fourth|another|next)\\b (?:blown )?(?<![\\w.])${rating}(?: (?:slow|fast|quick|time|anti)[- ]?\\w*)+`,
      ),
      /\bglass (?:tubes?|things?|thing(?:y|ie)s?|ones?|bits?|fuses?)\b[^.;\n]{0,45}\b(?:silver\w*|black\w*|dark\w*|mirror\w*|popped|pops|blew|gone|dead|burst|broke\w*|out)\b/,
      /\b(?:fues|fusse|fuze|fuzes|fuss|fuser)\b[^.;\n]{0,20}\b(?:blown?|blew|black|gone|dead|out|went|popped|again)\b|\b(?:safety|safeties)\b[^.;\n]{0,30}\b(?:blown?|blew|flew|jumped|gone|burnt|out)\b/,
      /\breplaced,? (?:and |it )?(?:went|blew|blows|popped) (?:again|at once|straight|instantly|right away|immediately)\b/,
    ],
    mayBe: "a short after it: a decoupling capacitor, a rectifier, a failed op amp or transformer",
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
      // By comparison: "a hat like a mushroom", "like little balloons", "spat its guts".
      new RegExp(
        `\\b${can}\\b[^.;\\n]{0,40}\\b(?:domes?|belly|bellies|tummy|hats?|mushrooms?|balloons?|muffins?|pillows?|pregnant|bubbles?|pimples?|crowns?|blisters?|round(?:ed)? (?:on )?tops?|eggs?|spat|spits?|spitting|guts|insides|erupted|peel\\w*|stretched|pushed out|bowed|hump\\w*|fat|obese|puff\\w*|furry|fur|(?:green|white|crusty|hairy) (?:feet|legs?|bottoms?|base))\\b(?! (?:sound|bass|tone))`,
      ),
      new RegExp(
        `\\b(?:juice|fluid|liquid|goo|gunk|slime|syrup|soup|sap|something (?:\\w+ and )?(?:brown|sticky|oily|wet)|brown (?:and )?sticky)\\b[^.;\\n]{0,30}\\b(?:runs?|ran|running|came|comes|coming|drips?|dripped|crept|creeps|out|under|from|below|${can})\\b`,
      ),
    ],
    mayBe:
      "an electrolytic that has dried out or is fitted the wrong way round; a battery past its life",
    leaveOff: "strip",
  },
  {
    id: "liquid",
    name: "liquid in the desk",
    words: [
      // "Dead since the drummer's beer"; "orange juice, wiped what I could reach"; a note of one word: "soup".
      new RegExp(
        `\\b(?:since|after|from)\\b[^.;\\n]{0,25}\\b${drink}\\b(?! (?:break|machine|mug|cup|table|commercial))`,
      ),
      new RegExp(
        `^[\\s·]*(?:(?:some|a|the|hot|cold|orange|apple|red|white) ){0,2}(?:${drink}|ros[eé]|bleach|disinfectant)[\\s.!·]*$`,
      ),
      new RegExp(
        `\\b(?:${drink}|ros[eé]|bleach|disinfectant|sanitiser|sanitizer)\\b[^\\n]{0,40}\\b(?:wiped what|kids|choir|gravity|half the bottle|whole (?:bottle|cup|glass)|all over|straight (?:on|in)to|sticky|gritty|sticks)\\b`,
      ),
      /\b(?:cat|dog|baby|toddler) (?:has |have )?(?:been|peed|weed|pissed|was sick|threw up)\b[^\n]{0,20}\bon\b/,
      /\bsprinklers?\b|\b(?:peed|pissed|urinated|puked|vomited|threw up|sneezed|urine|sick)\b(?: \S+){0,2} (?:on|over|in|into|across|near|by|at|against|behind|under|all)\b|\b(?:plant|flower) ?(?:pot|vase)s?\b|\bpuddles?\b|\bdamp\b(?! (?:cloth|down|sound))|\bleak(?:s|ed|ing)? (?:from|through) (?:the )?(?:roof|ceiling|air ?con\w*|pipe|window)\b/,
      /(?<!\bno )\bingress(?:ed)?\b|\b(?:emptied|emptying|empties|upended|tipped over|upset|turned over|knocked over)\b[^.;\n]{0,20}\b(?:in|into|over|on|onto|across|down|inside) (?:the |my |his |her |a )?(?:\w+ )?(?:desk|console|strips?|faders?|solo|mute|switch\w*|panel|meters?|rack|psu|supply|patch ?bay|master|buttons?|knobs?|surface|board)\b/,
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
      // A vessel that went over, whatever was in it; a leaking roof; liquid that has dried.
      /\b(?:whole|full|half a?|entire) (?:glass|cup|mug|bottle|pint|can|jug|bowl|flask|bucket)\b(?! of (?:beans|worms))|\b(?:glass|cup|mug|bottle|pint|jug|bucket) of \w+[^.;\n]{0,20}\b(?:on|over|into|in|across|down)\b (?:the )?(?:faders?|desk|console|strips?|panel|meters?|channels?|knobs|keys|master|patch ?bay|modules?)\b/,
      /\b(?:dried|mopped|wiped|sponged|blotted|dabbed|hair ?dr(?:yer|ied)|towel(?:led|s)?|kitchen roll|paper towels?)\b[^.;\n]{0,30}\b(?:up|off|with|it|under|all)\b[^.;\n]{0,30}\b(?:shirt|towels?|tissues?|roll|sleeve|hair ?dryer|cloth|napkins?|t-?shirt|rag|jumper)\b(?![^.;\n]{0,20}\b(?:dust|finger ?prints?)\b)/,
      new RegExp(
        `\\b${drink}\\b[^\\n]{0,30}\\b(?:dried (?:up|in|out)|inside|everywhere|all over|under the (?:faders?|caps|knobs))\\b`,
      ),
      /\b(?:roof|ceiling(?! (?:mic|speaker|light)s?)|skylight|window|air ?con\w*|upstairs|gutter|pipe)\b[^.;\n]{0,30}\b(?:come through|came through|let\w* (?:in|go)|drops|drips?|leak\w*|burst|pouring|raining)\b|\bdrops? (?:of \w+ )?(?:on|onto|into|over|between) (?:the )?(?:faders?|desk|console|strips?|panel|meters?|patch ?bay|modules?|master)\b|\b(?:guarana|kombucha|cocoa|chai|energy drink|yogh?urt|ketchup|syrup|slush|ice cubes?|melted ice|vase|aquarium|fish tank)\b[^.;\n]{0,30}\b(?:on|over|in|into|across|down)\b/,
    ],
    mayBe: "a short across contacts, current through whatever is wet, and corrosion later",
    leaveOff: "strip",
  },
  {
    id: "mains-lead",
    name: "damaged mains or earth lead",
    words: [
      /\bmains\b[^\n]{0,60}\b(?:bare|naked|exposed)\b|\bcores? (?:are |is |show\w* )?(?:shiny|bare|showing|exposed|visible)\b|\b(?:shiny|bare) (?:metal|copper|wires?|ends?)\b[^.;\n]{0,20}\bshow\w*\b/,
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
      // Missing insulation, and open housings: "bare brass", "230 through bare choc block".
      /\b(?:earth|ground)(?:ing)? (?:pin|prong|wire|lead|core|tag|strap|conductor)\b[^.;\n]{0,40}\b(?:sawn|sawed|clipped|snipped|chopped|filed|bent|hacked|torn|unsoldered|hanging)\b/,
      /\b(?:mains|power|wall|inlet|iec|230|240|220|110|115|120)\b[^.;\n]{0,50}\b(?:naked|no insulation|without insulation|uninsulated|bare (?:brass|copper|wire|metal|ends?|choc\w*|terminal\w*|block)|insides (?:showing|out)|open to the world|cores? (?:visible|showing)|tape fell off|sheath (?:torn|off|split|gone)|reachable)\b|\bsheath (?:is |was )?(?:torn|split|cut|gone|off|slit)\b|\bcores? (?:visible|showing|exposed)\b|\blive (?:pin|tag|wire|bit|part)s?\b[^.;\n]{0,15}\b(?:reach\w*|exposed|showing|open)\b/,
    ],
    mayBe: "mains within reach of a hand, or no protective earth",
    leaveOff: "desk",
  },
] as const satisfies readonly DangerKind[];

export type DangerId = (typeof dangerKinds)[number]["id"];

/**
 * The danger with an id.
 *
 * @example
 * getDangerKind("shock").id; // "shock"
 */
export function getDangerKind(id: DangerId): DangerKind {
  return dangerKinds.find((kind) => kind.id === id) as DangerKind;
}

/** Things of sound and level that are also called hot. */
const heard =
  "(?:takes?|signals?|levels?|mics?|outputs?|inputs?|sends?|returns?|mix(?:es)?|mixdown|recordings?|tracks?|feeds?|kick|snare|bass|vocals?|drums?|guitars?|keys|toms?|overheads?|preamp gain|singer|band|solo|groove)";
/** One of the two conductors of a balanced line is called hot. */
const wire =
  "(?:tip|pins?|legs?|side|conductor|wire of the|spare|swap|swappable|plug(?:ged|ging|gable)|topic|glue)";

/** Phrases that only sound like a danger; they are removed before the search. */
export const harmlessPhrases: readonly RegExp[] = [
  // "Cable on fire... joking"; "thought I smelt burning, it was next door's barbecue".
  /\b(?:on fire|burning|smoke|smoking)\b[^\n]{0,12}\b(?:joking|kidding|joke)\b/g,
  /\bthought\b[^;\n]{0,30}\b(?:smel[lt]\w*|burning|smoke)\b[^;\n]{0,25}\b(?:it was|turned out|was only|was just)\b[^.;\n]{0,30}\b(?:bbq|barbecue|pizza|dinner|lunch|toast|candles?|cigarettes?|kitchen|neighbou?rs?|next doors?|outside|painters?)\b(?: \w+)?/g,
  // Level that swells, a bang from a switch, a chattering relay, and fires that are none.
  /\b(?:(?:lifted|moved|turned|pulled|pressed|pushed|wiggled) (?:\w+ )?(?:with|by) (?:the|my|two|one|your|a) fingers?|dips? and swells?|swells? and (?:dips?|fades?)|swells? (?:up and down|pedals?)|(?:switch|button|tape\/line|mic\/line) (?:\w+ )?(?:makes|gives) a bang|bangs? in the cans|sparks? of noise|like rain|(?:smell|fire|smoke)\b[^.;\n]{0,25}\bfalse alarm|false alarm\b[^.;\n]{0,25}\b(?:smell|fire|smoke)|smoke test(?:s|ed)? passed|on fire, (?:keep|channel))\b/g,
  // A lamp is meant to glow, and "fire alarm" may be a song.
  /\b(?:leds?|lamps?|lights?|bulbs?|indicators?|buttons?|back ?light|windows?|legends?|scales?|displays?|arrows?)\b(?: \w+){0,2} glow(?:s|ing|ed)?\b(?! (?:red hot|orange hot))/g,
  // Level, tone and people once more: "bass a bit hot, 4 dB over"; "ears burn"; "the mix is cooking".
  /\b(?:comes?|coming|came) in (?:\w+ ){0,3}(?:hot|scorching)\b|\bhot(?:ter)?,? (?:by |about |around )*\d+(?:[.,]\d+)? ?db\b(?! (?:down|low|under|less))|\bhot(?:ter)?\b(?= (?:from the \w+ (?:\w+ )?)?(?:even )?with (?:the )?(?:(?:trim|gain) (?:right |all the way )?down|same knobs))/g,
  /\b(?:speakers?|two ?-?bus|mix(?:es)?|bus|drums?|band|drummer|comp(?:ressor)?|tape|amps?) (?:\w+ )?(?:cooking|smoking|melting|frying|burning) (?:at|tonight|today|all|on|nicely|along|the)\b/g,
  /\b(?:mix|take|band|solo|set|song|track|session|room|this one|this one's|tone|sound|vocals?|drums?|all|everyone|cans|needles?|meters?) (?:\w+ ){0,2}["']?(?:on fire|in flames)\b/g,
  /\b(?:that|this|his|her|the) (?:fill|take|solo|groove|track|riff|part|mix) (?:is |was |'s )?(?:smoking|burning|cooking|smoked)\b|\bsmok(?:es|ed|ing) (?:that|this|the|it) (?:fill|take|solo|part|bass|one|groove|track|riff)\b|\btake,? we smoked it\b/g,
  /\b(?:shock horror|shocked when (?:i|we|he|she) saw|shock when (?:i|we|he|she) (?:saw|heard|read)|spill(?:ed|t|s)? the beans|spark(?:s|ed)? up on each|sparks everywhere|good spark|fire engine|electric shock["'” ]{1,2}is (?:the )?name)\b/g,
  // A bang from the speakers, and comparisons of a noise.
  /\bbangs? (?:in|from|through|out of) (?:the |my |both )*(?:speakers?|booth|cans|phones|headphones|monitors)\b|\b(?:un)?(?:mut|solo|switch)\w* with a (?:\w+ )?bang\b|\b(?:48 ?v|phantom) (?:on|off)(?: to (?:on|off))?:? (?:a )?(?:\w+ )?bang\b/g,
  /\b(?:like|=|as if) (?:\w+ ){0,2}(?:rain|under ?water|wet|waterfall|the sea|a leaky tap|fire in|frying)\b(?: (?:on|in) (?:a |an |the )?(?:\w+ )?(?:tent|roof|window|chimney|glass|pan))?|\b(?:bacon|eggs?|sausages?) (?:is |are )?(?:frying|sizzling)\b(?![^\n]{0,40}\b(?:smell|smoke|psu|supply)\b)|\b(?:kick|snare|bass|drums?|toms?) (?:\w+ )?(?:kicks?|hits?|stings?|punch\w*) (?:\w+ )?(?:you|me|him|her|us)?(?: in the (?:chest|gut|face|belly|phones|cans|ears?))|\bliquid (?:chorus|sound|tone|lead|guitar|synth)\b|\b(?:spring|tank|reverb|chorus|delay) (?:\w+ ){0,2}(?:splash\w*|bubbling and dripping|drips?|dripping)\b|\brain (?:in the headphones|on the roof|on a (?:tent|tin roof))\b/g,
  // Denials: "nothing warm, nothing smells", "no funny smell", "not a shock", "barely lukewarm".
  /\bnothing (?:is |was |gets |feels |looks |even )?(?:warm|hot|smells?|burnt|burns?|burning|smoking|wet|leaking|swollen|scorched|sparks?)\b(?! any ?more)/g,
  /\bno (?:\w+ )?(?:scorch\w*|smells?|smoke|heat|burn(?:ing|s|t)?|sparks?|shocks?|arcing|leaks?)\b(?! (?:any ?more|now)\b)/g,
  /\bnot an? (?:electric )?shock\b|\bchecked (?:for|against) (?:heat|smoke|smells?|burns?|leaks?|shorts?|scorch\w*)\b[^.;\n]{0,40}\b(?:none|nothing|fine|ok|cold|cool|luke ?warm|clean)\b|\b(?:barely|hardly|only|just) (?:luke)?warm\b/g,
  // A lamp at the end of its life.
  /\b(?:leds?|lamps?|lights?|bulbs?|indicators?)\b(?: \w+){0,2} burn(?:ed|t) out\b|\bburn(?:ed|t)[- ]out (?:leds?|lamps?|bulbs?|indicators?)\b/g,
  // Sound, and ears.
  /\bsounds? (?:\w+ )?(?:fried|burnt|burned|toasted|cooked|crispy)\b|\b(?:my|our|his|her|your) (?:ears?|brains?|head|nerves) (?:is|are|feels?)? ?(?:fried|cooked|burning|toasted|toast|melt\w*)\b|\blacks? spark\b|\bcrackles? like frying(?: bacon)?\b/g,
  // Sayings.
  /\bhot potato\b|\bmelted butter\b|\b(?:blow|blew|blowing) a fuse (?:about|at|over)\b|\bsomething fishy (?:about|with)\b|\bfishy about\b|\bdrips? of\b/g,
  /\b(?:gain|level|fader|runs?|comes in|set) (?:\w+ )?(?:very |too )?hot\b(?=[^\n]{0,30}(?:\d ?db\b|\+ ?\d))/g,
  /\bsmok(?:e)?y (?:jazz|vocals?|voice|sound|tone|bar)\b|\bwater level\b|\b(?:channel|strip|take|desk) is (?:really )?cooking\b(?! (?:inside|and|in|from))|\bdamp (?:the|a|my|his|her|it)\b/g,
  /\b(?:switch|button|mute|solo|phantom|48 ?v|pad|phase|key|relay)\w*(?: \w+){0,3} (?:makes|gives|goes|does|with|causes) (?:with )?(?:a )?(?:loud |big |huge |nasty )*bangs?\b/g,
  /\b(?:the |central |house |room )+heating\b/g,
  // "Dir out 6 hot vs bus", "hot chan", "print it hot", "burning into the red", "the CD burns tonight".
  /\bhot (?:vs\.?|versus|against|compared (?:to|with))(?= |$)|\bhot (?:chan|ch|channel|sound|tone)\b(?! (?:strip|board|card|to))|\bprint(?:s|ed|ing)? (?:it |this |that |them )?hot\b/g,
  /\bburn(?:s|ing|t|ed)? (?:in|into|up) the reds?\b|\b(?:cds?|dvds?|discs?)\b[^.;\n]{0,30}\bburn(?:s|t|ed|ing)?\b(?! (?:smell|hand|finger))/g,
  /\bsmokin['g]? (?:vocals?|takes?|solos?|guitar|groove|band|track)\b/g,
  /\b(?:comes?|came) (?:on|in|back|up) with a bang\b|\bbang through (?:the )?(?:pa|speakers?|monitors?)\b/g,
  /\b(?:sound\w*|mix|tone|vocals?) (?:is |was )?(?:\w+ )?like (?:\w+ )?(?:soup|water|milk|tea|syrup)\b/g,
  // "Smells like pizza, someone ate next to it"
  /\b(?:someone|somebody|he|she|they|we|i) (?:ate|eats|was eating|were eating|had (?:lunch|dinner)) (?:next to|near|beside|by|at|over there)\b(?: it| there| the (?:desk|console|rack))?/g,
  // False alarms that the note clears up: "the brown goo turned out to be old glue", "smells of the
  // cleaner I used".
  /[^.;\n]*\bturn(?:ed|s) out to be (?:(?:only|just|some|a|an|old|the|bit|of|dried|my|his|her) )*(?:gum|glue|tape|dust|dirt|paint|label|sticker|polish|cleaner|marker|ink|flux|lip ?stick|make ?up|chocolate)\b/g,
  /\bsmell(?:s|ed|ing)? (?:of|like) (?:the |my |our |his |her )?(?:\w+ )?(?:cleaner|polish|solder|flux|glue|paint) (?:(?:that |which )?(?:i|we|he|she|they) |because (?:i|we|he|she|they) )/g,
  // A buzz from a loudspeaker, a frying noise, a sample of fireworks.
  /\b(?:got|gets|get|gave|gives)(?: \S+){0,2} (?:buzz|prickle|poke) (?:off|from|out of) (?:the )?(?:\w+ )?(?:speakers?|monitors?|headphones?|cans|channels?|mix|mains?|amps?|guitar|bass|box|strips?|inputs?|sends?|returns?|tape|line)\b/g,
  /\b(?:noise|noises|sounds?|sort) of (?:\w+ )?(?:frying|sizzling|burning|sparking|fire ?works?)\b(?! [^.;\n]{0,20}\b(?:from|inside|psu|supply|transformer|smell|smoke)\b)/g,
  /\b(?:fire ?works?|explosions?|thunder|fire|flames?|sparks?|lightning|water|rain|arcing) (?:effects?|fx|sfx|samples?|loops?|sounds?|foley|tracks?|show|sound effects?)\b/g,
  /\b(?:the |central |house |room |night |storage )*(?:heating|heaters?) (?:kicks? in|comes? on|came on|goes on|went on|switches on|is on|was on|starts?|cuts in)\b/g,
  /\b(?:goes|went|go) (?:phut|pfft|poof) for (?:a|half|one|about) /g,
  // Turned-down level, discs, sounds.
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
  // Comparisons.
  /\b(?:noise|noises|sounds?|sounding) (?:just |a bit |more |kind of |sort of )?(?:like|as if|as though)(?! [^.;\n]{0,40}\b(?:from|inside|psu|supply|transformer|smell|smoke)\b)[^.,;\n]*/g,
  /\bsplash(?:y|ing)?\b(?= (?:sound|top|cymbals?|highs?|sibilance|esses)|$)|\bsound\w* (?:spit\w* and )?splash\w*/g,
  // The cap of a fader, and a smell that is denied.
  /\b(?:fader|knob|slider|button|pot)s?,? (?:the |its |a )?caps?\b/g,
  /\b(?:not|isn't|no|never) (?:at all |even |really )?(?:smelly|stinky|whiffy|smelling)\b/g,
  // Denials.
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
