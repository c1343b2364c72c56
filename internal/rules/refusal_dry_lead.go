package rules

import (
	"slices"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var dryWorkOnLead = check.Rule{
	ID: "dry-work-on-lead", Severity: diag.Refusal, Concern: diag.People,
	Title:  "No sheet is made for dry work on lead glass or on unknown glass.",
	Why:    "Dry work on lead glass puts lead into the air and on the hands, and a mask does not keep it off the sandwich.",
	Source: "NIOSH HETA 86-070-1774; 29 CFR 1910.1025; seen second-hand",
	Quiet:  "the work is wet, is a blast, or the glass is a known one without lead (dry work on enamel, paint, lustre or gilding is an error); to dry the piece, to test it dry and to spin a wheel dry are no dry work",
	Bad:    "Water: dry   (glass: lead crystal)",
	Good:   "Water: drip",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		if !f.lead {
			f.dryOnLeadCoat(found)
			return
		}
		var first *check.Finding
		say := func(span source.Span, step int) {
			if first != nil {
				first.Also = append(first.Also, diag.Site{Span: span, Step: step})
				return
			}
			first = &check.Finding{
				Span: span, Step: step,
				Message: f.leadName() + " is worked dry here. No sheet is made for that, not even a draft.",
				Help:    "Work it wet: `Water: drip`, `spray` or `flood`.",
			}
			if f.r.GlassUnknown {
				first.Help += " If the glass is known to hold no lead, say which it is."
			}
		}
		said := map[int]bool{}
		for i := range f.steps {
			s := &f.steps[i]
			if s.p.Dry && s.s.Working() && !s.blast {
				said[s.s.Number] = true
				say(s.at(s.s.Water.Span), s.s.Number)
			}
		}
		for _, h := range f.scan.hits {
			if h.sign != signDry && h.sign != signNoWater || !f.told(h.at) {
				continue
			}
			span := f.wordAt(h.at)
			step := f.stepAt(span)
			if said[step] || step > 0 && f.steps[step-1].blast || !f.dryWorkAt(h.at) && !f.workWithoutWaterAt(h.at) {
				continue
			}
			said[step] = true
			say(span, step)
		}
		if first != nil {
			found(*first)
		}
	},
}

// dryWorkAt says whether the word "dry" at a byte tells the reader to work
// without water: "finish it dry", "the last bit is done dry". To dry, to test
// dry and to let dry are no such work.
func (f *safety) dryWorkAt(at int) bool {
	text := f.read.Bytes
	start, end := sentence(text, at)
	if spinsDry(text[max(0, start-farSpin):end]) {
		return false
	}
	words := readNote(string(text[start:end])).words
	i := 0
	for i < len(words) && words[i].end <= at-start {
		i++
	}
	if i == len(words) || words[i].text != "dry" || words[i].mood != plain {
		return false
	}
	next := ""
	if i+1 < len(words) && words[i+1].gap == space {
		next = words[i+1].text
	}
	if dryDeeds[stem(next)] && strings.HasSuffix(next, "ing") || next == "grind" || next == "saw" || next == "sand" {
		// "Dry grinding puts lead into the air" says what happens.
		return i+2 >= len(words) || words[i+2].gap != space || !happens[words[i+2].text]
	}
	if i == 0 || words[i].gap != space {
		return false
	}
	before := words[i-1].text
	switch {
	case before == "a":
		if !dryTools[next] {
			return false
		}
	case notBeforeDry[before], dryThings[next]:
		return false
	}
	for j := i - 1; j >= 0 && i-j <= 7; j-- {
		switch w := &words[j]; {
		case notDryWork[w.stem]:
			return false
		case w.mood != plain:
		case dryOrders[w.text] && imperative(words, j):
			return true
		case dryDone[w.text] && j > 0 && (words[j-1].text == "is" || words[j-1].text == "are" || words[j-1].text == "be"):
			return true
		}
		if words[j].gap != space {
			return false
		}
	}
	return false
}

