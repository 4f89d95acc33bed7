/**
 * Everyday words that are a slip or two from a word of the vocabulary and mean something else, so
 * that they are left as they are: those that `createSpeller` would have taken for one.
 */
export const ordinaryWords: readonly string[] = (
  "spin spins spinning resting rested rests frying pans abort actions actual affects aligned aligning alter arena assent assignee audit backgrounded " +
  "backward badge badges bails balanced ball banded bands bank banned banner based bases basty " +
  "beeping bells bigger blanks blessing blind blinding bloated block blow books bored bottoms " +
  "breaks bring brown buffered buggy bugs burn burst caching cackle cater chaining chance chances " +
  "channels charge charged charges checking chick chopping chunking cited cites clack clang " +
  "cleanly clear cleared clearer clearing clears cline clock clocks clutter coded codes coding " +
  "collection collector combs complete completed completer completes compress compressed " +
  "compresses compression connect connected connecting connections connects contacts contention " +
  "contract convention cores correction cover crackers crashing crawler creating cured deals " +
  "derive derived derives deriving differences different directs done draft drafted drafter " +
  "drafts draining dried drivers dying dynamic eating equal equalize equals ever expand expanded " +
  "expands faced facing facts fairly fake faker fallback fallen false family fare farther faster " +
  "faults feedback feel fees file filed files filing filled filler filling fills finding firing " +
  "fitter flags flame flask flattened flattening flatter flawed flaws flood flutes flying form " +
  "fraction fractions freed frees frequent frequently fully functional gaining games give gives " +
  "globs grain granting greeting groups growing grows hammer happen hash hashed hashes hashing " +
  "highest highly hitting hole holes homed homer homes hoping host hosted hosting hover indicate " +
  "indicated indicates indication indications inferred inherit inherited inheriting inherits " +
  "injecting inputs insertion inset insisted inspected inspecting integrity interact interacting " +
  "interacts interest interested interesting interests interim intermixed internet invented " +
  "inverted inverter inverting knowing knows lake lane launching leader leading leads learned " +
  "learning learns lease leasing leave leaves leaving levels lever lightly limited limiting " +
  "limits listing loaders locking locks logger looked looks looped looping loops loosen losses " +
  "lots loudest loudly lowest mails main maker mans mates matter menus mere messing mete mikes " +
  "mister miter mitre moderation modes mood must muster mutated mutating needless newer nose " +
  "noting nude numbers occasion occasionally occasions older operation operations operator " +
  "operators opted opting orders others outputs packet packs pager pages paging paint pander " +
  "panel pants paper parity parse paste pasted pasting patched path pause paused pauses pausing " +
  "paying pays peak pepper phases phrase picked picky pinning piped piper pipes piping pipping " +
  "pitch place placed places placing plane planned planning plans plate plots plus popularity " +
  "post potty powers present presented presents preserve print prints processing proper puppy " +
  "queuing quietest quietly quilt quits quitting quote quoting racing rage rang ranges ranging " +
  "rating ratio reach reached reaches reaching reaction reactor readings ready rect redact " +
  "reducing refs registered registering registers registries registry rejecting related relates " +
  "relating relaxed relaying releasers reloaded reloading repeated repeating replay replayed " +
  "replaying replays replies resistor responses responsive resuming returns reuse reused reusing " +
  "revealed reversed reverses reversing revert revised rights roasting rooted roots rotation " +
  "routine rust rusty saying says scatter scattered scratchpad sections seeds seekable seeks sees " +
  "selection selections selective selector selectors self selling sensitively serving setters " +
  "setting shape shapes shaping sharing shell shipping shirt shutting sick sided sides silenced " +
  "site sites sits sitting size sized sizes sizing skill skipping sleep slice sliced slicer " +
  "slices slick slight sloe smart smarter snake snare sniff sniffs solder sole solve solved " +
  "solves solving sometime sort sorted sorter sorting sorts sourced sources sparking spelling " +
  "spends spies spill spinning splits splitting spots spotted sprite squares squint stack stacks " +
  "staff stage staged stages staging stale stall stalling standing stapling star stark stars stat " +
  "state stated states statics stating stats steep stems stepping steps stitch stock stopping " +
  "storing strap stretches string strips stuff suck suite suited suites suits sure swapped " +
  "swapping swaps swift tack tacky takes taking thank thanks theme these thine things think " +
  "thinking thinks thins thorough though three thumb thus ticket tickets ties timed timer timers " +
  "tiny torch trace tracks trapped tremble trick tricked tricks tricky tries truck trunk tucked " +
  "tune tuned tuning typed types typing unable unreadable unsuitable unusable usable volumes " +
  "waits wake waking walking want ware warned warning warns weakly weeks weigh weights whatever " +
  "whisper whole willing winding wine wins wonder wording words wordy wore workers worry worse " +
  "wring write wrongs wrung"
).split(" ");
