package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/wear"
)

// fineGrain in µm is where grinding to shape ends and refining begins.
const fineGrain = 60

var stockLeft = check.Rule{
	ID: "stock-left", Severity: diag.Warning, Concern: diag.Grade,
	Title: "A sawn or cast face is true before a fine grain begins.",
	Why: "A saw leaves waves, a mould its skin, a fusing its swell. A fine grain takes them off so slowly that it wears out first, rides on the high places, and the low ones stay rough to the end. " +
		"What comes off is reckoned; the unevenness is the usual one, 0.2 mm of a saw, 0.5 mm as cast and 0.3 mm as fused, unless `from:` says `uneven` and how much.",
	Source: "common practice",
	Quiet:  "the surface is not flat, a ring or an edge and says no `uneven`, stops at untouched, removed or seamed, less than 0.01 mm is left when a grain finer than 60 µm begins, or that step takes it off itself in its minutes",
	Bad:    "Abrasive: silicon carbide F600   (first, on a sawn face)",
	Good:   "Abrasive: silicon carbide F120   (first, until the saw's lines are gone)",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := reckoning(c)
		var ones reckonedOnes
		for i := range r.judged {
			j := &r.judged[i]
			if n := j.uneven(); n >= 0 && !byHandOnAnArris(j.Surface, &j.Steps[n]) {
				key := reckonedFault{step: j.Steps[n].Steps[0].Number, severity: diag.Warning, kind: stockOf(j, n)}
				if byHandOnAnEdge(j.Surface, &j.Steps[n]) {
					key.severity = diag.Note
				}
				key.severity = j.atMost(key.severity, &j.Steps[n])
				ones.add(key, j)
			}
		}
		ones.tell(found, func(j *judged) float64 { return j.Steps[j.uneven()].Before.StockUM }, func(key reckonedFault, j *judged, all several) check.Finding {
			st := &j.Steps[j.uneven()]
			left := two(st.Before.StockUM/1000) + " mm to go"
			if st.Before.StockUM >= 0.995*j.Arrives.StockUM {
				left = "all of it is to go"
			}
			return check.Finding{
				Span: abrasiveSpan(st.Steps[0]),
				Message: key.kind + " is not off " + all.the() + " yet when " + stepNo(st.Steps[0]) + " begins with " + nameOf(&st.Steps[0].Abrasive.Value) + ": " +
					left + ".",
				Help: j.flatten(j.uneven()) + j.guessed(st),
			}
		})
	},
}

// uneven is the first step with a fine grain, where it meets a face not yet true
// and does not make it so; -1 where all is well.
func (j *judged) uneven() int {
	for n := range j.Steps {
		st := &j.Steps[n]
		if n >= j.known {
			return -1
		}
		// Pumice and cerium are fine whatever their number: they bring no face true.
		soft := st.In.Tool.Family == wear.Pumice || st.In.Tool.Family == wear.Cerium
		if st.Cut || st.Blast || st.In.Grain.Value >= fineGrain && !soft {
			continue
		}
		if st.Before.StockUM > stockSlack && st.After.StockUM > stockSlack {
			return n
		}
		return -1
	}
	return -1
}

// stockOf is the unevenness there was, in words of where it came from.
func stockOf(j *judged, n int) string {
	whose, stock := "The", j.Arrives.StockUM
	switch j.Surface.From.Value.How {
	case "sawn":
		whose = "The saw's"
	case "as cast":
		whose = "The casting's"
	}
	for i := range n {
		if j.Steps[i].Cut {
			whose, stock = "The saw's", j.Steps[i].After.StockUM
		}
	}
	text := whose + " " + two(stock/1000) + " mm"
	if whose == "The" {
		text += " of unevenness"
	}
	return text
}

// flatten says how a face is brought true before its n-th step.
func (j *judged) flatten(n int) string {
	const known = "If the face is truer than that, write `uneven` and how much in its `from:`."
	for i := n - 1; i >= 0; i-- {
		st := &j.Steps[i]
		if st.Cut || st.Blast {
			continue
		}
		if need := st.Result.Expected; bearable(need, st) {
			return "Go on with " + stepNo(st.Steps[0]) + " for about " + two(need.Minutes) + " min" + aFace(j, st) + ", or begin with a coarser grade. " + known
		}
		break
	}
	return "Begin with a coarser grade. " + known
}
