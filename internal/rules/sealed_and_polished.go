package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var sealedAndPolished = check.Rule{
	ID: "sealed-and-polished", Severity: diag.Warning, Concern: diag.Piece,
	Title: "A surface is sealed or polished, not both.",
	Why: "Oil, wax and sealer fill the pores of a matte face so that it takes no finger marks. Work that comes after them takes them off again, fouls pad and brush, " +
		"and floats grit. On a polish there is nothing to fill: they stand on it as a smear.",
	Source: "common practice",
	Quiet:  "the surface stops at matte, fine matte or satin and nothing works it after the sealing, the text forbids sealing, or a seal, wax or oil serves to hold, mark or cover; work after sealing is an error",
	Bad:    "## Seal the face with oil   (and cerium on it, before or after)",
	Good:   "## Seal the back with oil   (matte, its last step)",
	Check: func(c *check.Context, found func(check.Finding)) {
		if c.Recipe.File == nil || !safetyOf(c).scan.has(signSeal) {
			return
		}
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if step.Working() || step.OnlyIf.Written() || len(step.Surfaces) == 0 && !step.Every || !step.All.Known() || !seals(step) {
				continue
			}
			for j := range c.Plan.Chains {
				chain := &c.Plan.Chains[j]
				if s := chain.Surface; !untouched(s) && names(step, s) {
					sealedWith(chain, step, found)
				}
			}
		}
	},
}

func sealedWith(chain *process.Chain, step *recipe.Step, found func(check.Finding)) {
	s := chain.Surface
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) {
			continue
		}
		switch {
		case w.Step.Number > step.Number:
			found(check.Finding{
				Span: abrasiveSpan(w.Step), Step: w.Step.Number, Surface: s.Name.Value, Severity: diag.Error,
				Message: capital(stepNo(w.Step)) + " works " + the(s) + " with " + nameOf(w.Abrasive) + " after " + stepNo(step) + " sealed " + several{s}.them() + ".",
				Help:    "Seal last, or leave the sealing out.",
			})
			return
		case isWork(w.Abrasive, trade.Polish):
			found(check.Finding{
				Span: step.Span, Step: step.Number, Surface: s.Name.Value,
				Message: capital(stepNo(step)) + " seals " + the(s) + ", which " + stepNo(w.Step) + " polished with " + nameOf(w.Abrasive) + ". There is nothing left to fill.",
				Help:    "Leave the sealing out, or stop at matte or satin and seal that.",
			})
			return
		}
	}
}

var (
	sealWords = stemSet("seal sealer sealant")
	fillWords = stemSet("wax oil")
	// otherwise are the stems beside which wax, oil and a seal fill no pores: what
	// holds, marks or covers, and what is taken off.
	otherwise = stemSet("pencil crayon sticky dopping dop stick mark soluble machine remove strip clean degrease off rag rags residue " +
		"tape mask bung cork plug stopper mouth bag film vinyl resist wrap lid pot bucket jar bin bottle box")
)

// seals says whether a step that takes no glass off seals a surface.
func seals(step *recipe.Step) bool {
	if len(step.Mask) > 0 {
		return false
	}
	words := splitWords(stepWords(step))
	markMoods(words)
	filled := false
	for i := range words {
		if otherwise[words[i].stem] {
			return false
		}
		filled = filled || words[i].mood == plain && (sealWords[words[i].stem] || fillWords[words[i].stem])
	}
	return filled
}
