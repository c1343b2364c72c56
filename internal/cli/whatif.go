package cli

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// whatIf is what --without, --set and --add ask for.
type whatIf struct{ without, set, add []string }

func (w whatIf) asked() bool { return len(w.without)+len(w.set)+len(w.add) > 0 }

// apply changes the text of a recipe as its author would and reads it again,
// so that everything is read by the same rules. words say what was changed.
// All steps are named as the recipe has them now.
func (w whatIf) apply(parser *parse.Parser, r *recipe.Recipe) (changed *recipe.Recipe, words string, err error) {
	var patches []patch
	var said []string
	for _, one := range []struct {
		asked []string
		edit  func(*recipe.Recipe, string) (patch, error)
	}{{w.without, dropStep}, {w.set, setFact}, {w.add, addStep}} {
		for _, text := range one.asked {
			p, err := one.edit(r, text)
			if err != nil {
				return nil, "", err
			}
			patches, said = append(patches, p), append(said, p.words)
		}
	}
	slices.SortStableFunc(patches, func(a, b patch) int { return cmp.Or(a.start-b.start, a.end-b.end) })
	old, at := r.File.Text, 0
	var text []byte
	for i := range patches {
		p := &patches[i]
		if p.start < at {
			return nil, "", usagef("%s and %s change the same place; ask for one of them", patches[i-1].option, p.option)
		}
		text = append(text, old[at:p.start]...)
		p.from = len(text)
		text = append(text, p.text...)
		p.to, at = len(text), p.end
	}
	text = append(text, old[at:]...)
	changed, found := parser.Parse(source.New(r.File.Name, text))
	for _, d := range found {
		for _, p := range patches {
			if d.Severity >= diag.Error && d.Span.Known() && d.Span.Start >= p.from && d.Span.Start < p.to {
				return nil, "", usagef("%s: %s", p.option, strings.TrimSpace(d.Message+" "+d.Help))
			}
		}
	}
	return changed, strings.Join(said, ", "), nil
}

// patch is one change of the text: the bytes from start to end give way to
// text, which then stands at from to to.
type patch struct {
	start, end, from, to int
	text                 string
	// words are the change as it is told, option as it was asked for.
	words, option string
}

// stepNamed finds a step by its number, its title or the beginning of it.
func stepNamed(r *recipe.Recipe, option, name string) (*recipe.Step, error) {
	name = strings.Trim(strings.TrimSpace(name), `"“”`)
	if name == "" {
		return nil, usagef("%s names no step: write its title, the beginning of it, or its number", option)
	}
	if n, err := strconv.Atoi(strings.TrimPrefix(strings.ToLower(name), "step ")); err == nil {
		if n >= 1 && n <= len(r.Steps) {
			return &r.Steps[n-1], nil
		}
		return nil, usagef("%s: there is no step %d; the recipe has %s", option, n, plural(len(r.Steps), "step"))
	}
	var begin []*recipe.Step
	for i := range r.Steps {
		s := &r.Steps[i]
		if strings.EqualFold(s.Title, name) {
			return s, nil
		}
		if len(s.Title) >= len(name) && strings.EqualFold(s.Title[:len(name)], name) {
			begin = append(begin, s)
		}
	}
	switch len(begin) {
	case 1:
		return begin[0], nil
	case 0:
		var titles []string
		for i := range r.Steps {
			titles = append(titles, strconv.Quote(r.Steps[i].Title))
		}
		return nil, usagef("%s: no step is called %q; the steps are %s", option, name, strings.Join(titles, ", "))
	}
	return nil, usagef("%s: %d steps begin with %q; write more of the title, or its number", option, len(begin), name)
}

func dropStep(r *recipe.Recipe, text string) (patch, error) {
	s, err := stepNamed(r, "--without", text)
	if err != nil {
		return patch{}, err
	}
	return patch{start: s.All.Start, end: s.All.End, words: "without " + s.Title, option: "--without"}, nil
}

