package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

var powerNearWater = need{
	topic: "power near water",
	rule: check.Rule{
		ID: "power-near-water", Severity: diag.Error, Concern: diag.People,
		Title:  "A powered machine with water carries a note: GFCI or RCD, tested; dry hands at plugs, dry cord.",
		Why:    "Water finds the way into a plug, and mains through wet hands can kill.",
		Source: "UL 943 Class A (GFCI); 30 mA residual current devices; seen second-hand",
		Quiet:  "the work is done by hand or dry",
		Bad:    "Machine: flat lap, 300 mm at 150 rpm   (Water: flood, no caution)",
		Good:   "always: [power near water]   (in the shop file)",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !s.powered || !s.p.Wet {
			return call{}, false
		}
		return call{span: s.at(), same: "water", because: s.machine() + " runs with water here"}, true
	}),
}

var wetPowerTool = need{
	topic:  "wet power tool",
	answer: "say what drives it, `drive: air`, `battery` or `wet rated`, in its line under `machines:` in the shop file",
	rule: check.Rule{
		ID: "wet-power-tool", Severity: diag.Error, Concern: diag.People,
		Title:  "A power tool held in the hand is used with water only if it is air, battery or made for wet work.",
		Why:    "An ordinary mains tool lets the water in where the hand holds it.",
		Source: "common practice",
		Quiet:  "the step or the house's machine says air, battery, cordless or made for wet work; no water is used",
		Bad:    "Machine: hand-held polisher   (Water: spray, no word on the tool)",
		Good:   "1. Use the air polisher.",
	},
	calls: each(func(f *safety, _ int, s *stepFacts) (call, bool) {
		if !s.handheld || !s.powered || !s.p.Wet || madeForWet(s) {
			return call{}, false
		}
		return call{span: s.at(), same: "held", because: s.machine() + " is held in the hand and used with water here"}, true
	}),
}

// madeForWet says whether the step or the shop file calls the tool air,
// battery or made for wet use.
func madeForWet(s *stepFacts) bool {
	if trade.WetDrive(s.s.Machine.Value.Drive) {
		return true
	}
	if u := s.s.Machine.Value.Unit; u != nil && contains(entry(u.Span).Text()+" "+u.Water, "air", "pneumatic", "battery", "cordless", "made for wet", "wet use", "wet polisher") {
		return true
	}
	for _, said := range sayings(s.s) {
		n := readNote(said.text)
		for i := range n.words {
			for _, p := range wetTools {
				if m, _, ok := p.matchAt(n.words, i, 0); ok && m == plain {
					return true
				}
			}
		}
	}
	return false
}

var wetTools = patterns("air tool", "air polisher", "air grinder", "air drill", "air driven", "air powered", "compressed air", "pneumatic", "battery", "cordless",
	"made for wet", "wet use", "for wet work", "wet polisher")

func patterns(phrases ...string) []pattern {
	list := make([]pattern, len(phrases))
	for i, p := range phrases {
		list[i] = newPattern(p, false)
	}
	return list
}

var unplugToChange = need{
	topic: "unplug",
	rule: check.Rule{
		ID: "unplug-to-change", Severity: diag.Error, Concern: diag.People,
		Title:  "A change of disc, pad, felt, brush, wheel or belt carries a note: stop, unplug or isolate, plug in sight.",
		Why:    "The machine can start while the hands are in it.",
		Source: "29 CFR 1910.147(a)(2)(iii)(A), seen second-hand",
		Quiet:  "each step has its own machine, or the same thing stays on it",
		Bad:    "Abrasive: resin diamond pad 325 mesh   (after another, no caution)",
		Good:   "always: [unplug]   (in the shop file)",
	},
	calls: each(func(f *safety, _ int, s *stepFacts) (call, bool) {
		switch {
		case s.p.Changed && s.powered:
			return call{span: s.at(), same: "change", because: "Another " + s.mounted() + " goes on" + strings.TrimPrefix(s.onMachine(), " on") + " here"}, true
		case s.changesByTitle():
			return call{span: s.s.Span, because: "What turns is changed here"}, true
		}
		if span, ok := f.changesInWords(s); ok {
			return call{span: span, because: "What turns is changed here"}, true
		}
		return call{}, false
	}),
}

