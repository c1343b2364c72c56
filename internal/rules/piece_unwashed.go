package rules

import (
	"cmp"
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// unwashed is a piece that goes with the grain of one step on it to the pumice
// or cerium of another.
type unwashed struct {
	grit, next *recipe.Step
	on         several
}

// unwashedPieces finds them: each with its own machine, so that nothing has to
// be washed but the piece.
func unwashedPieces(c *check.Context) []unwashed {
	var out []unwashed
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		if untouched(chain.Surface) {
			continue
		}
		var last *recipe.Step
		for j := range chain.Works {
			w := &chain.Works[j]
			if !live(w) {
				continue
			}
			before := last
			last = w.Step
			if before == nil || before.Number >= w.Step.Number || !comesToPowder(&before.Abrasive.Value, w.Abrasive) || onlyBeyond(c, w.Step) ||
				pieceWashed(c.Recipe.Steps[before.Number-1:w.Step.Number]) {
				continue
			}
			n := slices.IndexFunc(out, func(u unwashed) bool { return u.grit == before && u.next == w.Step })
			if n < 0 {
				n, out = len(out), append(out, unwashed{grit: before, next: w.Step})
			}
			out[n].on = append(out[n].on, chain.Surface)
		}
	}
	slices.SortFunc(out, func(a, b unwashed) int {
		return cmp.Or(cmp.Compare(a.grit.Number, b.grit.Number), cmp.Compare(a.next.Number, b.next.Number))
	})
	return out
}

// comesToPowder says whether a surface goes from a grind to pumice or cerium,
// or from pumice to cerium.
func comesToPowder(a, b *trade.Abrasive) bool {
	return a.Family != nil && b.Family != nil && workRank(b.Family.Work) > max(1, workRank(a.Family.Work))
}

// pieceWashed says whether a piece is washed between the first of the steps and
// the last: by a Clean-down, by a wet step that takes nothing off, or in words.
func pieceWashed(steps []recipe.Step) bool {
	for i := range steps {
		s := &steps[i]
		if i < len(steps)-1 && cleanedDown(s) || !s.Working() && s.Water.OK && s.Water.Value.Kind != nil && s.Water.Value.Kind.Wet {
			return true
		}
		for _, w := range splitWords(stepWords(s)) {
			if washWords[w.stem] {
				return true
			}
		}
	}
	return false
}

// tellUnwashed reports those whose first step is not spoken of already.
func tellUnwashed(all []unwashed, said map[int]bool, found func(check.Finding)) {
	all = slices.DeleteFunc(all, func(u unwashed) bool { return said[u.grit.Number] })
	places := make([]place, len(all))
	for i, u := range all {
		places[i] = place{u.grit, u.grit.Span}
	}
	gatherAt(places, found, func(at []place, subject string) check.Finding {
		f := check.Finding{Help: "Write `Clean-down:` with what is washed: piece, hands, bucket, apron. Or put in a step that washes the piece."}
		f.Mend = cleanDowns(at, func(*recipe.Step) string { return "wash piece, hands and apron; fresh water" })
		if len(at) > 1 {
			f.Message = subject + " leave their grain on the piece that goes on to pumice or cerium, and nothing is written of washing it in between."
			return f
		}
		first := all[slices.IndexFunc(all, func(u unwashed) bool { return u.grit == at[0].step })]
		f.Message = subject + " leaves " + nameOf(&first.grit.Abrasive.Value) + " on " + first.on.the() + ", " + stepNo(first.next) + " comes there with " +
			nameOf(&first.next.Abrasive.Value) + ", and nothing is written of washing the piece in between."
		return f
	})
}
