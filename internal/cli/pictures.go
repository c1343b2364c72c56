package cli

import (
	"fmt"
	"path/filepath"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/picture"
	"coldwright/internal/recipe"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
)

// printSamples is the longest side, in samples, that a picture needs: no
// picture stands taller than 90 mm, and at that one of 4 to 3 has 340 dots to
// the inch; a wide one across a page of 170 mm still has 240.
const printSamples = 1600

// fewSamples is the longest side below which a picture cannot fill the 50 mm it
// stands in at 150 dots to the inch.
const fewSamples = 295

// checkPictures says which pictures of a recipe cannot be printed.
func checkPictures(h *house, dir string, r *recipe.Recipe) diag.List {
	var list diag.List
	for _, p := range r.Pictures {
		longer, err := picture.Look(h.root(), h.inside(dir), p.Target)
		switch {
		case err != nil:
			list.Add(badPicture(p.Span, p.Step, err))
		case longer < fewSamples:
			list.Add(diag.Diagnostic{
				Rule: picture.SmallID, Severity: diag.Warning, Concern: diag.Card, Span: p.Span, Step: p.Step,
				Message: fmt.Sprintf("The picture “%s” has only %d dots on its longer side: at 50 mm it would have fewer than 150 to the inch, so it prints smaller.", p.Target, longer),
				Help:    "Take or draw it again, or save it larger from where it came: 600 dots give a clear 50 mm. Enlarging this file adds nothing.",
			})
		}
	}
	return list
}

// loadPictures makes the pictures of a recipe ready for print. One that fails
// is left out; checkPictures or the finding here has said so.
func loadPictures(h *house, dir string, r *recipe.Recipe) (sheet.Pictures, diag.List) {
	if len(r.Pictures) == 0 {
		return nil, nil
	}
	var list diag.List
	ready := sheet.Pictures{}
	for _, p := range r.Pictures {
		if _, done := ready[p.Target]; done {
			continue
		}
		at := [2]string{h.inside(dir), p.Target}
		if known, ok := h.pictures.Load(at); ok {
			ready[p.Target] = known.(*draw.Image)
			continue
		}
		image, err := picture.Load(h.root(), at[0], p.Target, printSamples)
		if err != nil {
			list.Add(badPicture(p.Span, p.Step, err))
			continue
		}
		h.pictures.Store(at, image)
		ready[p.Target] = image
	}
	return ready, list
}

func badPicture(at source.Span, step int, err error) diag.Diagnostic {
	d := diag.Diagnostic{
		Rule: picture.RuleID, Severity: diag.Error, Concern: diag.Card,
		Span: at, Message: err.Error(), Step: step,
	}
	if h, ok := err.(interface{ Help() string }); ok {
		d.Help = h.Help()
	}
	return d
}

// root is the folder pictures must lie in.
func (h *house) root() string { return h.dir }

// inside is a folder as seen from the house.
func (h *house) inside(dir string) string {
	root, err1 := filepath.Abs(h.dir)
	absolute, err2 := filepath.Abs(dir)
	if err1 == nil && err2 == nil {
		if rel, err := filepath.Rel(root, absolute); err == nil {
			return rel
		}
	}
	return "."
}