// changesInWords is where an order of the step changes what turns on its machine:
// "then change the blade".
func (f *safety) changesInWords(s *stepFacts) (source.Span, bool) {
	if !s.powered || !f.scan.has(signChange) {
		return source.Span{}, false
	}
	for h := range f.hitsIn(s.s, signChange) {
		start, end := sentence(f.read.Bytes, h.at)
		words := readNote(string(f.read.Bytes[start:end])).words
		for i := range words {
			if !changing[words[i].stem] || words[i].stem == "dress" || !imperative(words, i) && !secondOrder(words, i) {
				continue
			}
			for j := i + 1; j < len(words) && j <= i+3 && words[j].gap == space; j++ {
				if whatTurns[words[j].stem] && (j+1 == len(words) || !parts[words[j+1].stem]) && words[j-1].text != "on" && words[j-1].text != "hand" {
					return f.read.span(start+words[i].start, start+words[j].end), true
				}
			}
		}
	}
	return source.Span{}, false
}

// parts are what makes another thing of what turns: a wheel guard is no wheel.
var parts = stemSet("guard cover water hook rest nut key surface")

// mounted is what the step puts on its machine, in one word.
func (s *stepFacts) mounted() string {
	if s.s.Medium.OK && s.s.Medium.Value.Kind != nil {
		return mediumName(s.s.Medium.Value)
	}
	if t := s.s.Abrasive.Value.Tool; t != nil {
		return t.Name
	}
	return "disc"
}

// changesByTitle says whether the title orders a change of what turns.
func (s *stepFacts) changesByTitle() bool { return titleTells(s.s.Title, changing, whatTurns) }

var (
	changing  = stemSet("change swap mount fit replace dress")
	whatTurns = stemSet("wheel belt disc disk pad blade brush felt")
	mounting  = stemSet("change swap mount fit replace")
	wheels    = stemSet("wheel")
)

var rotatingSpindle = need{
	topic: "rotating spindle",
	rule: check.Rule{
		ID: "spindle-grabs", Severity: diag.Error, Concern: diag.People,
		Title:  "Work at a spindle carries a note: no gloves, no loose sleeves, hair, rings or lanyards, stop before reaching in.",
		Why:    "A spindle takes hold of a glove and does not let go. Slow ones injure too.",
		Source: "HSE guidance on lathes and Engineering Information Sheet 2, seen second-hand; after ISO 7010 P028",
		Quiet: "nothing turns that could take hold; gloves for carrying, loading, a soak or a blast cabinet are not meant, " +
			"but a step that tells the reader to wear gloves at a spindle is at fault even where the note is there",
		Bad:  "1. Wear gloves and hold the bowl to the wheel.   (Machine: lathe)",
		Good: "1. Gloves for carrying only, off at the machine.",
	},
	also: checkGloves,
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !s.spindle || !s.powered {
			return call{}, false
		}
		return call{span: s.at(), same: "spindle", because: s.machine() + " can take hold of what comes near it here"}, true
	}),
}

// checkGloves finds steps at a spindle that tell the reader to wear gloves, and
// cautions before the first step that do.
func checkGloves(f *safety, found func(check.Finding)) {
	if !f.scan.has(signGlove) {
		return
	}
	var first *stepFacts
	for i := range f.steps {
		s := &f.steps[i]
		if !s.spindle || !s.powered || s.blast {
			continue
		}
		if first == nil {
			first = s
		}
		for _, said := range sayings(s.s) {
			if ordersGloves(said.text) {
				found(gloveFinding(f.gloveIn(said.span), s, capital(stepNo(s.s))))
				break
			}
		}
	}
	if first == nil {
		return
	}
	f.glovesOutside(first, found)
	for _, n := range f.r.Notices {
		if ordersGloves(n.Text) {
			finding := gloveFinding(f.gloveIn(n.Span), first, "The caution before the first step")
			finding.Step = 0
			found(finding)
		}
	}
}

