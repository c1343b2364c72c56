package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var tileContradictsStop = check.Rule{
	ID: "tile-contradicts-stop", Severity: diag.Error, Concern: diag.Piece,
	Title: "The sample tile shows the finish the surface stops at.",
	Why: "The word and the tile are held against each other at the end of the work. Where they differ, half the house works to the one " +
		"and half to the other. A checkpoint that asks for a tile brighter than the stop is a warning.",
	Source: "common practice",
	Quiet:  "the stop is no finish (seamed, removed, untouched), the tile stands at the same place in the order, or a checkpoint on the way names a duller one",
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
		for i := range c.Recipe.Steps {
			tilesInChecks(c, &c.Recipe.Steps[i], found)
		}
	},
}

// tilesInChecks finds a checkpoint that asks for a tile brighter than anything
// the step is about is to become.
func tilesInChecks(c *check.Context, step *recipe.Step, found func(check.Finding)) {
	for i := range step.Body {
		one := &step.Body[i]
		if one.Kind != recipe.Check || one.Check.Tile == "" {
			continue
		}
		shows := tileShows(c.House, one.Check.Tile)
		if shows == nil || shows.Rank == 0 {
			continue
		}
		brightest := brightestStop(c.Recipe, step)
		if brightest == nil || shows.Rank <= brightest.Rank {
			continue
		}
		found(check.Finding{
			Span: one.Check.Span, Step: step.Number, Severity: diag.Warning,
			Message: "Step " + itoa(step.Number) + " asks for tile " + one.Check.Tile + ", " + shows.Name + ", and nothing it is about comes further than " + brightest.Name + ".",
			Help:    "Write the tile that shows " + brightest.Name + ", or a brighter stop.",
		})
	}
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
