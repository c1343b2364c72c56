package cli

import (
	"io"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/layout"
	"coldwright/internal/mend"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/rules"
	"coldwright/internal/source"
)

// standardInput is what a recipe is called that came from no file.
const standardInput = "standard input"

// read is one recipe, read and checked.
type read struct {
	*house
	name string
	// entry is what the house needs of it; nil where the file could not be read.
	entry *check.Entry
	// file is the whole file where something was found in it; of one without a
	// finding the text is let go.
	file *source.File
	// plan is nil too where nobody goes on to work with it.
	plan *process.Plan
	// found is what there is to say of it, across the part of it that only shows
	// beside the house's other recipes.
	found, across diag.List
	// err says why the file could not be read.
	err error
}

// readAll reads and checks recipes on all cores. The result is in the order of
// the names, whatever the order the work was done in. Of what is read the plans
// are kept only where asked for: they are many times as large as the files.
func (e *env) readAll(h *house, names []string, today recipe.Date, keep bool, p *progress) []read {
	if !keep && len(names) <= mostSpared {
		spareGarbage()
	}
	parser := parse.New(h.House)
	out := make([]read, len(names))
	forEach(len(names), func(i int) {
		out[i] = e.readOne(h, parser, names[i], today)
		if !keep {
			out[i].plan = nil
		}
		p.step("reading", len(names))
	})
	others, left := h.otherIDs(names)
	// What comes in by itself is a recipe of the house on its way into its file.
	for i := range out {
		if names[i] == "-" && out[i].entry != nil {
			delete(others, out[i].entry.Recipe.ID.Value)
		}
	}
	shelf := &check.Shelf{House: h.House, Others: others, Closed: h.File != nil, All: h.File != nil && left == 0, Holds: h.leadsTo, Today: today}
	at := make([]int, 0, len(out))
	for i := range out {
		if out[i].entry != nil {
			shelf.Entries = append(shelf.Entries, out[i].entry)
			at = append(at, i)
		}
	}
	for n, list := range rules.AcrossHouse(shelf) {
		out[at[n]].across = list
		out[at[n]].found.Add(list...)
	}
	return out
}

// mostSpared is up to how many recipes memory is spent for time: with so many
// of seven kB the command stays below 500 MB.
const mostSpared = 10_000

// spareGarbage lets the garbage of reading lie until it is four times what is
// kept, not once: reading many recipes throws nearly all away, and every
// collection takes the cores away from it. A GOGC of the user's own stands.
func spareGarbage() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
}

func (e *env) readOne(h *house, parser *parse.Parser, name string, today recipe.Date) read {
	r := read{house: h, name: name}
	var text []byte
	shown := filepath.ToSlash(name)
	if name == "-" {
		shown = standardInput
		text, r.err = io.ReadAll(io.LimitReader(e.in, mostText+1))
	} else {
		text, r.err = readText(name)
	}
	if r.err != nil {
		return r
	}
	file := source.New(shown, text)
	rec, plan, found := judged(h, parser, folderOf(name), file, today)
	r.entry, r.plan, r.found = rules.Enter(rec), plan, found
	if len(found) > 0 {
		r.file = file
	}
	return r
}

// judged reads a recipe and checks it by all that looks at one recipe alone.
// Its pictures are looked for from dir on.
func judged(h *house, parser *parse.Parser, dir string, f *source.File, today recipe.Date) (*recipe.Recipe, *process.Plan, diag.List) {
	rec, list := parser.Parse(f)
	found := list.Joined()
	plan := process.Of(rec, h.House)
	c := &check.Context{House: h.House, Recipe: rec, Plan: plan, Today: today}
	found.Add(rules.Check(c)...)
	found.Add(checkPictures(h, dir, rec)...)
	if !rec.Unread {
		found.Add(layout.Unprintable(f)...)
	}
	mend.Withhold(f, found)
	return rec, plan, found
}

// forEach does n pieces of work on all cores.
func forEach(n int, work func(i int)) {
	workers := min(runtime.GOMAXPROCS(0), n)
	if workers <= 1 {
		for i := range n {
			work(i)
		}
		return
	}
	var wait sync.WaitGroup
	var taken atomic.Int64
	for range workers {
		wait.Go(func() {
			for i := int(taken.Add(1)) - 1; i < n; i = int(taken.Add(1)) - 1 {
				work(i)
			}
		})
	}
	wait.Wait()
}
