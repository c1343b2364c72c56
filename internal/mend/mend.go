// Package mend makes the corrections that findings carry, in rounds, until
// nothing is left to correct. What it gives is never worse than what it was
// given: a correction that would bring out a finding there was not before is
// set aside and named. Only a note may come to light, where what could not be read hid it.
package mend

import (
	"bytes"
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/aymanbagabas/go-udiff"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/source"
)

// mostRounds bounds the rounds of one file: each takes at least one finding
// away, and no file that people write has so many one upon the other.
const mostRounds = 200

// mostDeep is how many corrections may follow one from the other before their
// worth is judged.
const mostDeep = 4

// Check finds what there is to say of a file. It is asked once a round.
type Check func(f *source.File) diag.List

// Done is one correction made.
type Done struct {
	// Line is its line in the file as it was, from 1.
	Line int
	// Rule is the finding it answers, Does says what it does.
	Rule, Does string
}

// Aside is a correction that was not made.
type Aside struct {
	Done
	// Because is what would have been found with it; its place is one in a text
	// that was thrown away.
	Because diag.Diagnostic
	// Useless is true where the finding would have stayed; Because is then that
	// finding.
	Useless bool
}

// Result is a file and what it becomes.
type Result struct {
	// File is as it was, Before what was found in it.
	File   *source.File
	Before diag.List
	// Mended is the file with all corrections made, File itself where there was
	// none; After is what is found in it.
	Mended *source.File
	After  diag.List
	// Done are the corrections by their place, Aside those that were not made.
	Done  []Done
	Aside []Aside
}

// Changed says whether anything was corrected.
func (r *Result) Changed() bool { return !bytes.Equal(r.File.Text, r.Mended.Text) }

// context is how many lines stand round a change where it is shown.
const context = 3

// Difference is what was corrected as a unified difference; empty where
// nothing was. The lines are those of the files, byte for byte.
func (r *Result) Difference() string {
	before, after := string(r.File.Text), string(r.Mended.Text)
	d, err := udiff.ToUnifiedDiff(r.File.Name, r.File.Name, before, udiff.Lines(before, after), context)
	if err != nil {
		return "" // edits made of two texts fit the first of them
	}
	// The library leaves the lines between two changes of one stretch out of its
	// count of the new lines, so that the stretches below would be misplaced.
	grown := 0
	for _, h := range d.Hunks {
		h.ToLine = h.FromLine + grown
		for _, l := range h.Lines {
			switch l.Kind {
			case udiff.Insert:
				grown++
			case udiff.Delete:
				grown--
			}
		}
	}
	return d.String()
}

// state is a file in one of its rounds.
type state struct {
	file *source.File
	list diag.List
	// rounds are the edits made so far, round by round, made what they did.
	rounds [][]diag.Edit
	made   []Done
}

// File makes all corrections that the findings of a file carry, but those that
// Withhold keeps back.
func File(f *source.File, found Check) Result {
	check := func(f *source.File) diag.List {
		list := found(f)
		Withhold(f, list)
		return list
	}
	now := state{file: f, list: check(f)}
	r := Result{File: f, Before: now.list}
	refused := map[aside]bool{}
	// What did harm or no good may do good once another correction is made.
	made := func(next state) {
		now = next
		clear(refused)
		r.Aside = nil
	}
	for range mostRounds {
		picks := now.picks(now.list, func(d *diag.Diagnostic) bool { return !refused[now.name(d)] })
		if len(picks) == 0 {
			break
		}
		if next, ok, _ := now.try(picks, check); ok {
			made(next)
			continue
		}
		// Together they do harm: one by one.
		for _, d := range picks {
			next, ok, because := now.try([]*diag.Diagnostic{d}, check)
			if ok {
				made(next)
				break
			}
			refused[now.name(d)] = true
			r.Aside = append(r.Aside, because)
		}
	}
	r.Mended, r.After, r.Done = now.file, now.list, now.made
	byPlace := func(a, b Done) int { return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Does, b.Does)) }
	slices.SortStableFunc(r.Done, byPlace)
	slices.SortStableFunc(r.Aside, func(a, b Aside) int { return byPlace(a.Done, b.Done) })
	return r
}