// glovesOutside finds sentences outside the steps and the cautions that tell the
// reader to wear gloves, in a recipe with a spindle.
func (f *safety) glovesOutside(spindle *stepFacts, found func(check.Finding)) {
	text := f.read.Bytes
	for _, h := range f.scan.hits {
		span := f.wordAt(h.at)
		if h.sign != signGlove || !f.told(h.at) || f.stepAt(span) > 0 || f.inNotice(span) {
			continue
		}
		if start, end := sentence(text, h.at); ordersGloves(string(text[start:end])) {
			finding := gloveFinding(span, spindle, "The text outside the steps")
			finding.Step = 0
			found(finding)
			return
		}
	}
}

// inNotice says whether the span lies in a caution before the first step.
func (f *safety) inNotice(span source.Span) bool {
	for _, n := range f.r.Notices {
		if n.Span.Known() && span.Start >= n.Span.Start && span.End <= n.Span.End {
			return true
		}
	}
	return false
}

// gloveIn is where the span speaks of gloves, else the span itself.
func (f *safety) gloveIn(span source.Span) source.Span {
	for _, h := range f.scan.hits {
		if at := f.read.raw(h.at); h.sign == signGlove && span.File == f.r.File && at >= span.Start && at < span.End {
			return f.wordAt(h.at)
		}
	}
	return span
}

func gloveFinding(span source.Span, s *stepFacts, who string) check.Finding {
	at := ""
	if !strings.HasPrefix(who, "Step") {
		at = " of " + stepNo(s.s)
	}
	return check.Finding{
		Span: span, Step: s.s.Number,
		Message: who + " tells the reader to wear gloves, and the " + s.machineName() + at + " can take hold of them.",
		Help:    "Write \"No gloves at the machine\", or \"Gloves for carrying only, off at the machine\".",
	}
}

// ordersGloves says whether a text tells the reader to have gloves on, other
// than for carrying, blasting and soaks.
func ordersGloves(text string) bool {
	if !contains(text, "glove", "gauntlet") {
		return false
	}
	words := readNote(text).words
	for i := range words {
		w := &words[i]
		if !gloves[w.stem] || w.mood != plain {
			continue
		}
		from, to := i, i+1
		for from > 0 && i-from < farBack && words[from].gap != fullStop {
			from--
		}
		for to < len(words) && to-i < farBack && words[to].gap != fullStop {
			to++
		}
		exempt, orders, shielding := false, w.allowed, false
		for j := from; j < to; j++ {
			switch s := words[j].stem; {
			case shields[s] && j > i && j <= i+2 && words[j].gap == space:
				// "Nitrile gloves keep pumice off the skin": this off takes nothing off.
				orders, shielding = true, true
			case carrying[s] && !(shielding && words[j].text == "off"):
				exempt = true
			case words[j].mood != plain || j == i:
			case s == "wear" || s == "don" || s == "use" || s == "requir" || s == "compulsory" || s == "mandatory",
				s == "put" && j < i, s == "need" && j < i,
				words[j].text == "on" && j == i+1,
				(words[j].text == "with" || words[j].text == "in") && j < i && i-j <= 3:
				orders = true
			}
		}
		if orders && !exempt || to-from == i-from+1 && i == from && !exempt {
			return true
		}
	}
	return false
}

var (
	gloves   = stemSet("glove gloved gauntlet")
	shields  = stemSet("keep protect save help spare stop prevent")
	carrying = stemSet("carry carrying lift lifting move moving transport load loading unload handle handling fetch blast blasting soak soaking " +
		"vinegar acid citric rinse bath clean cleaning wash washing off box crate")
)

