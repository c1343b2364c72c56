package mend_test

import (
	"fmt"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/aymanbagabas/go-udiff"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/mend"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/rules"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// shop is the demo house with its parser.
type shop struct {
	house  *trade.House
	parser *parse.Parser
}

var quillfen = sync.OnceValue(func() *shop { return new(shop) })

func demo(t testing.TB) *shop {
	s := quillfen()
	if s.house == nil {
		var list diag.List
		s.house = trade.Lay(source.New("shop.yaml", testkit.Read(t, filepath.Join(testkit.Root(t), "recipes", "shop.yaml"))), &list)
		require.Empty(t, list)
		s.parser = parse.New(s.house)
	}
	return s
}

// check is all that looks at one recipe alone, pages and pictures aside.
func (s *shop) check(f *source.File) diag.List {
	rec, list := s.parser.Parse(f)
	list = list.Joined()
	list.Add(rules.Check(&check.Context{House: s.house, Recipe: rec, Plan: process.Of(rec, s.house), Today: recipe.Date{Year: 2026, Month: 11, Day: 1}})...)
	list.Sort()
	return list
}

func (s *shop) mend(text string) mend.Result {
	return mend.File(source.New("a.md", []byte(text)), s.check)
}

// weight is the demo house's cast weight.
func weight(t testing.TB) string {
	return string(testkit.Read(t, filepath.Join(testkit.Root(t), "recipes", "cast-weight.md")))
}

// change is words of a text and what takes their place.
type change struct{ old, new string }

func changed(t testing.TB, text string, all ...change) string {
	t.Helper()
	for _, c := range all {
		require.Equal(t, 1, strings.Count(text, c.old), "%q", c.old)
		text = strings.Replace(text, c.old, c.new, 1)
	}
	return text
}

// sameText compares two files and shows no more than their difference.
func sameText(t *testing.T, want, got string) {
	t.Helper()
	if want != got {
		t.Errorf("the mended file is another:\n%s", udiff.Unified("wanted", "mended", want, got))
	}
}

// holds is what must be true of every run, whatever the file.
func holds(t tester, s *shop, r mend.Result) {
	t.Helper()
	text := string(r.File.Text)
	assert.Equal(t, r.Changed(), len(r.Done) > 0, "done: %v", r.Done)
	assert.LessOrEqual(t, graver(r.After), graver(r.Before))
	if graver(r.After) == graver(r.Before) {
		assert.LessOrEqual(t, len(r.After), len(r.Before))
	}
	worse(t, r)
	again := mend.File(r.Mended, s.check)
	assert.False(t, again.Changed(), "a second run mends again:\n%s", again.Difference())
	if r.Changed() {
		assert.Equal(t, string(r.Mended.Text), patched(t, text, r.Difference()), "the difference shown is not what was done")
	}
	before, _ := s.parser.Parse(r.File)
	after, _ := s.parser.Parse(r.Mended)
	assert.False(t, after.Unread && !before.Unread, "the mended file is no longer read")
	meaningKept(t, before, after, r)
}

// graver is how many findings above a note there are.
func graver(list diag.List) (n int) {
	for i := range list {
		if list[i].Severity > diag.Note {
			n++
		}
	}
	return n
}

// worse fails where a rule has more to say than before; what is only noted may come to
// light with a word that can be read again.
func worse(t tester, r mend.Result) {
	count := func(list diag.List) map[string]int {
		n := map[string]int{}
		for _, d := range list {
			if d.Severity <= diag.Note && graver(r.After) < graver(r.Before) {
				continue
			}
			n[d.Rule] += 1 + len(d.Also)
		}
		return n
	}
	had := count(r.Before)
	for rule, n := range count(r.After) {
		assert.LessOrEqual(t, n, had[rule], "%s", rule)
	}
}

var hunk = regexp.MustCompile(`^@@ -(\d+)(?:,(\d+))? \+(\d+)(?:,(\d+))? @@$`)

// patched makes a unified difference of a text by the line numbers it gives, by
// what POSIX says of the format (diff, "Diff -u Output Format"), not by the
// library that wrote it.
func patched(t tester, text, difference string) string {
	t.Helper()
	lines := func(s string) []string {
		var all []string
		for l := range strings.Lines(s) {
			all = append(all, l)
		}
		return all
	}
	old := lines(text)
	var out []string
	at := 0
	diff := lines(difference)
	require.True(t, len(diff) > 2 && strings.HasPrefix(diff[0], "--- a.md") && strings.HasPrefix(diff[1], "+++ a.md"), "%q", difference)
	for i := 2; i < len(diff); {
		m := hunk.FindStringSubmatch(strings.TrimRight(diff[i], "\n"))
		require.NotNil(t, m, "%q", diff[i])
		number := func(n int, none int) int {
			if m[n] == "" {
				return none
			}
			v, err := strconv.Atoi(m[n])
			require.NoError(t, err)
			return v
		}
		from, count, to := number(1, 0), number(2, 1), number(3, 0)
		if count > 0 {
			from--
		}
		for at < from {
			out = append(out, old[at])
			at++
		}
		if number(4, 1) > 0 {
			require.Equal(t, to, len(out)+1, "%q", diff[i])
		}
		for i++; i < len(diff) && !strings.HasPrefix(diff[i], "@@"); i++ {
			line := diff[i]
			if strings.HasPrefix(line, `\ No newline`) {
				continue
			}
			body := line[1:]
			if i+1 < len(diff) && strings.HasPrefix(diff[i+1], `\ No newline`) {
				body = strings.TrimSuffix(body, "\n")
			}
			switch line[0] {
			case ' ':
				require.Equal(t, old[at], body)
				out = append(out, body)
				at++
			case '-':
				require.Equal(t, old[at], body)
				at++
			case '+':
				out = append(out, body)
			default:
				t.Fatalf("%q is no line of a difference", line)
			}
		}
	}
	return strings.Join(append(out, old[at:]...), "")
}

// thing is one thing a recipe says and where.
type thing struct {
	says string
	at   source.Span
}

// meaning is all a recipe says, by a name for each thing.
func meaning(r *recipe.Recipe) map[string]thing {
	m := map[string]thing{}
	put := func(name string, at source.Span, says any) {
		m[name] = thing{strings.Join(strings.Fields(fmt.Sprint(says)), " "), at}
	}
	put("id", r.ID.Span, r.ID.Value)
	put("title", r.Title.Span, r.Title.Value)
	put("revision", r.Revision.Span, r.Revision.Value)
	put("date", r.Date.Span, r.Date.Value)
	put("approved", r.Approved.Span, r.Approved.Value)
	put("stop", r.Stop.Span, r.Stop.Value)
	glass := "unknown"
	if r.Glass.Value != nil {
		glass = r.Glass.Value.Name
	}
	put("glass", r.Glass.Span, glass)
	p := &r.Piece
	put("piece", p.Span, fmt.Sprint(p.Form.Value, p.Size.Value, p.Count.Value, p.Mass.Value, p.Hollow.Value, p.Wall.Value, p.Mould.Value))
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		shape, to := "", ""
		if s.Shape.Value != nil {
			shape = s.Shape.Value.Name
		}
		if s.To.Value != nil {
			to = s.To.Value.Name
		}
		put(fmt.Sprint("surface ", i), s.Span, fmt.Sprint(s.Name.Value, shape, s.Count.Value, s.Area.Value, s.Length.Value, s.Width.Value, s.From.Value.Words, to, s.Tile.Value))
	}
	for i, c := range r.Cautions {
		name := c.Span.Text()
		if c.Topic != nil {
			name = c.Topic.Name
		}
		put(fmt.Sprint("caution ", i), c.Span, name)
	}
	for i, c := range r.Changes {
		put(fmt.Sprint("change ", i), c.Span, fmt.Sprint(c.Revision.Value, c.Date.Value, c.Kind.Value, c.Note.Value))
	}
	for i, a := range r.Accepted {
		put(fmt.Sprint("accepted ", i), a.Span, fmt.Sprint(a.Finding.Value, a.Reason.Value, a.Until.Value))
	}
	put("purpose", whole(r.Purpose), prose.BlockWords(r.Purpose))
	put("notes", whole(r.Notes), prose.BlockWords(r.Notes))
	for i, n := range r.Notices {
		put(fmt.Sprint("notice ", i), n.Span, fmt.Sprint(n.Signal, n.Text))
	}
	for i := range r.Steps {
		s := &r.Steps[i]
		step := fmt.Sprint("step ", i, " ")
		put(step+"title", s.Span, s.Title)
		for j, f := range s.Facts {
			name := f.Name
			if name == "" {
				name = fmt.Sprint("unknown ", j)
			}
			put(step+"fact "+name, f.NameSpan.To(f.Span), f.Value)
		}
		for j := range s.Body {
			e := &s.Body[j]
			says := fmt.Sprint(e.Kind, prose.BlockWords(e.Blocks), e.Mark, len(e.KeyPoints))
			switch e.Kind {
			case recipe.Check:
				says += fmt.Sprint(e.Check.Text, e.Check.Stops)
			case recipe.Warn:
				says += fmt.Sprint(e.Notice.Signal, e.Notice.Text)
			case recipe.Shown:
				says += e.Picture.Target
			}
			put(fmt.Sprint(step, "element ", j), e.Span, says)
		}
	}
	return m
}

