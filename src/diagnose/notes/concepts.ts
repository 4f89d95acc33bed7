import type { Symptom } from "../note-vocabulary.js";

/**
 * Groups of words with one meaning, from which the sentences of `listSentences` are built (common
 * practice of British, American and second-language speakers, no source). They apply to what
 * `normalizeNote` returns: lower case, no apostrophes, `minus` for a sign.
 */
const concepts: Readonly<Record<string, string>> = {
  gap: "(?: [a-z0-9]+){0,7}?",
  near: "(?: [a-z0-9]+){0,2}?",
  condition:
    "(?:when(?:ever)?|if|once|after|as soon as|unless|until|till|only by|by|every time|each time|the moment|provided|while|with|depending on (?:how|where|whether))",
  touch:
    "(?:touch|tap|press|push|lean|hit|bang|kick|knock|nudg|bump|wiggl|waggl|jiggl|jog|prod|pok|flex|twist|thump|whack|slap|smack|stamp|squeez|shak|rock|tug|brush|bend|fiddl|reseat|wobbl|yank|stroke|rest|hold|bash|clout|belt|mov|pull|plug|unplug|lift|walk|stomp|slam|breath|work|exercis|cycl)(?:e|es|ed|ing|s|ging|ged)?|held|bent|shook|hits?",
  soft: "(?:quiet(?:er|est)?|low(?:er|ish|est)?|weak(?:er|ish)?|faint(?:er|ish)?|soft(?:er)?|less|lesser|down|below|under|short|shy|behind|smaller|little|too little|reduced|feebler?|meagre|lacking|adrift|deficient|subdued|timid)",
  strong:
    "(?:loud(?:er|est)?|high(?:er)?|hott?er|strong(?:er)?|above|over|more|bigger|up on|ahead)",
  amount:
    "(?:\\d+(?:p\\d+)?(?: ?/ ?\\d+)? ?(?:or|to|minus|and)? ?(?:\\d+(?:p\\d+)? )?(?:db[a-z]?|decibels?|vus?|ppms?|points?|steps?|notch(?:es)?|segments?|leds?|marks?|divisions?|percent)|(?:one|two|three|four|five|six|seven|eight|nine|ten|a dozen|several|few|a few|a couple of) (?:db|decibels?|vus?|points?|steps?|notch(?:es)?|segments?|marks?|divisions?)|half|a third|a quarter|a fraction|a bit|a lot|a tad|a touch|a hair|a shade|way|far|much|well|miles|noticeably|clearly|considerably|significantly|slightly|somewhat|markedly|a good deal|nearly half)",
  level:
    "(?:levels?|volumes?|outputs?|signals?|sounds?|gain|loudness|audio|reading|reads?|strength|send|drive|voltage|modulation|deflection|indicates?|shows?)",
  than: "(?:than|against|compared|vs|versus|relative to|as opposed to|from the (?:others|rest)|of (?:its|the) (?:neighbou?rs?|siblings?|others?|rest|fellows?)|the (?:others?|rest|neighbou?rs?))",
  must: "(?:had|have|has|having|needs?|needed|needing|got|gotta|must|forced|requires?|required|takes?|took|wants?|only (?:usable|ok|loud enough))",
  raise:
    "(?:turn|crank|push|wind|wound|bring|brought|boost|bump|lift|jack|pull|open|driv|run|ran|rais|rid|set|bang)(?:e|ed|ing|s|n|ped|ping)?",
  stop: "(?:stops?|stopped|goes|went|disappear(?:s|ed)?|vanish(?:es|ed)?|cuts?|dies|died|gone|drops?|dropped|quits?|fails?|failed|fades?|faded|lost|loses|missing|awol|silent)",
  same: "(?:the same|same|identical|unchanged|no different|unaffected|sounds? (?:just |exactly )?the same|still there|regardless)",
  shut: "(?:down|off|closed|muted|shut|zero|out|cut|bottom|minimum|min|mute (?:is )?(?:pressed|on|in|engaged|down)|not (?:pressed|in|selected|assigned|pushed|routed|on|engaged|down)|isnt (?:pressed|in|selected|assigned|pushed|routed|on|engaged|down)|arent (?:pressed|in|selected|assigned|pushed|routed|on|engaged|down)|released|disengaged|deselected|unassigned|nothing (?:pressed|selected|assigned))",
  still:
    "(?:still|even|nevertheless|anyway|although|though|yet|despite|regardless|all the same|keeps?)",
  passes:
    "(?:feed(?:s|ing)?|send(?:s|ing)?|hear(?:s|d|ing)?|com(?:e|es|ing)|get(?:s|ting)?|pass(?:es|ing)?|go(?:es|ing)?|there|through|leak(?:s|ing)?|bleed(?:s|ing)?|audible|present|sneak(?:s|ing)?|arriv(?:e|es|ing)|reach(?:es|ing)?|play(?:s|ing)?|works?)",
};

