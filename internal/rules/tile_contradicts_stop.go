package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var tileContradictsStop = check.Rule{
	ID: "tile-contradicts-stop", Severity: diag.Error, Concern: diag.Piece,
	Title: "The sample tile shows the finish the surface stops at.",
	Why: "The word and the tile are held against each other at the end of the work. Where they differ, half the house works to the one " +
		"and half to the other. A checkpoint that asks for a tile brighter than the stop, or at the last step for a duller one, is a warning.",
	Source: "common practice",
	Quiet:  "the stop is no finish (seamed, removed, untouched), the tile stands at the same place in the order, or a checkpoint on the way, or one that speaks of a tile to be passed, names a duller one",
	Bad:    "- {name: base, shape: flat, to: bright polish, tile: T2}   (T2 is the satin tile)",
	Good:   "- {name: base, shape: flat, to: bright polish, tile: T5}",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Surfaces {
			s := &c.Recipe.Surfaces[i]
			stop, shows := stopOf(s), tileShows(c.House, s.Tile.Value)
			if !s.Tile.OK || stop == nil || stop.Rank == 0 || shows == nil || shows.Rank == 0 || shows.Rank == stop.Rank {
				continue
			}
			f := check.Finding{
				Span: s.Tile.Span, Surface: s.Name.Value,
				Message: capital(the(s)) + verb(s, " is", " are") + " to come to " + stop.Name + ", and tile " + s.Tile.Value + " shows " + shows.Name + ".",
				Help:    "Write `to: " + shows.Name + "`, or the tile that shows " + stop.Name + ".",
			}
			if other := tileOf(c.House, stop); other != "" {
				f.Help = "Write `tile: " + other + "`, or `to: " + shows.Name + "`."
			}
			found(f)
		}
		tilesInChecks(c, found)
	},
}

// tilesInChecks finds checkpoints that ask for a tile brighter than anything
// their step is about is to become. Where the step itself goes beyond the stop,
// that is said.
func tilesInChecks(c *check.Context, found func(check.Finding)) {
	type cause struct {
		tile           string
		shows, becomes *trade.Finish
	}
	var order []cause
	places := map[cause][]place{}
	for i := range c.Recipe.Steps {
		step := &c.Recipe.Steps[i]
		for j := range step.Body {
			one := &step.Body[j]
			if one.Kind != recipe.Check || one.Check.Tile == "" {
				continue
			}
			shows := tileShows(c.House, one.Check.Tile)
			if shows == nil || shows.Rank == 0 {
				continue
			}
			brightest := brightestStop(c.Recipe, step)
			if brightest == nil || ownTile(c.Recipe, step, one.Check.Tile) || goneBeyond(c, step) {
				continue
			}
			if shows.Rank <= brightest.Rank && !(doneHere(c, step, shows) && !compares(one.Check.Text)) {
				continue
			}
			why := cause{one.Check.Tile, shows, brightest}
			if places[why] == nil {
				order = append(order, why)
			}
			places[why] = append(places[why], place{step, one.Check.Span})
		}
	}
	for _, why := range order {
		gather(places[why], found, func(subject string, many bool) check.Finding {
			asks, is := " asks for tile ", "it is"
			if many {
				asks, is = " ask for tile ", "they are"
			}
			if why.shows.Rank < why.becomes.Rank {
				return check.Finding{
					Severity: diag.Warning,
					Message:  subject + asks + why.tile + ", " + why.shows.Name + ", and nothing " + is + " about stops there. The stop is " + why.becomes.Name + ".",
					Help:     "Write the tile that shows " + why.becomes.Name + ", or the stop that is meant.",
				}
			}
			return check.Finding{
				Severity: diag.Warning,
				Message:  subject + asks + why.tile + ", " + why.shows.Name + ", and nothing " + is + " about comes further than " + why.becomes.Name + ".",
				Help:     "Write the tile that shows " + why.becomes.Name + ", or a brighter stop.",
			}
		})
	}
}

// doneHere says whether a step is the last on all it is about, and none of that
// stops at the finish shown.
func doneHere(c *check.Context, step *recipe.Step, shows *trade.Finish) bool {
	worked := false
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		if !names(step, chain.Surface) {
			continue
		}
		stop := stopOf(chain.Surface)
		if stop == nil || untouched(chain.Surface) || stop.Rank == shows.Rank {
			return false
		}
		var last *process.Work
		for j := range chain.Works {
			if w := &chain.Works[j]; live(w) {
				last = w
			}
		}
		if last == nil {
			continue
		}
		// What no step polishes is said by finish-not-reached.
		if last.Step.Number > step.Number || stop.Polish && !isWork(last.Abrasive, trade.Polish) {
			return false
		}
		worked = worked || stop.Rank > 0
	}
	return worked
}

// compareWords say that a tile is one to be passed: "brighter than tile T3".
var compareWords = stemSet("bright than past beyond over above before")

func compares(text string) bool {
	for _, w := range splitWords(text) {
		if compareWords[w.stem] {
			return true
		}
	}
	return false
}

// ownTile says whether the tile is that of a surface the step is about: where it
// contradicts the stop, that is said at the surface.
func ownTile(r *recipe.Recipe, step *recipe.Step, tile string) bool {
	for i := range r.Surfaces {
		if s := &r.Surfaces[i]; s.Tile.Value == tile && names(step, s) {
			return true
		}
	}
	return false
}

// goneBeyond says whether a work on a surface the step is about, up to the step,
// takes it beyond its stop.
func goneBeyond(c *check.Context, step *recipe.Step) bool {
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		if !names(step, chain.Surface) {
			continue
		}
		for j := range chain.Works {
			if w := &chain.Works[j]; w.Step.Number <= step.Number && isBeyond(c.House, chain, w) {
				return true
			}
		}
	}
	return false
}

// brightestStop is the brightest stop of the surfaces a step is about; nil
// where one of them is left as it came or is not known, since that one may be
// as bright as it likes.
func brightestStop(r *recipe.Recipe, step *recipe.Step) *trade.Finish {
	var brightest *trade.Finish
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		if !names(step, s) {
			continue
		}
		stop := stopOf(s)
		if stop == nil || untouched(s) && uses(step, s) {
			return nil
		}
		if stop.Rank > 0 && (brightest == nil || stop.Rank > brightest.Rank) {
			brightest = stop
		}
	}
	return brightest
}

// tileShows is the finish a tile shows, nil where it is not known.
func tileShows(h *trade.House, code string) *trade.Finish {
	if code == "" {
		return nil
	}
	tile := h.FindTile(code)
	if tile == nil {
		return nil
	}
	return h.FindFinish(tile.Finish)
}

// tileOf is the code of a tile that shows a finish.
func tileOf(h *trade.House, f *trade.Finish) string {
	for _, t := range h.Tiles {
		if h.FindFinish(t.Finish) == f {
			return t.Code
		}
	}
	return ""
}
