package cli

import (
	"io"
	"path/filepath"
	"runtime"
	"sync"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/layout"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/rules"
	"coldwright/internal/source"
)

// read is one recipe, read and checked.
type read struct {
	*house
	name string
	plan *process.Plan
	// found is what there is to say of it.
	found diag.List
	// err says why the file could not be read; plan is then nil.
	err error
}

// readAll reads and checks recipes on all cores. The result is in the order of
// the names, whatever the order the work was done in.
func (e *env) readAll(h *house, names []string, today recipe.Date, p *progress) []read {
	parser := parse.New(h.House)
	out := make([]read, len(names))
	forEach(len(names), func(i int) {
		out[i] = e.readOne(h, parser, names[i], today)
		p.step("reading", len(names))
	})
	recipes := make([]*recipe.Recipe, 0, len(out))
	at := make(map[*source.File]int, len(out))
	for i := range out {
		if out[i].plan != nil {
			recipes = append(recipes, out[i].plan.Recipe)
			at[out[i].plan.Recipe.File] = i
		}
	}
	for _, d := range rules.AcrossHouse(recipes, h.otherIDs(names)) {
		if i, ok := at[d.Span.File]; ok {
			out[i].found.Add(d)
		}
	}
	return out
}

func (e *env) readOne(h *house, parser *parse.Parser, name string, today recipe.Date) read {
	r := read{house: h, name: name}
	var text []byte
	shown := filepath.ToSlash(name)
	if name == "-" {
		shown = "standard input"
		text, r.err = io.ReadAll(io.LimitReader(e.in, mostText+1))
	} else {
		text, r.err = readText(name)
	}
	if r.err != nil {
		return r
	}
	rec, findings := parser.Parse(source.New(shown, text))
	r.found = findings.Joined()
	r.plan = process.Of(rec, h.House)
	c := &check.Context{House: h.House, Recipe: rec, Plan: r.plan, Today: today}
	r.found.Add(rules.Check(c)...)
	r.found.Add(checkPictures(h, folderOf(name), rec)...)
	if !rec.Unread {
		r.found.Add(layout.Unprintable(rec.File)...)
	}
	return r
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
	next := make(chan int)
	for range workers {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := range next {
				work(i)
			}
		}()
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
}