func whole(blocks []prose.Block) source.Span {
	var at source.Span
	for _, b := range blocks {
		at = at.To(b.Span)
	}
	return at
}

// touchedLines are the lines that a difference takes out of the old file and
// puts into the new one, from 1.
func touchedLines(difference string) (gone, come map[int]bool) {
	gone, come = map[int]bool{}, map[int]bool{}
	old, now := 0, 0
	for line := range strings.Lines(difference) {
		if m := hunk.FindStringSubmatch(strings.TrimRight(line, "\n")); m != nil {
			old, _ = strconv.Atoi(m[1])
			now, _ = strconv.Atoi(m[3])
			continue
		}
		switch line[0] {
		case ' ':
			old, now = old+1, now+1
		case '-':
			gone[old] = true
			old++
		case '+':
			come[now] = true
			now++
		}
	}
	return gone, come
}

// meaningKept fails where the mended recipe says something else than before at a
// place where nothing was mended.
func meaningKept(t tester, before, after *recipe.Recipe, r mend.Result) {
	t.Helper()
	gone, come := touchedLines(r.Difference())
	touched := func(at source.Span) bool {
		lines := gone
		if at.File == r.Mended {
			lines = come
		}
		first, _ := at.File.Position(at.Start)
		last, _ := at.File.Position(max(at.Start, at.End-1))
		for line := first; line <= last; line++ {
			if lines[line] {
				return true
			}
		}
		return false
	}
	had, has := meaning(before), meaning(after)
	for name, was := range had {
		is, there := has[name]
		if there && is.says == was.says || was.says == "" || was.says == "0" {
			continue
		}
		if strings.Contains(name, "fact unknown") && touched(was.at) {
			continue // its name was mended
		}
		if !assert.True(t, was.at.Known() && touched(was.at) || is.at.Known() && touched(is.at), "%s said %q, and says %q now; no word of it was mended:\n%s", name, was.says, is.says, r.Difference()) {
			return
		}
	}
	for name, is := range has {
		if _, there := had[name]; !there && is.says != "" {
			if !assert.True(t, is.at.Known() && touched(is.at), "%s says %q now, and was not there:\n%s", name, is.says, r.Difference()) {
				return
			}
		}
	}
}

// tester is a test or one draw of a property.
type tester interface {
	require.TestingT
	Helper()
	Fatalf(format string, args ...any)
}