/** Rules in order: the first that fits a clause gives its meaning. */
type Sentence = readonly [symptom: Symptom, pattern: RegExp];

function say(symptom: Symptom, ...patterns: readonly string[]): Sentence {
  const source = patterns
    .map((pattern) => pattern.replace(/ ?<(\w+)>/g, joinConcept))
    .map((pattern) => pattern.replaceAll(" ..", concepts.gap));
  return [symptom, new RegExp(`(?<![a-z0-9])(?:${source.join("|")})(?![a-z0-9])`)];
}

function joinConcept(whole: string, name: string): string {
  const words = concepts[name];
  const piece = name === "gap" || name === "near" ? words : `(?:${words})`;
  return whole.startsWith(" ") && name !== "gap" && name !== "near" ? ` ${piece}` : piece;
}

/** Meanings that outrank a clearer word with another meaning in the clause. */
export const strongSentences: readonly Sentence[] = [
  say(
    "intermittent",
    "(?:doesnt|dont|wont|not|never|no|nothing) .. (?:unless|until|till|without) .. <touch>",
    "<must> (?:to )?(?:be )?(?:<touch>|thrown|flicked|toggled|switched|moved) .. (?:times|twice|again and again|several|hard)",
    "must be (?:jiggled|wiggled|tapped|prodded|held|thumped|hit)",
    "<touch> .. and (?:it|she|he|everything|signal|sound|all|its|shes)? ?(?:is |all )*(?:sings|works|comes|lives|plays|back|wakes|returns|fine|alive|ok)",
  ),
  say(
    "intermittent",
    "only (?:holds?|stays?|latch\\w*|works?|mutes?|sounds?|passes|plays|comes on|goes)(?: (?:in|down|on))? (?:while|when|if|as long as) .. (?:finger|held|hold|holding|press\\w*|keep)",
  ),
  say(
    "crosstalk",
    "(?:although|though|even though|while|with|yet) (?:nothing|none|it is not|its not|it isnt|not) (?:is |being )?(?:assigned|routed|selected)",
    "without (?:being |having been )?(?:assigned|routed|selected)",
    "(?:all the way|fully|right|completely|hard|panned) (?:down|off|closed|shut|left|right) .. still .. (?:hear\\w*|com\\w+ through|some|something|signal|sound)",
  ),
  say(
    "pop",
    "(?:explosion|burst|blast|crash|boom) of (?:noise|sound|level) .. (?:when|on|if|as) .. (?:plug|press|switch|push|patch|insert|turn|something)\\w*",
  ),
  say(
    "loud",
    "(?:gain|trim|fader|level|pad|it) .. (?:down|off|minimum|min|zero|anti ?clockwise|counter ?clockwise|closed) .. (?:still|even so|anyway) .. (?:red|clip\\w*|over ?load\\w*|too (?:loud|hot|much)|pegs|smash\\w*|slam\\w*|pinned|blast\\w*)",
  ),
  say(
    "clips-early",
    "(?:fold|squar|flatten)(?:s|ing|es)? .. (?:early|before|soon|sooner)",
    "(?:fold|squar|flatten)(?:s|ing|es)? (?:up|over|off|out) (?:at |above |over |past |plus |minus )*\\d+",
  ),
  say(
    "dead",
    "(?:went|gone|goes|cut|packed|conked|died|stopped|quit|dropped|fell|shut) .. (?:refus\\w+ to|wont|didnt|never|wouldnt|hasnt|not|cant) (?:be )?(?:com\\w+|came|brought|get|got|wak\\w+|recover\\w*)(?: it)? ?(?:back|up|on|alive)?",
  ),
  say(
    "quiet",
    "<must> to <raise> .. (?:up|open|further|higher|full|harder)",
    "<must> to (?:add|give|use|put in|find|dial in) .. (?:more|extra|gain|db)",
    "<raise> .. up .. (?:more|further|extra|higher) .. <than>",
    "(?:needs?|needed|wants?|takes?|requires?|with|using) .. (?:more|extra|additional) (?:gain|drive|level|input|preamp)",
    "(?:more|extra) (?:gain|preamp gain|input gain) <near> (?:than|to get|to match|needed|required|for the same)",
    "(?:gain|trim|fader|it) .. (?:(?:all the way|right) (?:up|clockwise)|full|full up|max|maxed|flat out|wide open|maxed out) .. (?:still|barely|only|hardly|just)",
  ),
  say(
    "loud",
    "<must> to (?:turn|pull|wind|bring|back|take|trim|pad|ride|drag|keep|run|set)(?:ed|ing|s)? .. (?:down|back|off|lower) .. (?:than|to match|compared|against)",
    "<must> to (?:pull|back) .. (?:down|back|off)",
    "(?:needs?|wants?|takes?) .. less (?:gain|drive|preamp)",
    "less gain <near> (?:than|to get|to match|needed|required|for the same)",
  ),
];