func setFact(r *recipe.Recipe, text string) (patch, error) {
	const form = `--set takes "STEP: Fact=value", such as "Polish the base: Time=12 min"`
	head, value, ok := strings.Cut(text, "=")
	colon := strings.LastIndex(head, ":")
	if !ok || colon < 0 {
		return patch{}, usageError{form}
	}
	name, value := strings.TrimSpace(head[colon+1:]), strings.TrimSpace(value)
	if name == "" || value == "" || strings.ContainsAny(text, "\r\n") {
		return patch{}, usageError{form}
	}
	s, err := stepNamed(r, "--set", head[:colon])
	if err != nil {
		return patch{}, err
	}
	p := patch{words: fmt.Sprintf("%s %s at %s", name, value, s.Title), option: "--set"}
	for _, f := range s.Facts {
		if strings.EqualFold(f.Name, name) {
			p.start, p.end, p.text = f.Span.Start, f.Span.End, value
			return p, nil
		}
	}
	if len(s.Facts) == 0 {
		return patch{}, usagef("--set: %q has no facts to set one beside", s.Title)
	}
	p.start = s.Facts[0].NameSpan.Start
	p.end, p.text = p.start, name+": "+value+"\n- "
	return p, nil
}

// addStep puts a step in behind or before another: the abrasive, what it is on,
// and for how long, on the same surfaces and machine as its neighbour.
func addStep(r *recipe.Recipe, text string) (patch, error) {
	const form = `--add takes "ABRASIVE on a MEDIUM, MINUTES, after STEP", such as "pumice 2F on a felt pad, 10 min, after Smooth the base"`
	if strings.ContainsAny(text, "\r\n") {
		return patch{}, usageError{form}
	}
	var what, minutes, neighbour string
	var more []string
	before := false
	rest := text
	for i := 0; rest != ""; i++ {
		part, tail, _ := strings.Cut(rest, ",")
		part = strings.TrimSpace(part)
		lower := strings.ToLower(part)
		switch {
		case i == 0:
			what = part
		case strings.HasPrefix(lower, "after "), strings.HasPrefix(lower, "before "):
			// The title is the rest, commas and all.
			before = lower[0] == 'b'
			_, neighbour, _ = strings.Cut(strings.TrimSpace(rest), " ")
			tail = ""
		case strings.Contains(part, "="):
			name, value, _ := strings.Cut(part, "=")
			more = append(more, strings.TrimSpace(name)+": "+strings.TrimSpace(value))
		case strings.HasPrefix(lower, "every "), lower == "once":
			more = append(more, "Charge: "+part)
		case minutes == "":
			minutes = part
		default:
			return patch{}, usageError{form}
		}
		rest = tail
	}
	if what == "" || minutes == "" || strings.TrimSpace(neighbour) == "" {
		return patch{}, usageError{form}
	}
	s, err := stepNamed(r, "--add", neighbour)
	if err != nil {
		return patch{}, err
	}
	abrasive, medium, _ := strings.Cut(what, " on ")
	for _, article := range []string{"a ", "an ", "the "} {
		medium = strings.TrimPrefix(medium, article)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "## Added: %s\n\n", what)
	surface, machine, abrasiveThere := "", "", false
	for _, f := range s.Facts {
		switch f.Name {
		case "Surface":
			surface = f.Value
		case "Machine":
			// The speed is the new medium's own.
			machine, _, _ = strings.Cut(f.Value, " at ")
		case "Abrasive":
			abrasiveThere = true
		}
	}
	if surface == "" || machine == "" || !abrasiveThere {
		return patch{}, usagef("--add: %q is no step that works a surface on a machine; name one that does", s.Title)
	}
	own := strings.ToLower(strings.Join(more, "\n"))
	fact := func(name, value string) {
		if value != "" && !strings.HasPrefix(own, strings.ToLower(name)+":") && !strings.Contains(own, "\n"+strings.ToLower(name)+":") {
			fmt.Fprintf(&b, "- %s: %s\n", name, value)
		}
	}
	fact("Surface", surface)
	fact("Abrasive", strings.TrimSpace(abrasive))
	fact("Medium", strings.TrimSpace(medium))
	fact("Machine", machine)
	fact("Water", "damp")
	fact("Time", minutes)
	for _, line := range more {
		fmt.Fprintf(&b, "- %s\n", line)
	}
	p := patch{words: "with " + what + " for " + minutes, option: "--add"}
	if before {
		p.start, p.text = s.All.Start, b.String()+"\n"
	} else {
		p.start, p.text = s.All.End, "\n\n"+b.String()+"\n"
	}
	p.end = p.start
	return p, nil
}