// workWithoutWaterAt says whether the words at a byte tell the reader to work
// without water: "the last pass goes without water".
func (f *safety) workWithoutWaterAt(at int) bool {
	text := f.read.Bytes
	start, end := sentence(text, at)
	words := readNote(string(text[start:end])).words
	i := 0
	for i < len(words) && words[i].end <= at-start {
		i++
	}
	if i < len(words) && (words[i].text == "water" || words[i].text == "off") {
		n := note{words}
		return n.plainly(tapShut) != "" && !spinsDry(text[start:at])
	}
	if i == 0 || i >= len(words) || words[i].text == "no" && words[i-1].text != "with" || words[i].text != "no" && words[i].text != "without" {
		return false
	}
	water := i + 1
	for water < len(words) && water < i+3 && words[water].text != "water" {
		water++
	}
	if water >= len(words) || words[water].text != "water" || water+1 < len(words) && words[water+1].gap == space && !afterWater[words[water+1].text] {
		return false
	}
	for j := i - 1; j >= 0 && i-j <= 8; j-- {
		switch w := &words[j]; {
		case notDryWork[w.stem] || conditions[w.text]:
			return false
		case w.mood != plain:
		case dryOrders[w.text] && (imperative(words, j) || secondOrder(words, j)), w.text == "goes" || w.text == "go",
			dryDone[w.text] && j > 0 && (words[j-1].text == "is" || words[j-1].text == "are" || words[j-1].text == "be"):
			return true
		}
		if words[j].gap != space {
			return false
		}
	}
	return false
}

// tapShut says that the work goes on with the water off.
var tapShut = patterns("water off for the last", "off the water for the last", "water off for a few", "off the water for a few", "water off and work", "water off and grind", "water off and polish",
	"off the water and work", "off the water and grind", "off the water and polish", "water off and go on", "off the water and go on", "water off and finish", "off the water and finish")

// afterWater are words that may follow "without water" where it ends a thought.
var afterWater = wordSet("so until for to and then at in on if now here please because as")

// farSpin is how many bytes before a sentence are looked at for a wheel that is
// spun dry.
const farSpin = 60

// spinsDry says whether the words tell how a wheel is spun dry with the work
// off it and the water off.
func spinsDry(text []byte) bool {
	return contains(string(text), "spin", "water off", "off the water", "work off", "lift the work", "lift the piece")
}

// Words of dry work: common practice.
var (
	dryDeeds  = stemSet("grind sand saw polish cut work smooth lap buff linish drill")
	dryOrders = wordSet("give do finish run grind sand saw smooth polish work cut rub drill go buff ease take touch lap linish hone bevel seam belt start end brush")
	dryDone   = wordSet("done finished worked ground sawn sanded polished smoothed cut rubbed taken run")
	happens   = wordSet("puts raises harms makes throws sends poisons kills is gives brings means")
	// dryTools may stand behind "a dry" where glass is worked with it.
	dryTools = wordSet("pad felt wheel disc disk belt paper stone lap")
	// notBeforeDry stand before a "dry" that is to be or to be made.
	notBeforeDry = wordSet("to and or then until till is are be when once the your wipe keep stay stays pat let stand while if but not than from")
	// dryThings stand behind a "dry" that is theirs.
	dryThings = wordSet("hand hands cloth rag towel side place side spot mask pot powder dust out off bench rack")
	// notDryWork are deeds done dry.
	notDryWork = stemSet("test check look inspect see judge view measure mark mask tape tap store pack stand let leave wipe wash rinse keep weigh wrap compare " +
		"read photograph sign dress ring rack hang blow towel")
)

// dryOnLeadCoat finds dry work on the enamel, paint, lustre or gilding of a piece
// whose glass holds no lead. What is in such a skin nobody can see, so that it is
// an error and no refusal.
func (f *safety) dryOnLeadCoat(found func(check.Finding)) {
	if !f.leadCoat {
		return
	}
	on := f.r.Coating.On
	for i := range f.steps {
		s := &f.steps[i]
		if !s.p.Dry || !s.works() || on.OK && !slices.ContainsFunc(s.p.Works, func(w *recipe.Surface) bool { return w.Name.Value == on.Value }) {
			continue
		}
		found(check.Finding{
			Span: s.at(s.s.Water.Span), Step: s.s.Number, Severity: diag.Error,
			Message: "The " + f.r.Coating.Kind.Value + " on the piece may hold lead, and " + stepNo(s.s) + " works it dry.",
			Help:    "Work it wet: `Water: drip`, `spray` or `flood`.",
		})
		return
	}
}

// leadName is the glass for a sentence.
func (f *safety) leadName() string {
	if f.r.GlassUnknown || f.r.Glass.Value == nil {
		return "Unknown glass, which counts as lead glass,"
	}
	return capital(f.r.Glass.Value.Name) + ", which is handled as lead glass,"
}