// Withhold takes the corrections out of what was found in a file that holds
// bytes that are no text: it has to be saved as text first, and with every byte
// that comes or goes it may be taken for no text at all. Where it is not sure
// what a line of the front matter belongs to, it takes out those that add lines
// there, until that is mended: what stands around such a line is not sure either.
func Withhold(f *source.File, list diag.List) {
	front := -1
	if slices.ContainsFunc(list, func(d diag.Diagnostic) bool { return unsure[d.Rule] }) {
		front = frontEnd(f.Text)
	}
	text := utf8.Valid(f.Text)
	for i := range list {
		addsLine := func(e diag.Edit) bool {
			return e.Span.Start < front && e.Span.Start == e.Span.End && strings.Contains(e.Text, "\n")
		}
		if !text || front >= 0 && slices.ContainsFunc(list[i].Mend.Edits, addsLine) {
			list[i].Mend = diag.Mend{}
		}
	}
}

// unsure are the findings of lines that may belong to another than they stand in.
var unsure = map[string]bool{
	keys.Broken: true, keys.TabBeforeKey: true, keys.SpacesBefore: true, keys.OpenQuotes: true, keys.OpenBrace: true,
}

// frontEnd is where the front matter of a recipe ends; the end of a file that
// does not begin with one, as a shop file.
func frontEnd(text []byte) int {
	const fence = "\n---"
	if bytes.HasPrefix(text, []byte(fence[1:])) {
		if n := bytes.Index(text[len(fence):], []byte(fence)); n >= 0 {
			return len(fence) + n + len(fence)
		}
	}
	return len(text)
}

// aside is a correction by what does not change with the rounds.
type aside struct {
	rule, does string
	at         int
}

func (s *state) name(d *diag.Diagnostic) aside {
	at, _ := s.was(d.Mend.Edits[0].Span.Start)
	return aside{d.Rule, d.Mend.Does, at}
}

func (s *state) done(d *diag.Diagnostic) Done {
	at := d.Mend.Edits[0].Span
	from, fresh := s.was(at.Start)
	file := s.file
	if len(s.rounds) > 0 {
		file = s.rounds[0][0].Span.File
	}
	if (fresh || at.Start == at.End) && from > 0 && file.Text[from-1] == '\n' {
		// A whole new line stands behind the one above it.
		from--
	}
	line, _ := file.Position(from)
	return Done{Line: line, Rule: d.Rule, Does: d.Mend.Does}
}

// was is where a byte of the file stood before all rounds; fresh is true where
// one of them has put it there.
func (s *state) was(at int) (was int, fresh bool) {
	for i := len(s.rounds) - 1; i >= 0; i-- {
		var put bool
		at, put = back(s.rounds[i], at)
		fresh = fresh || put
	}
	return at, fresh
}

// back is where a byte stood before edits in the order of their places, and
// whether it stands in what one of them has put there.
func back(edits []diag.Edit, at int) (int, bool) {
	shift := 0
	for _, e := range edits {
		start := e.Span.Start + shift
		if at < start {
			break
		}
		if at < start+len(e.Text) {
			return e.Span.Start, true
		}
		shift += len(e.Text) - (e.Span.End - e.Span.Start)
	}
	return at - shift, false
}

// picks are the findings whose corrections can be made side by side: where two
// touch, the second waits for the next round.
func (s *state) picks(list diag.List, wanted func(*diag.Diagnostic) bool) []*diag.Diagnostic {
	var all []*diag.Diagnostic
	var taken []diag.Edit
	for i := range list {
		d := &list[i]
		if !d.Mend.Known() || !s.fits(d.Mend) || !wanted(d) {
			continue
		}
		same := slices.ContainsFunc(all, func(have *diag.Diagnostic) bool { return slices.Equal(have.Mend.Edits, d.Mend.Edits) })
		if same || slices.ContainsFunc(d.Mend.Edits, func(e diag.Edit) bool { return slices.ContainsFunc(taken, e.Touches) }) {
			continue
		}
		taken = append(taken, d.Mend.Edits...)
		all = append(all, d)
	}
	return all
}