/** Meanings of clauses without a phrase of the list, with or without a control. */
export const sentences: readonly Sentence[] = [
  say(
    "stuck",
    "(?:phantom|pad|mute|solo|lamp|led|light|filter|eq|thing) .. off .. still (?:\\w+ ){0,2}(?:on|there|lit|live|present|active|engaged|phantom|volts?|at|measures?|reads?)",
    "never (?:goes |turns |is |switches )?(?:off|out)(?= |$)",
    "(?:wont|doesnt|dont|never|not|cant) come down",
    "(?:at|against|on) the (?:right |left |end |top |bottom )?(?:hand )?(?:stop|pin|end ?stop)",
    "(?:dont|doesnt|wont|not|never) (?:break|part|interrupt)(?= |$)",
    "(?:slams?|flies|whacks?|bangs?) (?:hard |straight |over )*(?:to|into|against|right|left|over)",
  ),
  say(
    "crosstalk",
    "(?:talk|speak|shout)(?:s|ing)? (?:to|into|onto|over|across|through)",
    "<still> .. <passes> .. <shut>",
    "<shut> .. <still> .. <passes>",
    "<passes> .. <still> .. <shut>",
    "(?:doesnt|wont|not|never|isnt) (?:fully|completely|quite|entirely|totally|properly|all the way) (?:mut|kill|shut|clos|cut|silenc|isolat|off)\\w*",
    "(?:gets?|getting|got|finds? its way|sneaks?|creeps?|ends? up|shows? up|turns? up|appears?|bleeds?|comes? out|heard) (?:in ?to|onto|on|in|through|at|of) (?:the )?(?:ch|channel|strip|neighbou?r|other|next|adjacent|group|bus|aux|send|main|mix|left|right|\\d)",
    "(?:hear|hearing|heard) .. (?:from|of|on|in) (?:the )?(?:channel|strip|ch|next|neighbou?r|other|adjacent)",
    "leak(?:s|ing|ed|y)?|spills? (?:into|onto|over)|breakthrough|next door|ghost\\w*|bleed\\w*",
    "all over the (?:\\w+ )?(?:track|channel|mic|strip)s?",
    "(?:separation|isolation) .. (?:bad|poor|worse|gone|low|terrible|missing|lost)",
    "(?:bad|poor|no|little|lousy|terrible) (?:separation|isolation)",
  ),
  say(
    "loose",
    "(?:goes|turns|spins|rotates?|turning|going) (?:round|around|freely|endlessly|past|through)",
    "free ?wheel\\w*|wobbly|floppy|slop(?:py)?|shaky|flapping|flaps",
    "(?:no|without|past|beyond|lost its) (?:end ?)?stops?",
    "(?:knob|cap|nut|washer|screw|button|shaft|collar|ring|shell|clip|latch|tab|spring)s? .. (?:missing|gone|off|broken|snapped|fell|split|stripped|cracked|undone|slack|in my hand)",
    "(?:broken|missing|snapped|stripped|cracked|slack|bent|lost) (?:knob|cap|nut|washer|screw|shaft|collar|ring|shell|clip|latch|tab|spring|locking)",
    "(?:needs?|has to|have to|must|got to) (?:be )?(?:held|holding|hold)",
    "(?:doesnt|wont|not|never) (?:grip|lock|clip|hold|seat|click) .. (?:in|home|properly|any ?more|tight|the plug)",
    "came (?:away|adrift|undone)",
    "(?:jacks?|plugs?|sockets?|holes?|connectors?) .. (?:dances?|dancing|swims?|too (?:large|wide|big))|too (?:large|wide)",
    "hangs(?= |$)",
  ),
  say(
    "intermittent",
    "only .. <condition> .. <touch>",
    "only (?:get|gets|got|have|has|is|hear|passes|any) .. <condition> .. (?:spot|position|place|point|way|certain|one|particular|end|half|top|bottom)",
    "<condition> .. <touch> .. (?:works?|comes?|fine|ok|okay|back|again|alive|on|through|returns?|signal|sound)",
    "(?:works?|comes? (?:alive|to life|good|on|back|through)|wakes? up|springs? (?:to life|back)|recovers?|returns?|behaves?) .. <condition>",
    "<condition> .. <touch> .. <stop>",
    "<stop> .. <condition> .. <touch>",
    "(?:needs?|has|have|wants?|must|got) .. to (?:make|get|have|give|find|establish) (?:good |proper |any )?(?:contact|connection|signal|sound|anything|it (?:to )?work\\w*)",
    "(?:needs?|takes?|took|wants?|after) .. (?:goes|tries|attempts|pushes|presses|stabs|taps|turns|times|wiggles?|fiddl\\w*|coax\\w*|persuasion|encouragement|convincing)",
    "(?:mind of its own|some days|one day|day to day|hit (?:and|or|n) miss|patchy|erratic\\w*|every other (?:day|time|song|take)|depends? (?:on|how|where)|depending|knack|fingernail|just so|just right|certain (?:angle|position|way)|particular (?:angle|position|way)|at an angle|one position|right (?:angle|spot|place))",
    "(?:only|just) (?:latch|hold|mak|connect|work|com|engag|contact|stay|light|pass)(?:e|es|s)\\b",
    "(?:for no (?:apparent |obvious |good )?reason|out of (?:nowhere|the blue)|without warning|time to time|when it rains|when its (?:hot|cold|damp|humid))",
    "(?:one|two|three|four|\\d+) (?:time|times|take|takes|day|days)?(?: out)? ?(?:of|in|out of) (?:two|three|four|five|six|ten|\\d+)",
    "(?:fails?|misses|misbehaves?|plays? up|acts? up|playing up|acting up) .. <condition>",
    "bouncy|needs? (?:press|push|switch|work|mov|turn)ing (?:twice|again|several|a few|hard|two)",
    "(?:gremlins?|haunted|flicker\\w*|jumpy|dry joint|cold joint|bad joint|(?:bad|poor|dodgy|iffy|loose|tired|shaky|wonky|dirty|weak) (?:connections?|contacts?|joints?))",
    "(?:plays?|playing|acts?|acting|played|acted) up",
  ),
  say(
    "dropout",
    "(?:goes?|going|went|gone|drops?|falls?|dips?|cuts?) (?:awol|missing|to nothing|away|silent|walkabout|quiet for|off for|out for)",
    "(?:gaps?|holes?|moments?|patch(?:es)?|seconds?|spots?|bits?) (?:of (?:silence|nothing)|where .. <stop>)",
    "(?:silent|blank|dead|bald|worn|bare|flat|bad|weak|missing) (?:gaps?|patch(?:es)?|moments?|spells?|spots?|areas?|places?|stretch(?:es)?|bits?|sections?|zones?)",
    "(?:vanish\\w*|disappear\\w*|evaporat\\w*|black ?outs?|winks? out|blanks)",
    "(?:signal|sound|it|vocal|channel|level|audio|voice|guitar|music|everything) (?:suddenly |briefly |just |simply |sometimes |then )*<stop>",
    "<stop> (?:for (?:a|half|one|two|three|several|some|\\d)|briefly|momentarily|half ?way|mid ?way|part ?way)",
    "(?:skips?|skipping|swallows?|hiccups?|hiccoughs?|lapses?|chops?|eats? (?:words|notes|bits)|holes? in (?:it|the)|(?:turns|switches|mutes|cuts) itself (?:off|out)?|goes? (?:deaf|off|out))",
    "(?:momentar\\w+|brief\\w*) .. (?:los\\w+|silen\\w+|interrupt\\w+|mut\\w+|nothing)",
    "interrupt\\w*",
  ),
  say(
    "dead",
    "(?:no|not) (?:arriv|com|pass|function|sound|respond|react)(?:e|es|s)(?= |$)",
    "(?:never|doesnt|dont|wont|not) (?:reach|arrive|get as far as)(?:es|s)?",
    "(?:not|isnt|never) awake|asleep|sleep(?:s|ing)|slept",
    "(?:all|everything|they|both|lot) (?:\\w+ )?(?:went|goes|go) (?:off|out|down)",
    "(?:nobody|no ?one|none of them) (?:\\w+ ){0,4}hears?",
    "not a (?:sausage|peep|squeak|sound|thing|dicky ?bird|whisper|murmur|bean|trace|flicker|twitch)",
    "no (?:signs? of life|joy|dice|peep|pulse|life|luck|way through|trace of)",
    "(?:flat ?lin\\w*|stone ?dead|croaked|carked\\w*|conked\\w*|expired|pegged out|bit the dust|lifeless|bricked|gave up|given up|gives up|packed (?:up|in)|popped its clogs|deceased|kaput|caput|belly up|tits up|on strike|not alive|knocked out)",
    "(?:inaudible|no show|out cold|blank|gone off|nix|zippo|nfg|nul(?:l)?|rip|no audio|isnt getting|not getting|never arrives|not arriving)",
    "(?:total|complete|absolute|utter|nothing but) silence",
    "(?:cant|cannot|couldnt|unable to|no way to|wont) (?:get|hear|coax|make|find|see) (?:anything|a thing|any|a sound|a signal|signal|sound|a peep|it to)",
    "(?:los(?:e|es|ing)|lost|missing|no|without|nothing (?:in|on|from|out of|at)) (?:the |its |my )?(?:left|right|l|r|one|centre|center)(?: side| channel| leg| half| speaker| ear)?",
    "(?:absent|missing|lost|gone|no show) (?:at|from|on|in) (?:the )?(?:dir|direct|output|mix|bus|insert|group|main|send|return|meter)",
    "nothing (?:leaves|arrives|reaches|gets|goes|comes|turns|appears|moves|changes|left)",
  ),
  say(
    "clips-early",
    "(?:red|clip\\w*|peak\\w*|overload\\w*|od) .. (?:already|early|sooner|long before|before|at (?:minus|only|normal|modest|moderate|low))",
    "(?:hits?|reach(?:es)?|against) (?:the )?(?:rails?|ceiling|wall)",
    "(?:flat|squar)\\w* (?:tops?|off|topped|out)",
    "(?:no|little|less|lower|reduced|short of|lacks?|lost|short on|missing) .. head ?room",
    "(?:limits|clips|compresses|saturates|folds|gives out) .. (?:early|soon|sooner|below|before|than)",
  ),
  say(
    "quiet",
    "<amount> <near> <soft>",
    "<soft> (?:by )?<near> <amount>",
    "<soft> <near> <than>",
    "(?:los(?:e|es|ing|t)|lost|drops?|dropped|down|lacks?|missing|short|shed|minus) (?:by |of |about |around |roughly |some |nearly |almost |over |a good |at least )*<amount> ?(?:of )?(?:its|the|in)? ?(?:level|volume|output|signal|gain|loudness)?",
    "<level> .. (?:too )?<soft>",
    "(?:not|isnt|wasnt|nowhere near|nothing like|never|hardly|half) (?:\\w+ )?(?:as|so|that) (?:loud|strong|hot|healthy|high|big|present)",
    "(?:not|isnt|never|wont be|hardly|barely|scarcely) (?:\\w+ )?(?:loud|strong|hot|high) enough",
    "(?:not|isnt) enough (?:level|gain|volume|signal|output|drive|oomph)",
    "(?:lags?|sits?|trails?|falls?|drops?) .. (?:behind|back|short)",
    "(?:lame|limp|timid|distant|remote|far off|tired sounding|half hearted|undernourished|hardly lifts|barely lifts)",
    "(?:whisper\\w*|buried|recessed|lost in|under ?powered|asthmatic|wimpy|wimpish|limp|anaemic level|struggl\\w*|starved|undernourished|muted sounding)",
  ),
  say(
    "loud",
    "<amount> <near> <strong>",
    "(?:louder|hotter|stronger) <near> <than>",
    "(?:overpower\\w*|boom(?:s|ing)|blast\\w*|deafen\\w*|too strong|way over|off the scale|through the roof)",
    "(?:leaps?|jumps?|sticks?|pokes?|shoots?) (?:out|up)",
    "(?:too much|excess\\w*|loads of) (?:level|gain|volume|output|signal)",
  ),
  say(
    "thin",
    "(?:hole|notch|dip|scoop\\w*|suck ?out|hollow\\w*) .. (?:low\\w*|bass|bottom|[1-3]?\\d\\d ?(?:hz|hertz)|[1-3]\\d\\d)(?! ?k)",
    "(?:reedy|pinched|small sounding|sounds? small|cheap sounding|lightweight|weak sounding|lean)",
    "(?:phas[ei]y|comb ?filter\\w*|out of phase|no centre|cancel\\w* out|hollow\\w*|weightless|bodiless|wiry|scratchy top|no (?:weight|bottom|foundation|warmth|beef|meat|fundament\\w*|depth|guts|chest))",
    "(?:bass|low end|lows|bottom|kick|low notes?) .. (?:rolls?|rolled|shelv\\w+|cut|filtered|reduced|light|lean|starts? to fall|starts? falling|drops?|weak\\w*|shy|vanish\\w*|swallowed|evaporat\\w*)",
  ),
  say(
    "dull",
    "(?:hole|notch|dip|scoop\\w*|suck ?out) .. (?:mids?|high\\w*|top|treble|presence|\\d+(?:p\\d+)? ?k(?:hz)?|[4-9]\\d\\d)",
    "(?:like|as if|as though|in|into|inside|down|through|from) .. (?:buckets?|bins?|barrels?|pipes?|caves?|tubs?|tanks?|cupboards?|wardrobes?|cellars?|basements?|tunnels?|car boot|trunk|hood|helmet|scarf|glove|mask|carpets?|rugs?|foam|snow|fog|felt|soup|drain ?pipes?|hoses?|tubes?|toilets?|cans?|doors?|walls?|windows?)",
    "(?:lost|no|missing|lacks?|lacking|without|needs|wants) .. (?:sheen|bite|edge|shine|openness|clarity|definition|intelligibility|detail|zing|snap|crispness|brightness|sizzle|shimmer|zip|brilliance|glitter|extension)",
    "(?:muddy|muddled|murky|smothered|stifled|blunt|closed ?in|choked|clogged|turgid|matt|matte|congested|rolled ?off|shut in|lacklustre|lackluster|not (?:bright|crisp|clear|open)|isnt (?:bright|crisp|clear|open))",
    "(?:treble|top|highs?|high end|hf|cymbals?|hats?|hi ?hats?|esses|sibilants?) .. (?:rolls?|rolled|shelv\\w+|cut|filtered|reduced|soft\\w*|starts? to fall|drops?|weak\\w*|swallowed|evaporat\\w*|shaved|dulled|tame\\w*)",
  ),
  say(
    "stuck",
    "(?:solid|rigid|immovable|gummed|gunged|treacle|syrup\\w*|molasses|honey|glue|toffee|gluey|tacky|heavy going|hangs? (?:up|on)|jams?|seized\\w*|siezed)",
    "stays? (?:in|down|on|lit|up|engaged|latched|pressed|open|closed)",
    "(?:cant|cannot|couldnt|wont|doesnt|hard to|difficult to|impossible to|refuses to|will not|need\\w* pliers to) (?:shift|budge|move|turn|switch|deselect|unlatch|unmute|unsolo|release|get it (?:off|out|in|down|back)|let go|pop|cancel|clear|go (?:off|out|back|down|in)|return|slide|disengage|come (?:off|out|up))",
    "(?:latched|jammed|trapped|wedged|hung) (?:on|in|up|down|off|at)?",
    "never (?:goes|turns|switches|comes|drops|falls|returns|releases|resets)",
  ),
  say(
    "scratch",
    "(?:lumpy|notchy|gritty|grainy|crusty|sandy|abrasive|bumpy|scrapey|zipper noise|worn track|dirty track)",
    "(?:graunch|grat(?:e|ing)|scritch|sandpaper|grind|scrap(?:e|ing)|kratz|scour|krrt|scrunch|grizzl)\\w*",
    "(?:rough|dry|bumpy|uneven|notchy|gravelly|sandy) .. (?:travel|feel|turn\\w*|mov\\w*|track|quarter|third|half|end|bottom|top|spot)",
    "(?:travel|feels?|turns?|moves?|track) .. (?:rough|dry|bumpy|uneven|gravelly|sandy)",
    "(?:noise|noises|rubbish|muck|garbage|crap|filth|interference|racket|static) .. (?:when|while|as|if) .. (?:turn|mov|slid|sweep|swept|rotat|adjust|rid)\\w*",
  ),
  say(
    "crackle",
    "(?:spitt?y|spitting|sputter\\w*|crispy|fizzl\\w*|rice crisp\\w*|scrabbl\\w*|crepitat\\w*|krach\\w*|knister\\w*|spratzel\\w*|crunch\\w*|gravelly noise|rustl\\w*)",
  ),
  say(
    "pop",
    "(?:thwack|thwap|thwock|pf+t+|phut|putt|clonk|clunk|whump|whumpf|whomp|spike|thunk|thud|thump|bump|blip|dong|doink|donk|kerchunk|ka ?chunk|knack|tac|tock|tok|tick|smack noise|bang|wallop|crack)(?:s|ing|y|ed)?",
  ),
  say(
    "hum",
    "(?:moan(?:s|ing)?|groan(?:s|ing)?|(?:earth|ground|lf|low) (?:noise|loop)|mains on|[56]0 cycles?|brumm?\\w*|thrum\\w*|throb\\w*|purr\\w*|mains (?:noise|rubbish|garbage|muck|tone|pickup|interference|induction)|(?:low|deep) (?:tone|note|noise|throb|rumble)|earthy noise|induction)",
  ),
  say(
    "buzz",
    "(?:rasp(?:y|s)?|zizz\\w*|razz\\w*|scr noise|edgy hum|harsh hum|machine gun|morse|data noise|digital noise|computer noise|bzz\\w*|zz+|rasping|dimmer\\w* (?:noise|rubbish|hash|muck)|hash|thyristor\\w*|triac\\w*|lighting (?:noise|rubbish|interference)|switch ?mode|chopper|lawn ?mower|chain ?saw|hedge ?trimmer|electric shaver)",
  ),
  say(
    "hiss",
    "(?:shash|fizz\\w*|pssh\\w*|sshh\\w*|rausch\\w*|swish\\w*|noisier|grainy background|snow|air ?y noise|gas leak|leaky tyre|spraying)",
    "(?:noise ?floor|background|idle noise|self noise) .. (?:high\\w*|up|raised|risen|worse|bad|poor|loud\\w*|rising)",
    "(?:high|higher|raised|bad|terrible|awful|poor|elevated|rising) (?:noise ?floor|background noise|self noise)",
  ),
  say(
    "whistle",
    "pipes(?: when| as| if|$)",
    "(?:squeak|eek|peep|tweet|chirp|ping|twitter|warbling tone|heterodyn|birdie|carrier|sizzle tone|pfeif|schwing|self ?oscill|instab)\\w*",
    "(?:ultrasonic|sine ?wave|test tone|beep\\w*|howl\\w*|yelp\\w*|sings? (?:by itself|along|when)|feedback)",
    "(?:high|constant|steady|faint|continuous|pure|single) (?:tone|note|pitch|frequency|beep)",
  ),
  say(
    "distorted",
    "(?:mash|smash|squash|sour|ragg|brittl|glass|hard edg|fuzz|saturat|jagg|bit ?crush|bust|cruddy|manky|hard sound|fart|flub|splat|flapp|gnarl|grung|blatt|ripp|tear|torn|crust|squar|over ?cook|crunch|shred|trash|hair|furr|garbl|gargl|buzzy bass|crush|mush|verzerr|overmod|raunch|wolf|croak|hoars|throat|sand ?paper)(?:s|ed|ing|y|ty|ie|led|ling|ped|ping|ly|ry|e)*",
    "(?:edge|hair|grit|fur|dirt|grain|burr) (?:on|to|in|around) (?:it|the|every|loud|vocals?|peaks?)",
    "(?:not|isnt|never|no longer|far from) (?:\\w+ )?(?:clean|pure|clear sounding)",
    "(?:sounds?|voice|vocals?|guitar|bass|it|everything) .. (?:broken|bust|nasty|ugly|rough|dirty|awful|horrible|edgy|mangled)",
  ),
  say(
    "unsteady",
    "(?:lives?|living) its own life|life of its own|ducks?(?= |$)|opens and (?:shuts|closes)",
    "(?:warbl|waver|yo ?yo|bounc|puls|float|see ?saw|lurch|breath|sway|swim|hunt|wander|meander|roller ?coaster|trembl|wow)(?:e|es|s|ed|ing|y)?",
    "(?:never|doesnt|wont|not|cant|isnt) (?:settl|stay|remain|constant|stable|steady|sit still|hold (?:still|its|level|calibration))\\w*",
    "(?:levels?|volume|image|it|gain|balance|reading) .. (?:all over the (?:place|shop)|up and down|to and fro|back and forth|by itself|of its own accord|on its own|with the weather|with temperature|from day to day)",
    "(?:image|balance|picture|centre|center|mono|vocal) .. (?:off centre|off center|to one side|leans?|pulls?|drifts?|shifts?|skewed|lopsided|left heavy|right heavy)",
  ),
];

