package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/trade"
)

var sameSizeTwice = check.Rule{
	ID: "same-size-twice", Severity: diag.Warning, Concern: diag.Grade,
	Title: "Two steps that follow each other are not one grain under two names.",
	Why: "US 400 and P800 are both near 22 µm. The second step costs its minutes and takes nothing off that the first left, and a grade that was " +
		"meant to stand between is missing. So is it where a step that is \"the third disc\" by its title takes the second one again.",
	Source: "common practice",
	Quiet:  "the same tool is taken again, as in a re-seam, and the title speaks of no finer one; the two meet the glass in different ways, or one of them is pumice or cerium",
	Bad:    "Abrasive: silicon carbide paper P800   (after silicon carbide paper CAMI 400)",
	Good:   "Abrasive: silicon carbide paper P1500   (after silicon carbide paper CAMI 400)",
	Check:  checkSameSize,
}

func checkSameSize(c *check.Context, found func(check.Finding)) {
	var faults together
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		neighbours(chain, func(before, w *process.Work) {
			if !w.Rework && twice(before, w) {
				faults.add(faultOf(before, w, ""), chain.Surface, before, w)
			}
		})
	}
	faults.tell(found, func(_ fault, s several, before, w *process.Work) check.Finding {
		if sameGrade(before.Abrasive, w.Abrasive) {
			f := check.Finding{
				Message: "By its title step " + itoa(w.Step.Number) + ", \"" + w.Step.Title + "\", goes on to another grade, and it works " + s.the() + " with " + grainOf(w) + " as " +
					stepNo(before.Step) + " has.",
				Help: "Write the grade that was meant, or take the step out.",
			}
			return f
		}
		return check.Finding{
			Message: "Step " + itoa(w.Step.Number) + " works " + s.the() + " with " + grainOf(w) + ", and " + stepNo(before.Step) +
				" has worked " + s.them() + " with " + grainOf(before) + ". That is one size under two names.",
			Help: "Take one of the two out, or write the grade that was meant.",
		}
	})
}

// twice says whether two works are one grain under two names.
func twice(before, w *process.Work) bool {
	a, b := before.Abrasive, w.Abrasive
	if a.Family == nil || b.Family == nil || !a.Family.Comparable || !b.Family.Comparable {
		return false
	}
	if sameGrade(a, b) {
		return a.Bond == b.Bond && before.Step != w.Step && saysFiner(w.Step.Title)
	}
	soft := outcomes().gives
	if soft[a.Bond] != soft[b.Bond] && !(actsLike(a).Written() && actsLike(b).Written()) {
		return false
	}
	return nearSize(before.Grain, w.Grain)
}

func sameGrade(a, b *trade.Abrasive) bool {
	return a.Grade.Label == b.Grade.Label && a.Grade.Scale == b.Grade.Scale
}

// What a title says of a step that goes on to a finer grade: "third disc", "next
// grit", "finer". A second brush or plate may carry the same grain.
var (
	nextWords  = wordSet("second third fourth fifth next last final")
	gradeNouns = wordSet("disc disk discs grit grade grain belt paper pad stone")
)

// saysFiner says whether the title of a step speaks of another, finer grade.
func saysFiner(title string) bool {
	words := splitWords(title)
	for i, w := range words {
		if w.text == "finer" || w.text == "finest" || nextWords[w.text] && i+1 < len(words) && gradeNouns[words[i+1].text] {
			return true
		}
	}
	return false
}
