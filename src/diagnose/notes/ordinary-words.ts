/**
 * Everyday words that are a slip or two from a word of the vocabulary and mean something else, so
 * that they are left as they are: those that `createSpeller` would have taken for one, of the
 * commonest 40 000 English words (SCOWL, sizes 10 to 35, wordlist.aspell.net; free to use, copyright
 * 2000-2014 by Kevin Atkinson).
 */
export const ordinaryWords: readonly string[] = (
  "abode abort abound absents abstention actions actives actual actuality actuary affects agent " +
  "aground aligned aligning alike allays alter anaemia anemic annually anythings appeal appeals " +
  "apter ardent arena assent assignee assisted assisting attempt attempted attendant attendants " +
  "attentions attentive attests auction audibles audibly audios audit auguster axed axes axing " +
  "backgrounded backgrounds backhands backward backwoods badge badger badgered badges bagged " +
  "bagging baggy bails baking balanced balances balds bales balks ball balms banded banding " +
  "bands bandy bank banked banker bankers banking banks banned banner banning bans banter bard " +
  "barge barged barges barging barked barley baron based baser bases basing baskets baste basted " +
  "bastes basting basty baton bats bawls beacon beading beak beaked beaker beaks beaming beaning " +
  "beard bearing beater beating beats bedding beefing beeping beggared behinds beings bellow " +
  "bells bending bereaving bested besting bests bigger biking bills binding binning blackens " +
  "blackest blacking blacks bland blandest blanked blanker blankest blanketed blanking blanks " +
  "blasting bleak bleaker bleating bled blend blended blending blends blessing blind blinded " +
  "blinder blinding blinds blinkering blinkers blitzing bloated block blocking blooding blots " +
  "blotting blow blows blued blunting bluster boar boards boars boas boast boasted boasting " +
  "boasts bolster bolted bolting bolts booby booed booing booked booking books boomed booming " +
  "booms boons boors boos boosters bootee bootees booth booths booties booze bored bossing " +
  "bottoms bouts bracing brackets brake braked brakes braking brats braving braying breaching " +
  "bread breaded breading breads breaks breakthroughs breasting breathing breed breeder breeding " +
  "breeds breezing brewing bricking brilliant brilliants bring bringing brink brinks brisking " +
  "broadest broker brooking brown brunt budded budding buddy budget budgeted budgets buds " +
  "buffered bugged buggers buggier bugging buggy bugler bugs bulge bulged bulges bulging bulks " +
  "bulls bummed bummer bumming bumpers bumpier bums bunking burger buried burn burner burns " +
  "burped burping burps burred burst bursting bursts bushed bushes bushing bushy busied busier " +
  "busies bussed busses bussing bustle bustled bustles bustling busying buts butte butted butter " +
  "buttered buttes butting butts buyer buying buys buzzers caching cackle cackled cackles " +
  "cackling caging caking calking cancelled cancelling cancer cancers candled candles candling " +
  "caning cankered cankering canning cannon canoeing cantered cantering canters capping captains " +
  "careering caring casters cater catered caterer catering caters ceasing centrals certain " +
  "chaffing chafing chaining chairing chalking chambers champing chance chanced chances chancing " +
  "channeled channeling channels chant chanted chanting chants chap chapping chapter chapters " +
  "charge charged charger charges charging charming charring charter chartered chartering " +
  "charters charting chasing chastened chastening chastens chaster chatted chattier chatting " +
  "chatty cheat cheating checking cheeking cheep cheeped cheeping cheeps cheering cheesing chick " +
  "chicks chimp chimps chinking chinning chip chipped chipper chipping chips chirping chopping " +
  "chose chucking chuckled chuckles chuckling chugging chunking chutes cited cites citing clack " +
  "clacked clacking clacks clamping clan clang clanged clanging clangs clank clanking clans " +
  "clapped clapper clapping claps clasping clatter clattered clattering clatters clawing " +
  "cleaners cleanest cleanly cleanse cleansed cleanser cleanses cleansing clear cleared clearer " +
  "clearest clearing clearings clearly clears cleat cleats cleave cleaved cleaver cleaves " +
  "cleaving clerking climbing clime climes clinching cline clinging clink clinked clinking " +
  "clinks clippings cloaking clock clocked clocking clocks clod clone clones closer closest " +
  "closet closets clot clothe cloths clots clove cloves clowning cluck clucked clucking clucks " +
  "clumping clutter cluttered cluttering clutters coaching coasters cocking coded codes coding " +
  "coked cokes coking collaring collection collector collectors comas combed combing combs " +
  "comedy comet comets comings comma commend compares compass compassed compasses compassing " +
  "compassion compels complete completed completer completes completest composes compress " +
  "compressed compresses compression comprise comprised comprises comprising concealed " +
  "concealing conceded concedes conceding conception concoction conductor conductors cones " +
  "confection confections congestion congress congresses connect connected connecting " +
  "connections connective connects constancy constant constants contacts contains contention " +
  "contorts contract convection convention conviction cooed cooing coped copes coping copping " +
  "corded cordoned cored cores coring correction corrector corrode corrodes cottons coupled " +
  "couples cover coves cowed cower cowing coyer crabbing crackers cradled cradles cradling " +
  "crafting cramming cramping crane craning cranked crankier cranking cranks cranky crashing " +
  "crass cratered cratering craters crating craving crawled crawler crawling crazing creaking " +
  "creaming creasing creating creed creeds creek creeks creepier crepe crepes cresting crewing " +
  "cringing crinkled crinkles crinkling crippling crisping croaking crock crocks crooking " +
  "cropping crops crosser crows crutch cubed cubes cubing cued cues cuing cumming cupping cured " +
  "cures curing curtail curtails curtained curter curtsies cushioned cutest cutters cuttings " +
  "cycled cypress cypresses dally deals death deference deifying depths derive derived derives " +
  "deriving dieting differences different dills dinning dipping directs direst disconcerted " +
  "disconnect disconnects discontented discorded discording discords disorder distaste distastes " +
  "distortions disturbed disturbing disturbs ditty dive dived diver dives diving dodge doers " +
  "doling dolled dolling dolls dolly doming done donors dons dooms dope doped dopes doping dose " +
  "dosing doting downing doze dozed dozens dozes dozing draft drafted drafter drafting drafts " +
  "drafty draining drape draped drapes draping dried drier dries drilling drily drinking dripped " +
  "dripping drips drivel drivels drivers drooling droop drooped drooping droops droppings dross " +
  "drove droves drowned drowning drowns drowsing dueled dueling duelled duelling duels dullest " +
  "duly dying dynamic dynamical dynamite dynamites dynamos earl earls earths earthy easing " +
  "eating egging eking encasing encode encoded encodes encores endanger engraving enlarged " +
  "enlarging enrage enraged enrages enraging equal equaled equalise equalised equalises equalize " +
  "equalizes equalled equals ever expand expanded expands expanse expanses expended extras fable " +
  "fables faced faces faceting facile facing faction factions facts faculty failings faintest " +
  "faintly fairer fairly fairs fairy fake faked faker fakes faking fallback fallen false falser " +
  "falter faltering falters fame famed family fanning farce farces fare fared fares faring " +
  "farmed farmer farming farms farther fasted fastens faster fasting fasts fate fated fates " +
  "fating fats fatten fattens fatter fatty faulting faults fawning fazed fazes fazing feasting " +
  "feds feebler feedback feel fees feint feinted feinting feints felled feller felling fells " +
  "fends festering fettered fettering fetters feuds fezzes fiction fictional fictions file filed " +
  "files filing filled filler filleting filling fills filly filth finding fingering fining " +
  "firing firs firsts fishing fist fitter fittings fizzed fizzes fizzing fizzy flagging flags " +
  "flailed flailing flails flakier flame flamed flames flaming flanked flanking flanks flapping " +
  "flaps flare flared flares flaring flashest flashier flask flasks flatness flats flatted " +
  "flatten flattened flattening flatter flattered flatterer flatterers flattering flatters " +
  "flattery flattest flatting flaunting flawed flawing flaws flesh fleshed fleshes fleshing " +
  "fleshy flicked flicking flicks fliers flinging flint flints flippers flirting flitting flood " +
  "floors flossing flour fluctuation fluctuations fluke flukes flush flushed flusher flushes " +
  "flushing fluster flustered flustering flusters flutes flyer flying foiled foiling foils " +
  "foisting folly form forte fortes forts forty fostering foxing foyer fraction fractional " +
  "fractions frailer framed frames frayed fraying freed freer frees frequent frequently " +
  "frequents friction fried fries fringing frittered frittering fritters fronting frying fuels " +
  "fulled fuller fullest fulling fulls fully functional functionally fuzzier gaining gaits gales " +
  "gambled games gapes garbed garble garbles gargled gases gasp gated gating gazes geed geeing " +
  "gees genes gents ghosts gibes gifting gilding ginning gins give givens gives gliding glinting " +
  "glitter globe globes globs glory gloss glove gloved gloves gloving glowers glutting gong gore " +
  "goring grading grafting grain grains grand grander grands granny granting grape grapes grate " +
  "grated grater grates grating greeting grid grids grieving grilling grime grimed grimes " +
  "griming grimy grin grinders grinned grinning grins gripe griped gripes griping gripping grips " +
  "grittier grounding grounds groups grower growing grows grunting guiding gutted gutter gutting " +
  "haling halving hammed hammer hamming happen harassing hardy hare hared hares haring harking " +
  "harming harping harrying harshest harshly hash hashed hashes hashing hassling hasting " +
  "hatching hated hates hating hatted hatting haunt haven havens haying hazing headed header " +
  "heading heads heady healed healer healing heals heaped heaping heaps hearings hearse hearses " +
  "heart hearts hearty heated heater heating heats heave heaved heaves heaving heavy heirs " +
  "hemmed hemming herd herring hers highest highly hither hitting hiving hoard hoed hoeing hoes " +
  "hole holed holes holing holler hollows holly holy homed homer homes homing honed hones honing " +
  "hooted hooter hooting hoots hoped hopes hoping horribly horsing hosed hoses hosing host " +
  "hosted hosting hotbed hotel hotels hotly hover hows hued hues huger humid humor humped " +
  "humping humps hushing illuminating illuminations imaged images imperative indebted indelicate " +
  "indented indenting indicate indicated indicates indication indications indicative indicatives " +
  "indices indict indicted indicting indicts inducted inducting inducts inert infected infecting " +
  "inferred inferring infested infesting infirmity ingested ingesting inherit inherited " +
  "inheriting inherits injected injecting inputs insect insects insertion insertions inset " +
  "insider insides insisted insisting inspected inspecting insulted insulting insured insurer " +
  "insures insuring integrity intensity interact interacted interacting interacts interest " +
  "interested interesting interests interim interment interments intermittently intermixed " +
  "interned internet interning interred interring intimate intimated intimates intimating " +
  "intricate invent invented inventing inverses inverted inverter inverting inverts invest " +
  "invested investing jaded jades jading jambs jangling jawed jawing jigged jigging jingle " +
  "jingled jingles jingling jitterier jitteriest jogging jugging juggle juggled juggler juggles " +
  "juggling jumpers jumpier juts kinked kinking kinks kinky knack knacker knacks knockers knots " +
  "knotting knowing knows knuckling laces lacing lade laded lades lading lads lady lake lakes " +
  "lambs lames lancing lane lanes laps larking larks laser lashing last lath lathe lathed lather " +
  "lathes lathing laths lauded lauding lauds laughing launching leaded leader leading leads " +
  "leafed leafing leafs leafy leanest leaped leaping leaps leapt learned learning learns lease " +
  "leased leases leash leasing leave leaved leaves leaving leeching leeks lens lest levee levels " +
  "lever licking licks lifting lighten lightening lightens lighters lightest lightly lightning " +
  "lightnings likeness lilting limbers limit limited limiting limitless limits limps linger " +
  "listing listless liters litters littler loaders loafed loafer loafing loafs loaned loaning " +
  "loans loathing loaves lobes locking locks lodger logger loiters longed looked looks loomed " +
  "looming looms loons loony looped looping loops loosen loosens loosest looted looting loots " +
  "loped lopes loping lorded lording lords losers losses lots loudest loudly louse louses lousy " +
  "loved lover loves loving lowers lowest lucking lucks lumps lunching lurching lynching maced " +
  "maces macing maids mails maims main maker makers males manes mangle mangles mans mantled " +
  "mares marked marker marking markings mask masked masking massing masters mastery mated mates " +
  "mating matted matter matting mazes meanings megaphoned megaphones mentors menus mere messing " +
  "mete meted meteor meteors metes meting metres metro miked mikes miking mile milks mills mimes " +
  "minds mines mingled minks mints minuet minuets minuses minuted minuter minutest mires mister " +
  "misting misusing miter mites mitre mixes moaning mobiles moderation modes modulating " +
  "modulations modules moldings moldy moles monitored monsters mood moods mooed mooing mooning " +
  "moor moorings moped mopes moping motors mourning movers movies mowed mower mowing muddling " +
  "muff muffed muffin muffing muffins mufflers muffs mules mulling mumbling muscling mused muses " +
  "musing mussing must muster musty mutated mutating mutest mutiny mutt mutters mutts muzzling " +
  "nasals natty naval needier needled needless needling neighbored neighborly neighboured " +
  "neighbourly nether newer noisier noose nooses nose nosed noses nosier nosing nosy notching " +
  "nothings noting nude nudged nudges numbed numbers occasion occasionally occasioned " +
  "occasioning occasions odder older omens openers openest openings openly opera operand " +
  "operands operas operatic operation operations operative operatives operator operators opted " +
  "opting orders oscillations others otter oust outputs ovens overate overboard overcoat " +
  "overeating overhead overlaid overland overlap overlay overloaded overloads overlong overlook " +
  "overrated overrates overrating oxide paced paces pacing packer packet packs paged pager pages " +
  "paging pained paining paint paints paled paler pales paling palled palls pamper pander panel " +
  "panels pangs panoramas panoramic pans pansy panted panting pants paper parch pared pares " +
  "paring parity parked parse parsed parser parses parsing paste pasted pastes pasting pasts " +
  "pasty patched patchy pates path pathway pats patted patter patting patty paunch pause paused " +
  "pauses pausing paved paves paving pawed pawing pawned pawning payed payer paying pays peak " +
  "peals pears peas pecked pecks peeks penned penning penny peopling pepped pepper pepping perks " +
  "permanent permanents perusing peter petted petting petty phased phases phoned phones phoney " +
  "phony phrase picked picket picky pictured pictures pilled pills pinch pinched pined pines " +
  "pining pinked pinks pinning pint pints piped piper pipes piping pipping pitch pitcher pitches " +
  "pitted pitting place placed places placing plane planed planes planing planned planner " +
  "planning plans plate plated plates plating players pleasing plodding plods plots plotting " +
  "plowed plowing plows ploy ploys plumped plumper plumping plumps plums plunged plus plusher " +
  "plying pockets poked poker pokes poking polarise polarize poled poles policed polices policy " +
  "poling polite polled polls pooped pooping poops popularity pored pores poring posed poses " +
  "posing post potted potter potting potty pouted pouting powder powers praising prayed prayer " +
  "praying prays preening premising presences present presented presenter presents preserve " +
  "presiding pressings pressuring presuming pretence pretences pretense preying preys pricks " +
  "print prints prising processing professing program programmed programmer programmers programs " +
  "prone proper propped propping props prudence pucks puked pukes puking pulley pulped pulping " +
  "pulps pulsed pumas punned punning punted punter punting pupped pupping puppy pups purer " +
  "pushers pushier puss pusses pussy putt putters puttied putts puttying queening queering " +
  "questing queuing quietest quietly quilt quilted quilting quilts quipping quips quirking quits " +
  "quitter quitting quivering quizzing quote quoting racing racked racking radii radios raffling " +
  "rafting rage railing rally ramble rambled rambler rambles rambling ramps rang ranged ranger " +
  "ranges ranging rankling ranting rape raped rapes raping rapped rapping raps rasher rashes " +
  "raster rating ratio ratted ratting rattlers ratty raveling reach reached reaches reaching " +
  "reaction reactions reactive reactor readings ready readying reals realty reaming reams reap " +
  "reaping reaps rearing rears rebating rebuking rebutted rebutting recanting recaps receding " +
  "recenter recessed recesses recessing recited recites reciting recorder rect recurred " +
  "recurring redact redoing reds reducing reductions reeds reefing reeking reeling refining refs " +
  "refueling refuge refuges refunding refute refuted refutes refuting regimes registered " +
  "registering registers registrar registrars registries registry regretted regretting rehearsed " +
  "rehearses rehearsing rejected rejecting rejection relapsed relapses relapsing related relates " +
  "relating relax relaxed relaxes relaxing relayed relaying releasers relegated relegates " +
  "relegating relented relenting relished relishes relishing reloaded reloading rely remitted " +
  "remitting rending rends reneging renewing renting repaid repairs repay repaying repays " +
  "repealed repealing repeated repeating repented repenting replay replayed replaying replays " +
  "repleted repletes repleting replicas replied replies replying reports repose reposing " +
  "repulsing reputing rereading rescinded rescinding rescinds rescuing resent resented resenting " +
  "resents reserved reserving residing resist resisted resisting resistor resistors resists " +
  "resolve resolved resolver resolves resort resorted resorting resounded resounding resounds " +
  "respected respecting responses responsive rest rested resting rests resulted resulting " +
  "results resuming retained retainer retaining retarded retarding retching retired retires " +
  "retiring retort retorted retorting retraced retraces retracing retracting retries returns " +
  "reuse reused reuses reusing revealed revealing reveling revere reveres reverie revering " +
  "reversed reverses reversing revert reverted reverting revised revises revising revisited " +
  "revisiting revolver ridge ridged ridges ridging rigged rigging rights rigs rinds rinks rinse " +
  "rinsed rinses rinsing riveting roads roaming roaring roasted roasting rocket rockets roles " +
  "roller roosting rooted rooter rooting roots roster rotary rotation rotations rote rots rotted " +
  "rotting rotund rouge rouged rouges roughs rouging rounds rouse roused rouses rousing routeing " +
  "routine rubbing rubble ruffling ruling rumoring rumple rumpled rumples rumpling rungs rust " +
  "rusted rustier rusting rustlers rusts rusty ruts rutting saber sack sacking sacks sades safer " +
  "safes sagas sagest sales salting salving sames sand sanding sands saner sapling sapped " +
  "sapping saps saunaing sauntered sauntering saunters saved saver saves saving sawed sawing " +
  "saying says scaling scalped scalping scamper scanning scanting scarce scarcer scarcest " +
  "scarcity scarfing scaring scarring scathing scatter scattered scattering scatters scoffing " +
  "scooping scoped scoping scotches scotchs scram scrammed scramming scrams scratchier " +
  "scratchiest scratchpad scrawled scrawling screaming screeched screeches screeching screwing " +
  "scripted scripting scrupled scrupling scuffed scuffing sealed sealing seams searing seating " +
  "sections sector sediments seeds seekable seeks seep seeps sees segmented selection selections " +
  "selective selector selectors self sell selling selves semester sending sensibility " +
  "sensitively serpents service serving setters setting shack shafted shafting shafts shaggy " +
  "shall shape shaped shapes shaping sharing sharking sharping shatter shattered shattering " +
  "shatters shaving sheaf shearing sheaves shedding sheep sheering shell shelling shelve shelved " +
  "shielding shiftier shine shined shines shining shinned shinning shins shiny shipped shipping " +
  "shirking shirt shirted shirting shirts shocking shocks shoe shoeing shoes shone shooed " +
  "shooing shook shoos shoot shooting shopped shopping shops shore shored shores shoring " +
  "shorting shorts shots shout shouting shove shoved shoves shoving showers showier showings " +
  "shown shuck shucking shunning shunting shutter shuttered shuttering shutters shutting sick " +
  "sicked sicker sicking sicks sided sides siding sieving sift sifted sifting sifts signing " +
  "silenced silences silenter silents sill silos silting sine singing sinking sinned sinner " +
  "sinning sins sipped sipping site sited sites siting sits sitter sitters sitting situations " +
  "size sized sizer sizes sizing skating sketched sketches sketching skids skill skimping " +
  "skinned skinning skinny skins skipped skipper skipping skirted skirting skits skunking slack " +
  "slacking slanting slapped slapping slaps slating slaying slays sleds sleep sleeping sleeted " +
  "sleeting sleeves slept slice sliced slicer slices slicing slick slicked slicker slicking " +
  "slicks slier slight slighted slighter slights slime slimming slims slimy slinging slinking " +
  "slip slippers slippery slips slither slits slitter slitting sliver slivers sloe sloped " +
  "sloping slopped slopping sloppy slops slotting slowed slower slowing slows slumping slurring " +
  "smacking smacks smalls smart smarted smarter smarting smarts smattering smearing smelling " +
  "smells smelly smelt smelting smirking smite smites smiting smock smocking smocks snack " +
  "snacking snagged snagging snags snailing snake snaked snakes snaking snappier snare snared " +
  "snares snaring snarling snatched snatches snatching snicker snide snider sniff sniffed " +
  "sniffing sniffling sniffs snipe sniped sniper snipes sniping snipped snipping snips snitch " +
  "snitched snitches snitching snooping snort snorting snowed snowing snows snowy snuffer " +
  "snuffing soaks soaped soaping soaps soapy soaring socked socking sodding sofas soften softens " +
  "softest softly soggy solder sole soled soles solider solids soling solve solved solves " +
  "solving sometime sooty sopped sopping sops sort sorted sorter sorting sorts soundest soundly " +
  "souping sourced sources sourcing souring sowed sowing sows spacial spanking spanned spanner " +
  "spanning spans sparing sparking sparkled sparkler sparkles sparring sparsely spate spats " +
  "spatted spatter spattered spattering spatters spatting spawning spayed spaying spays spearing " +
  "specials specking specter specters spell spelling spending spends spice spiced spices spicing " +
  "spicy spider spiders spied spies spike spiked spikes spiking spill spilling spin spinning " +
  "spins spire spires spiriting splinter splintered splintering splinters splinting splits " +
  "splitting sponging spooning sport sporting spots spotted spotting spotty spouting spraying " +
  "springing sprinting sprite spurning spurring spurted spurting squad squads squalid squalled " +
  "squalling squalls squalor squares squarest squashing squats squatted squatter squatting " +
  "squawking squeak squeaked squeakier squeaking squeaks squeaky squeezed squeezes squeezing " +
  "squint squinted squinter squintest squinting squints squire squired squires squiring squirm " +
  "squirmed squirming squirms squirrel squirrels stabbing stabling stabs stack stacked stacking " +
  "stacks staff staffed staffing staffs stage staged stages stagger staging stags staining " +
  "stains stake staked stakes staking stale staled staler stales staling stalking stall stalling " +
  "stallions stamping standing stapling star starching stare stared stares staring stark starker " +
  "starlight starred starring starry stars starters startle startled startles startling starve " +
  "starved starves starving stat state stated stater states statics stating stationed stats " +
  "staunched stauncher staunches staunching stave staved staves staving stealing steep stems " +
  "stepped stepping steps stereos sterling stickers stickier stickies stickler stiffen " +
  "stiffening stiffens stiffest stiffly stifle stifled stifles stifling stilling stills stinging " +
  "stink stinking stinks stinting stirring stitch stitched stitches stitching stock stocked " +
  "stocking stockings stocks stocky stoked stoking stomped stomps stoned stoop stooped stoops " +
  "stopper stopping stored storing storming stowed stowing stows straighten straighter straights " +
  "strait stranger strangle strap strapped strapping straps strawing strayed straying strays " +
  "stretched stretcher stretches stretching striking string stripe striping stripped stripper " +
  "stripping strips stroking struck studding stuff stuffed stuffing stuffings stuffs stuffy " +
  "stunk stunning stunting stutter stuttered stuttering stutters suck sucking sucks suction " +
  "suctions sugaring suite suited suites suiting suits sunning sunrise supple sure surer surfed " +
  "surfing surfs surgery surly surmise surprised surprises swagger swamping swapped swapping " +
  "swaps swarming swathed swathes swathing swatting swayed swaying sways swearing sweat sweeps " +
  "sweet swell swelling swerving swift swifter swifts swill swine swines swinging swiping " +
  "swished swisher swishes swishing tack tacked tacking tacks tacky tainting taken taker takers " +
  "takes taking tales tamed tamer tames taming tamper tangle tanking tanning tapers taunting " +
  "taxed taxes taxing teaching telephoned telephones temperament temperaments terribly thank " +
  "thanked thanking thanks thee theme these thicker thine things think thinker thinking thinks " +
  "thinly thins thong thorough though three threes threw thudded thudding thugs thumb thumbed " +
  "thumbing thumbs thunder thus ticket tickets tickle tickled tickles tickling tides ties tigers " +
  "tiles timed timer timers ting tinge tinging tingled tingles tinker tinkle tinned tinning tins " +
  "tinting tiny tipped tipping tires tomes tonne topped topping torch torched torches torching " +
  "touchier touchings tough tougher toughs touring tousling touting toward towed tower towers " +
  "trace tracks tract tramping transistors transitory translator trapped trapper trapping " +
  "trebled tree trees tremble trembles tribes trick tricked trickery tricking tricks tricky " +
  "tried tries trios trips trough trowel trowels truck trucking trues trump trumped trumping " +
  "trumps trunk trunking trunks tucked tucking tucks tune tuned tuner tunes tuning turfed " +
  "turfing turfs twine twined twines twinging twining twinned twinning twins tying typed types " +
  "typing udder unable undeniable undeniably unfit unit unreadable unseated unseating unseats " +
  "unsuitable untie unusable upward usable valises vanish vanities vanquished vanquishes " +
  "varnished varnishes veined verier vice vices voiced voltages volumes waddling waffling wafts " +
  "wagered wagering wagged wagging waging wailing wails waistline waits wake waked wakened " +
  "wakening wakes waking walking walks walling wanderers wands wanes wanner want warbling warded " +
  "warding wards ware warier warmest warmly warned warning warns warped warping warps warred " +
  "warring wars warts wary watered waterfalls watering watts wavered wavering weaken weakens " +
  "weakest weakling weakly weaned weaning weans wearing wears weary weave weaved weaver weaves " +
  "weaving webbing weeks weest weigh weighs weights weighty weirdo wells were wets whale whaling " +
  "whatever whens wheres whiffing whiled whiles whiling whimper whims whinnied whinnies " +
  "whinnying whipping whips whirled whirling whirring whirs whisked whisker whiskies whisking " +
  "whisper whispers whiten whitening whiter whites whittle whittled whittles whittling whizzing " +
  "whole wholes wholly whore wickeder wigged wigging willing wills wincing winding wine wined " +
  "wines winging wining winking winner winning winnings wins wintered wintering wobblier woes " +
  "woke woks wonder wondered wondering wonders wooded wooding woods woody wooed woofed woofing " +
  "woofs wooing woolen woolens woos worded wording words wordy wore workers workings wormed " +
  "worming worms worry worse wrangling wreaked wreaking wreaks wrecking wrestled wrestler " +
  "wrestles wrestling wriggle wriggled wriggles wriggling wright wring wringing write wrongs " +
  "wrung"
).split(" ");