var heldCloth = need{
	topic: "held cloth",
	rule: check.Rule{
		ID: "no-wrapped-cloth", Severity: diag.Error, Concern: diag.People,
		Title:  "Cloth, paper or a pad held to turning work carries a note: never wrapped round fingers, on a backing block.",
		Why:    "Cloth that catches winds up, and takes the hand with it.",
		Source: "HSE Engineering Information Sheet 2, seen second-hand",
		Quiet:  "nothing is held to turning work but the machine's own wheel",
		Bad:    "Abrasive: silicon carbide paper P400   (Machine: lathe)",
		Good:   "cautions: [held cloth, rotating spindle]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !(s.is(turningLathe) && s.heldToIt()) {
			return call{}, false
		}
		return call{span: s.at(s.s.Abrasive.Span), because: "What works the glass is held to a turning piece here"}, true
	}),
}

// heldToIt says whether what works the glass is held in the hand: a hand pad,
// paper, a strip or a cloth.
func (s *stepFacts) heldToIt() bool {
	if t := s.s.Abrasive.Value.Tool; t != nil {
		switch t.Name {
		case "hand pad", "paper", "cloth", "film", "sheet", "strip", "belt", "band":
			return true
		}
	}
	return contains(s.s.Abrasive.Value.Words, "hand pad", "paper", "cloth", "film") || contains(s.s.Medium.Value.Words, "cloth", "strip", "hand pad")
}

var beltNip = need{
	topic: "belt",
	rule: check.Rule{
		ID: "belt-nip", Severity: diag.Error, Concern: diag.People,
		Title:  "Work at a belt carries a note: fingers off rollers and edges, guard on, belt looked over.",
		Why:    "Where the belt meets the roller it pulls in what it catches.",
		Source: "OSHA guidance on belt sanders, seen second-hand",
		Quiet:  "no step runs on a belt",
		Bad:    "Machine: wet belt   (and nothing on the belt)",
		Good:   "cautions: [belt]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !(s.belt) {
			return call{}, false
		}
		return call{span: s.at(), because: "A belt runs here"}, true
	}),
}

var eyesCovered = need{
	topic: "eyes",
	rule: check.Rule{
		ID: "eyes-covered", Severity: diag.Error, Concern: diag.People,
		Title:  "Powered work, blasting and chipping carry a note on eyes.",
		Why:    "Chips and slurry fly before anybody can blink.",
		Source: "29 CFR 1910.133; EN 166; seen second-hand",
		Quiet:  "all work is done by hand",
		Bad:    "Machine: flat lap, 300 mm at 150 rpm   (and nothing on eyes)",
		Good:   "always: [eyes]   (in the shop file)",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		switch {
		case s.powered:
			return call{span: s.at(), same: "runs", because: s.machine() + " runs here"}, true
		case s.blast:
			return call{span: s.at(), because: "This step blasts"}, true
		case s.breaksOff():
			return call{span: s.s.Span, because: "Glass is broken off here"}, true
		}
		return call{}, false
	}),
}

var chipping = stemSet("chip knock break snap nip crop")

var loudMachine = need{
	topic: "ears",
	rule: check.Rule{
		ID: "loud-machine", Severity: diag.Error, Concern: diag.People,
		Title:  "A loud machine carries a note on ears.",
		Why:    "What noise takes from hearing does not come back.",
		Source: "Directive 2003/10/EC (80 and 85 dB(A)); 29 CFR 1910.95; seen second-hand",
		Quiet:  "the house's machine says less than 80 dB(A), or it is no saw, belt, blast or air tool; from 80 to 84 dB(A), and of an air tool without a figure, it only warns",
		Bad:    "Machine: wet saw   (and nothing on ears)",
		Good:   "cautions: [ears]",
	},
	facts: func(f *safety) map[string]float64 {
		facts := map[string]float64{}
		for i := range f.steps {
			facts["noise"] = max(facts["noise"], f.steps[i].noise())
		}
		return facts
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		noise := s.noise()
		switch {
		case noise >= mustHear:
			return call{span: s.at(), because: s.machine() + " of this step makes " + figure(noise) + " dB(A) by the shop file"}, true
		case noise >= mayHear:
			return call{span: s.at(), severity: diag.Warning, because: s.machine() + " of this step makes " + figure(noise) + " dB(A) by the shop file"}, true
		case noise == 0 && s.powered && s.handheld && s.s.Machine.Value.Drive == "air":
			return call{span: s.at(), severity: diag.Warning, same: "air", because: s.machine() + " of this step runs on air and is loud, and no figure says otherwise"}, true
		case noise == 0 && s.kind != nil && (s.kind.Loud || s.blast):
			return call{span: s.at(), same: "loud", because: s.machine() + " of this step is loud, and no figure says otherwise"}, true
		}
		return call{}, false
	}),
}

