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
func gradeBetween(c *check.Context, works []*process.Work) string {
	between := "a grade between " + grainOf(works[0]) + " and " + grainOf(works[1])
	if has := effective(works[1]); has < works[1].Grain && works[0].Grain <= outcomes().wide*works[1].Grain {
		between += ", whose bond gives, so that it marks the glass like about " + two(has) + " µm"
	}
	if stock := stockBetween(c, works[0], works[1]); len(stock) > 0 {
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

// fineEnough says whether what a polish is handed comes from a grain as fine as
// anyone is told to go down to: loose F600, a 325 mesh resin pad.
func (j *judged) fineEnough(origin int) bool {
	const f600, mesh325 = 10, 46
	if origin == arrival {
		return false
	}
	w := j.work(origin)
	if w == nil || w.Grain <= 0 {
		return false
	}
	if outcomes().gives[w.Abrasive.Bond] > 0 && !actsLike(w.Abrasive).Written() {
		return w.Grain <= mesh325
	}
	return w.Grain <= f600
}

// finerFirst is what stands before a polish that cannot clear what it is handed,
// nor pumice before it in any time one can be told to take.
func (j *judged) finerFirst(f clearance, pumice bool) string {
	finer := "a finer grind before it, down to loose F600 or a 325 mesh resin pad"
	if j.fineEnough(f.origin) {
		finer = "a finer grain before it than " + stepNo(j.Steps[f.origin].Steps[0])
	}
	if pumice || j.Steps[f.step].In.Tool.Lap == wear.Pitch {
		return finer
	}
	return finer + ", and then pumice"
}

// near says whether what a step is handed comes from the grade next to its own,
// so that none has its place between them.
func (j *judged) near(f clearance) bool {
	const next = 2.2
	if f.origin == arrival {
		return false
	}
	before, w := j.work(f.origin), j.work(f.step)
	if before == nil || w == nil || !comparable(before.Abrasive, w.Abrasive) {
		return false
	}
	had, has := effective(before), effective(w)
	return has > 0 && had <= next*has
}
