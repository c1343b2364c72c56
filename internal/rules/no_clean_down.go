package rules

import (
	"slices"
	"strings"
	"unicode"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var noCleanDown = check.Rule{
	ID: "no-clean-down", Severity: diag.Warning, Concern: diag.Piece,
	Title:  "Shared kit is washed before a finer grade comes to it, and the piece before pumice or cerium does.",
	Why:    "A few grains that stay on the plate, in the water or in the apron scratch the next grade, and a scratch found at the polish costs the whole way back.",
	Source: "common practice",
	Quiet: "each grade has its own machine or its own plate, the next step there is not finer, a wash stands between the two, or grit-carry-over says it; " +
		"the piece is washed or a Clean-down of any kind written between the grind and the pumice, or the pumice and the cerium. " +
		"A Clean-down after work elsewhere counts where it names the plate, lap, disc, wheel, belt or machine, or everything",
	Bad:   "Abrasive: silicon carbide F220   (on the plate that F80 was on, with no Clean-down)",
	Good:  "Clean-down: scrape the slurry to its pot, scrub the plate, new bucket",
	Check: checkCleanDown,
}

// kitPair is a step with its grain, and the next on the same machine.
type kitPair struct{ grit, next *recipe.Step }

// wiped is what is said where only a cloth goes over the machine between the two.
func (p kitPair) wiped() string {
	return capital(stepNo(p.grit)) + " only has the " + machineName(p.grit.Machine.Value) + " wiped with a cloth before " + stepNo(p.next) + " comes to it with " +
		nameOf(&p.next.Abrasive.Value) + ". A wipe spreads loose grain; it is no wash."
}

func checkCleanDown(c *check.Context, found func(check.Finding)) {
	var pairs []kitPair
	steps := c.Recipe.Steps
	for i := range steps {
		step := &steps[i]
		if !step.Abrasive.OK || !shared(step) {
			continue
		}
		next := nextThere(steps, i)
		if next == nil || !next.Abrasive.OK || !finerGrain(&step.Abrasive.Value, &next.Abrasive.Value) || ownPlates(step, next) ||
			onlyBeyond(c, next) || washed(steps[i:next.Number-1]) {
			continue
		}
		if loose(&step.Abrasive.Value) || !isWork(&next.Abrasive.Value, trade.Grind) || step.Machine.Value.Kind.Tooled {
			pairs = append(pairs, kitPair{step, next})
		}
	}
	unwashed := unwashedPieces(c)
	if len(pairs)+len(unwashed) == 0 {
		return
	}
	// Where the note on carrying grit over is missing too, that rule says it.
	said := map[int]bool{}
	gritCarryOver.ready().Check(c, func(f check.Finding) {
		said[f.Step] = true
		for _, s := range f.Also {
			said[s.Step] = true
		}
	})
	pairs = slices.DeleteFunc(pairs, func(p kitPair) bool { return said[p.grit.Number] })
	for _, p := range pairs {
		said[p.grit.Number] = true
	}
	defer tellUnwashed(unwashed, said, found)
	places := make([]place, len(pairs))
	for i, p := range pairs {
		places[i] = place{p.grit, p.grit.Span}
	}
	gatherAt(places, found, func(at []place, subject string) check.Finding {
		f := check.Finding{Help: "Write `Clean-down:` with what is washed: piece, plate, hands, bucket, apron."}
		f.Mend = cleanDowns(at, kitWash)
		if len(at) > 1 {
			f.Message = subject + " are each followed by a finer grain on the same machine, and nothing is written of washing the machine in between."
			return f
		}
		first := pairs[slices.IndexFunc(pairs, func(p kitPair) bool { return p.grit == at[0].step })]
		f.Message = subject + " leaves " + nameOf(&first.grit.Abrasive.Value) + " on the " + machineName(first.grit.Machine.Value) + ", " +
			stepNo(first.next) + " comes to it with " + nameOf(&first.next.Abrasive.Value) + ", and nothing is written of washing the machine in between."
		if wipedOnly(first.grit) {
			f.Message = first.wiped()
		}
		return f
	})
}

// cleanDowns is the correction that writes a Clean-down into each of the steps:
// none where one of them has such a line already, or runs dry.
func cleanDowns(places []place, wash func(*recipe.Step) string) diag.Mend {
	var m diag.Mend
	numbers := make([]string, len(places))
	for i, p := range places {
		if p.step.CleanDown.Written() || p.step.Water.OK && p.step.Water.Value.Kind != nil && !p.step.Water.Value.Kind.Wet {
			return diag.Mend{}
		}
		one := addFact(p.step, "Clean-down", wash(p.step), belowCleanDown)
		if !one.Known() {
			return diag.Mend{}
		}
		m.Does, m.Edits = one.Does, append(m.Edits, one.Edits...)
		numbers[i] = itoa(p.step.Number)
	}
	if len(places) > 1 {
		m.Does = "Writes a Clean-down into steps " + listed(numbers, "and") + "."
	}
	return m
}

// kitWash is a Clean-down that leaves no grain on a machine.
func kitWash(s *recipe.Step) string {
	return "wash piece, hands, apron and the " + machineName(s.Machine.Value) + "; fresh water"
}

// ownPlates says whether two loose grains lie on two hard plates of the house.
func ownPlates(a, b *recipe.Step) bool {
	x, y := a.Medium.Value, b.Medium.Value
	return x.Kind != nil && y.Kind != nil && x.Kind.Lap == trade.Hard && y.Kind.Lap == trade.Hard &&
		x.Stock != nil && y.Stock != nil && x.Stock != y.Stock
}

// onlyBeyond says whether all a step does is to take surfaces beyond their
// stop: then it is one step too many, and that is said.
func onlyBeyond(c *check.Context, step *recipe.Step) bool {
	works := c.Plan.Steps[step.Number-1].Works
	for _, s := range works {
		beyond := false
		for i := range c.Plan.Chains {
			if chain := &c.Plan.Chains[i]; chain.Surface == s {
				for j := range chain.Works {
					beyond = beyond || chain.Works[j].Step == step && isBeyond(c.House, chain, &chain.Works[j])
				}
			}
		}
		if !beyond {
			return false
		}
	}
	return len(works) > 0
}

// shared says whether the step is done on a machine that others are done on
// too. What is held in the hand is its own kit, and air carries a blast away.
func shared(s *recipe.Step) bool {
	return s.Machine.OK && s.Machine.Value.Kind != nil && s.Machine.Value.Kind.Powered && !blasting(s)
}

// nextThere is the next working step on the same machine.
func nextThere(steps []recipe.Step, i int) *recipe.Step {
	key := machineKey(steps[i].Machine.Value)
	for j := i + 1; j < len(steps); j++ {
		if steps[j].Working() && machineKey(steps[j].Machine.Value) == key && !steps[j].OnlyIf.Written() {
			return &steps[j]
		}
	}
	return nil
}

// washed says whether the machine of the first step is cleaned after it, by the
// step itself, by a Clean-down further on that names the machine, or by a wash.
func washed(steps []recipe.Step) bool {
	for i := range steps {
		s := &steps[i]
		if cleanedDown(s) && !(loose(&steps[0].Abrasive.Value) && wipedOnly(s)) && (i == 0 || machineKey(s.Machine.Value) == machineKey(steps[0].Machine.Value) || cleansKit(s)) {
			return true
		}
		if i > 0 && !s.Working() && s.Water.OK && s.Water.Value.Kind != nil && s.Water.Value.Kind.Wet {
			return true
		}
	}
	return false
}

// noMarks takes out what stands inside a word: "n/a", "don't".
var noMarks = strings.NewReplacer("/", "", "'", "")

func notLetter(r rune) bool { return !unicode.IsLetter(r) }

// wipedOnly says whether all a Clean-down tells the reader to do is to wipe with a
// cloth: that spreads a loose grain and takes it nowhere.
func wipedOnly(s *recipe.Step) bool {
	wiped, cloth := false, false
	for word := range strings.FieldsFuncSeq(strings.ToLower(s.CleanDown.Value), notLetter) {
		switch {
		case word == "wipe" || word == "wiped" || word == "dust":
			wiped = true
		case cloths[word]:
			cloth = true
		case carriesOff[word]:
			return false
		}
	}
	return wiped && cloth
}

// cloths are what a plate is wiped with, and carriesOff what carries grain away.
var (
	cloths     = wordSet("cloth rag towel tissue paper cloths rags towels sleeve dry")
	carriesOff = wordSet("wash washed washing rinse rinsed rinsing scrub scrubbed hose hosed flush flushed scrape scraped squeegee sponge sponged bucket buckets water tap new fresh " +
		"change changed swap swapped own brush brushed clean cleaned soak shower swill douse bin hood cabinet")
)

// kitWords name the machine and what lies on it.
var kitWords = map[string]bool{
	"plate": true, "plates": true, "platen": true, "lap": true, "laps": true, "disc": true, "discs": true, "disk": true, "wheel": true, "wheels": true,
	"belt": true, "belts": true, "machine": true, "machines": true, "everything": true, "all": true, "pan": true, "pans": true, "lathe": true, "spindle": true,
	"tray": true, "ring": true, "basin": true, "kit": true,
}

// cleansKit says whether the Clean-down of a step names a machine or what lies
// on it.
func cleansKit(s *recipe.Step) bool {
	for word := range strings.FieldsFuncSeq(strings.ToLower(s.CleanDown.Value), notLetter) {
		if kitWords[word] {
			return true
		}
	}
	return false
}

// finerGrain says whether b would be scratched by grains that a leaves about.
// Here the grain itself counts, not what its tool acts like.
func finerGrain(a, b *trade.Abrasive) bool {
	if a.Family == nil || b.Family == nil {
		return false
	}
	if x, y := workRank(a.Family.Work), workRank(b.Family.Work); x != y {
		return x < y
	}
	if a.Grade.Scale == grade.Pumice && b.Grade.Scale == grade.Pumice {
		return b.Grade.Order < a.Grade.Order
	}
	if a.Family.Work != trade.Grind {
		return false
	}
	x, y := a.Grade.Size, b.Grade.Size
	return x > 0 && y > 0 && y < x && !nearSize(x, y)
}

func workRank(w trade.Work) int {
	switch w {
	case trade.Grind:
		return 1
	case trade.Prepolish:
		return 2
	case trade.Polish:
		return 3
	}
	return 0
}