// Levels of Directive 2003/10/EC in dB(A), seen second-hand.
const (
	mayHear  = 80
	mustHear = 85
)

// noise of the house's machine in dB(A), 0 where none is written.
func (s *stepFacts) noise() float64 {
	u := s.s.Machine.Value.Unit
	if u == nil || !u.Noise.Written() {
		return 0
	}
	return u.Noise.In(quantity.Decibel)
}

var keepWet = need{
	topic: "keep wet",
	rule: check.Rule{
		ID: "keep-wet-and-cool", Severity: diag.Error, Concern: diag.People,
		Title:  "Powered wet work carries a note: keep it wet, lift off when it is warm, never quench.",
		Why:    "Glass that runs dry heats at one spot and cracks, and a warm piece under the cold tap cracks at once.",
		Source: "common practice",
		Quiet:  "the work is done by hand or dry, or is a blast",
		Bad:    "Machine: upright polisher   (Water: damp, and nothing on heat)",
		Good:   "cautions: [keep wet]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !s.powered || !s.works() || !s.p.Wet {
			return call{}, false
		}
		return call{span: s.at(s.s.Water.Span), same: "wet", because: s.machine() + " works the glass wet here"}, true
	}),
}

var tankWater = need{
	topic: "tank water",
	rule: check.Rule{
		ID: "recirculated-water-care", Severity: diag.Error, Concern: diag.People,
		Title:  "Water that comes round again carries a note: change it by a date, scrub out slime, never jet-wash.",
		Why:    "What grows in old tank water is breathed as mist and gets into cuts.",
		Source: "HSE guidance on metalworking fluids and Legionella, seen second-hand",
		Quiet:  "the water is fresh",
		Bad:    "Water: flood, recirculated   (and nothing on the tank)",
		Good:   "cautions: [tank water]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		w := s.s.Water.Value
		unit := s.s.Machine.Value.Unit
		fromTank := w.Recirculated || w.Bucket || unit != nil && s.p.Wet && contains(unit.Water, "recirc", "tank", "sump", "bucket")
		if !(fromTank && s.p.Wet) {
			return call{}, false
		}
		return call{span: s.at(s.s.Water.Span), because: "The water of this step comes round again"}, true
	}),
}

var gritCarryOver = need{
	topic: "grit carry-over",
	rule: check.Rule{
		ID: "grit-carry-over", Severity: diag.Error, Concern: diag.Piece,
		Title:  "Before a finer grit something is washed: a Clean-down, or the note on carrying grit over.",
		Why:    "One coarse grain on hands, sponge or apron spoils the finer face.",
		Source: "common practice",
		Quiet:  "the next step is not finer, or the step has a Clean-down",
		Bad:    "Abrasive: silicon carbide F220   (F400 follows, no Clean-down)",
		Good:   "Clean-down: wash piece, hands and plate; fresh bucket",
	},
	calls: each(func(f *safety, i int, s *stepFacts) (call, bool) {
		if !s.works() || !s.s.Abrasive.OK || cleanedDown(s.s) {
			return call{}, false
		}
		for j := i + 1; j < len(f.steps); j++ {
			next := f.steps[j].s
			if cleanedDown(next) && !next.Working() {
				return call{}, false
			}
			if !next.Abrasive.OK {
				continue
			}
			if f.steps[j].blast || !finerGrain(&s.s.Abrasive.Value, &next.Abrasive.Value) {
				return call{}, false
			}
			return call{span: s.at(s.s.Abrasive.Span), same: "finer", because: capital(stepNo(next)) + " is finer than this step, and nothing is washed between them"}, true
		}
		return call{}, false
	}),
}
