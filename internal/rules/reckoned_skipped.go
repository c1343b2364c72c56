package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/process"
	"coldwright/internal/wear"
)

// next is the step that was the first to grind off what a clearance is handed;
// -1 where there is none before the one at fault.
func (j *judged) next(f clearance) int {
	n := f.origin + 1
	if n >= f.step || !j.Steps[n].Grinds() || j.Steps[n].Cannot != "" {
		return -1
	}
	return n
}

// work is a step as it meets the surface.
func (j *judged) work(n int) *process.Work {
	for i := range j.chain.Works {
		if w := &j.chain.Works[i]; w.Step == j.Steps[n].Steps[0] {
			return w
		}
	}
	return nil
}

// skipped are the two works on a large face between which a grade is missing, so
// that the later one could not take off what it was handed; nil where none is.
func (j *judged) skipped(f clearance) []*process.Work {
	n := f.origin + 1
	if f.origin == arrival || n > f.step || !j.Steps[n].Grinds() || j.Steps[n].Cannot != "" || areaOf(j.Surface) <= outcomes().largeFace {
		return nil
	}
	before, w := j.work(f.origin), j.work(n)
	if before == nil || w == nil || !comparable(before.Abrasive, w.Abrasive) {
		return nil
	}
	had, has := effective(before), effective(w)
	if has <= 0 || had <= outcomes().wide*has {
		return nil
	}
	return []*process.Work{before, w}
}

// gradeBetween is what to put between two works, with what the house's stock has
// for it.
func gradeBetween(c *check.Context, two []*process.Work) string {
	between := "a grade between " + grainOf(two[0]) + " and " + grainOf(two[1])
	if stock := stockBetween(c, two[0], two[1]); len(stock) > 0 {
		between += ", from the stock " + listed(stock, "or")
	}
	return between
}

// shortWork says how the step that was the first to grind off what a clearance
// is handed may do so, where it is not the one at fault: with a grade before it,
// where one is missing, or with more minutes, where it had not half of those it
// needs. None where it did its part.
func (j *judged) shortWork(c *check.Context, f clearance) (ways []string) {
	n := j.next(f)
	if n < 0 {
		return nil
	}
	if two := j.skipped(f); two != nil {
		ways = append(ways, gradeBetween(c, two))
	}
	st := &j.Steps[n]
	if need := st.Result.Expected; st.Result.Verdict == wear.No && bearable(need, st) && need.Minutes > 2*st.In.Minutes.Value {
		ways = append(ways, enough(need.Minutes)+" min"+aFace(j, st)+" of "+powder(st)+" at "+stepNo(st.Steps[0])+", which was to take it off")
	}
	return ways
}