// fits says whether a correction is one of this file and inside it.
func (s *state) fits(m diag.Mend) bool {
	return !slices.ContainsFunc(m.Edits, func(e diag.Edit) bool {
		return e.Span.File != s.file || e.Span.Start < 0 || e.Span.End < e.Span.Start || e.Span.End > len(s.file.Text)
	})
}

// try makes corrections and, where they bring out findings that can be
// corrected themselves, those too. ok is true where something was won and
// nothing lost; else because says what stands against the first.
func (s *state) try(picks []*diag.Diagnostic, check Check) (next state, ok bool, because Aside) {
	next = s.with(picks, check)
	for range mostDeep {
		worse := s.worse(next)
		if len(worse) == 0 {
			break
		}
		more := next.picks(worse, func(*diag.Diagnostic) bool { return true })
		if len(more) == 0 {
			return next, false, Aside{Done: s.done(picks[0]), Because: worse[0]}
		}
		next = next.with(more, check)
	}
	if worse := s.worse(next); len(worse) > 0 {
		return next, false, Aside{Done: s.done(picks[0]), Because: worse[0]}
	}
	if !better(s.list, next.list) {
		return next, false, Aside{Done: s.done(picks[0]), Because: *picks[0], Useless: true}
	}
	return next, true, Aside{}
}

// worse are the findings a next state has that this one has not. What could not be
// read hid what is said of it: a note that comes to light where something graver is
// gone does not count.
func (s *state) worse(next state) diag.List {
	list := fresh(s.list, next.list)
	if before, _ := sites(s.list); before > 0 {
		if after, _ := sites(next.list); after < before {
			list = slices.DeleteFunc(list, func(d diag.Diagnostic) bool { return d.Severity <= diag.Note })
		}
	}
	return list
}

// with is the state with corrections made.
func (s *state) with(picks []*diag.Diagnostic, check Check) state {
	var edits []diag.Edit
	made := slices.Clone(s.made)
	for _, d := range picks {
		edits = append(edits, d.Mend.Edits...)
		made = append(made, s.done(d))
	}
	slices.SortStableFunc(edits, func(a, b diag.Edit) int { return cmp.Compare(a.Span.Start, b.Span.Start) })
	f := source.New(s.file.Name, diag.Apply(s.file.Text, edits))
	return state{file: f, list: check(f), rounds: append(slices.Clone(s.rounds), edits), made: made}
}

// place is where a finding counts: the same rule at the same step and surface
// is the same finding, whatever its words.
type place struct {
	rule, surface string
	step          int
}

// counted gathers the severities of a list by place, the gravest first.
func counted(list diag.List) map[place][]diag.Severity {
	all := map[place][]diag.Severity{}
	for i := range list {
		d := &list[i]
		at := place{d.Rule, d.Surface, d.Step}
		all[at] = append(all[at], d.Severity)
		for _, also := range d.Also {
			at.step = also.Step
			all[at] = append(all[at], d.Severity)
		}
	}
	for _, s := range all {
		slices.SortFunc(s, func(a, b diag.Severity) int { return cmp.Compare(b, a) })
	}
	return all
}

// fresh are the findings of after that before has not, or has less gravely.
func fresh(before, after diag.List) diag.List {
	had := counted(before)
	var out diag.List
	seen := map[place]bool{}
	for at, now := range counted(after) {
		was := had[at]
		for i, severity := range now {
			if i >= len(was) || severity > was[i] {
				seen[at] = true
			}
		}
	}
	for i := range after {
		d := &after[i]
		at := place{d.Rule, d.Surface, d.Step}
		is := seen[at]
		for _, also := range d.Also {
			is = is || seen[place{d.Rule, d.Surface, also.Step}]
		}
		if is {
			out.Add(*d)
		}
	}
	return out
}

// sites is how many places the findings of a list have, and its notes.
func sites(list diag.List) (graver, notes int) {
	for i := range list {
		if n := 1 + len(list[i].Also); list[i].Severity > diag.Note {
			graver += n
		} else {
			notes += n
		}
	}
	return graver, notes
}

// better says whether after has fewer findings than before, of those graver than a
// note first.
func better(before, after diag.List) bool {
	graver, notes := sites(before)
	graverNow, notesNow := sites(after)
	return graverNow < graver || graverNow == graver && notesNow < notes
}
