package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var surfaceNeverWorked = check.Rule{
	ID: "surface-never-worked", Severity: diag.Warning, Concern: diag.Card,
	Title: "Every surface with a stop is worked by some step.",
	Why: "The sheet promises what no step does. Either a step is missing, or the surface is left as it comes and should say so: " +
		"a stub that is to be removed wants a saw, an arris that is to be seamed wants a pad.",
	Source: "common practice",
	Quiet:  "the surface stops at untouched, or arrives as it is to be left (sandblasted or ground, and to stay matte)",
	Bad:    "- {name: back, shape: flat, from: as cast, to: matte}   (and no step that names the back)",
	Good:   "- {name: back, shape: flat, from: as cast, to: untouched}",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			stop := stopOf(chain.Surface)
			if stop == nil || untouched(chain.Surface) || worked(chain) || unreadable(c.Recipe) || arrivesSo(chain.Surface) {
				continue
			}
			s := chain.Surface
			f := check.Finding{
				Span: s.To.Span, Surface: s.Name.Value,
				Message: capital(the(s)) + verb(s, " is", " are") + " to " + becomes(stop) + ", and no step works " + several{s}.them() + ".",
				Help:    "Add a step with `Surface: " + s.Name.Value + "`, or write `to: untouched` if nothing is done there.",
			}
			switch {
			case len(chain.Works) > 0 && chain.Works[0].Masked && uses(chain.Works[0].Step, s):
				// A step names it under its mask: that rule says it.
				continue
			case len(chain.Works) > 0 && chain.Works[0].Masked:
				f.Message = capital(the(s)) + verb(s, " is", " are") + " to " + becomes(stop) + ", and" + verb(s, " is", " are") + " under a mask whenever all is worked. No step works " + several{s}.them() + "."
				f.Help = "Write `Unmask: " + s.Name.Value + "` before it is worked, or `to: untouched` if nothing is done there."
			case len(chain.Works) > 0:
				f.Message = capital(the(s)) + verb(s, " is", " are") + " to " + becomes(stop) + ", and only " + stepNo(chain.Works[0].Step) + " works " + several{s}.them() + ", which is done only if something is seen."
				f.Help = "Add a step that always works " + several{s}.them() + ", or take the `Only if` out."
			case stop.Name == "seamed":
				f.Help = "Add a step that seams " + several{s}.them() + ": a hand pad, wet, long strokes. Write `to: untouched` if nothing is done there."
			case stop.Name == "removed":
				f.Help = "Add a step that takes " + several{s}.them() + " off: the saw, or a coarse belt."
			}
			found(f)
		}
	},
}

// becomes is what a surface is to do: "come to satin", "be seamed".
func becomes(f *trade.Finish) string {
	if f.Rank == 0 {
		return "be " + f.Name
	}
	return "come to " + f.Name
}

// worked says whether any step takes glass off the surface.
func worked(chain *process.Chain) bool {
	for i := range chain.Works {
		if live(&chain.Works[i]) {
			return true
		}
	}
	return false
}

// unreadable says whether a step names a surface that could not be found, or
// works and names none: then it may be any of them that is worked there, and
// that has been reported.
func unreadable(r *recipe.Recipe) bool {
	for i := range r.Steps {
		if namesNoSurface(&r.Steps[i]) {
			return true
		}
		for _, use := range r.Steps[i].Surfaces {
			if use.Surface == nil {
				return true
			}
		}
	}
	return false
}

// arrivesSo says whether a surface comes to the bench as it is to be left.
func arrivesSo(s *recipe.Surface) bool {
	if !s.From.OK {
		return false
	}
	stop := stopOf(s)
	switch s.From.Value.How {
	case "sandblasted", "ground":
		return stop.Rank == 1
	case "fire polished":
		return stop.Polish
	}
	return false
}