/** Of a control: it makes no difference. */
export const idleSentences: readonly Sentence[] = [
  say(
    "dead",
    "(?:no|any|much|little) (?:odds|difference|effect|change|influence|impact|bearing|reaction)",
    "(?:in|on|up|engaged|pressed|pushed|left|whichever) or (?:not|out|off|down|right)",
    "(?:in|on|up) / (?:out|off|down)",
    "(?:whether|regardless|no matter|whatever|wherever|whichever|however)",
    "(?:is|sounds?|stays?|remains?) (?:just |exactly |always )?<same>",
    "(?:either way|either position|both positions|any position|every position|all positions)",
    "(?:decorative|ornament\\w*|for show|placebo|decoration|dummy|disconnected|not connected|isnt connected|ignor\\w*|useless|pointless|inert|cosmetic)",
    "(?:might|may) as well",
    "<same>",
  ),
];

/**
 * The symptom of the first sentence that a clause fits.
 *
 * @example
 * findSentence("a lovely evening"); // undefined
 */
export function findSentence(
  clause: string,
  rows: readonly Sentence[] = sentences,
): Symptom | undefined {
  return rows.find(([, pattern]) => pattern.test(clause))?.[0];
}

/**
 * Words that sentences are made of, for the speller to leave alone.
 *
 * @example
 * listSentenceWords().includes("placebo"); // true
 */
export function listSentenceWords(): readonly string[] {
  const all = [...strongSentences, ...sentences, ...idleSentences];
  const words = all.flatMap(([, { source }]) => source.match(/[a-z]{4,}/g) ?? []);
  return [...new Set(words)];
}
