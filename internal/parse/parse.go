// Package parse reads a recipe: front matter and Markdown in, a recipe.Recipe
// and findings out. It is the only importer of the Markdown library. It never
// fails: what an author got wrong is a finding, and what could be read stands.
package parse

import (
	"strings"
	"sync"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
	"coldwright/internal/words"
)

// Parser reads recipes of one house. It may be used by several goroutines at a
// time.
type Parser struct {
	house    *trade.House
	markdown parser.Parser
	names    names
	own      own
	// rooms are slices of elements, cleared, for one step after the other to be
	// read into.
	rooms sync.Pool
}

// names are the closed lists of the house, gathered once for nearest words.
type names struct {
	glasses, glassesToo, shapes, finishes, topics, tests, mixes, waters, tiles, benches, arrivals []string
}

// New makes a Parser for the house.
func New(h *trade.House) *Parser {
	if h == nil {
		h = trade.BuiltIn()
	}
	p := &Parser{house: h, markdown: newMarkdown(true), own: ownWords(words.Find(h.Language))}
	n := &p.names
	for _, g := range h.Glasses {
		n.glasses = append(n.glasses, g.Name)
		n.glassesToo = append(n.glassesToo, g.Also...)
	}
	for _, s := range h.Shapes {
		n.shapes = append(n.shapes, s.Name)
	}
	for _, f := range h.Finishes {
		n.finishes = append(n.finishes, f.Name)
	}
	for _, t := range h.Topics {
		n.topics = append(n.topics, t.Name)
	}
	for _, t := range h.Tests {
		n.tests = append(n.tests, t.Name)
	}
	for _, m := range h.Mixes {
		n.mixes = append(n.mixes, m.Name)
	}
	for _, w := range h.Waters {
		n.waters = append(n.waters, w.Name)
	}
	for _, t := range h.Tiles {
		n.tiles = append(n.tiles, t.Code)
	}
	for _, b := range h.Benches {
		n.benches = append(n.benches, b.Name)
	}
	n.arrivals = spoken(words.Find(h.Language), ArrivesAs, arrivals)
	for _, list := range []*[]string{&n.glasses, &n.shapes, &n.finishes, &n.mixes, &n.waters} {
		*list = spoken(words.Find(h.Language), "", *list)
	}
	return p
}

// reading is one file while it is read.
type reading struct {
	*Parser
	file *source.File
	// all is the text of the file; body what follows the front matter, which
	// begins at byte base.
	all  string
	body []byte
	base int
	// broken is true where the file holds bytes that are no text.
	broken bool

	recipe *recipe.Recipe
	list   *diag.List
	// step is the number of the step being read, 0 outside the steps.
	step int
	// surfaces are the indices of the recipe's surfaces by folded name.
	// surfaceless is true where the list of surfaces could not be read, so that
	// no step is blamed for naming one.
	surfaces    map[string]int
	surfaceless bool
	titles      []title
	// closing is the heading that begins the notes.
	closing *ast.Heading
	// levels are the levels of headings that were taken for those of steps.
	levels map[*ast.Heading]int

	// html are the places of raw HTML, deep says that nesting was reported, early
	// that facts before the first step were.
	html        []diag.Site
	deep, early bool
	// links says that the text has link definitions; used and defined are they
	// by name.
	links         bool
	used, defined map[string]bool
	notes         []*footnote

	inlines arena
}

// Parse reads a recipe. Its mistakes are in the list, unsorted; what could be
// read is in the recipe, which is never nil.
func (p *Parser) Parse(f *source.File) (*recipe.Recipe, diag.List) {
	var list diag.List
	r := &reading{
		Parser: p,
		file:   f,
		recipe: &recipe.Recipe{File: f},
		list:   &list,
	}
	if !r.fits() {
		r.recipe.Unread = true
		return r.recipe, list
	}
	r.all = f.Whole()
	if !r.text() || r.otherFile() {
		r.recipe.Unread = true
		return r.recipe, list
	}
	head, from, to := r.split()
	r.head(head, from, to)
	r.body = f.Text[r.base:]
	if root := r.markdownOf(); root != nil {
		r.sections(root)
	} else {
		r.recipe.Unread = true
	}
	r.rawHTML()
	return r.recipe, list.Once()
}

// markdownOf gives the tree of the body, nil where it is too tangled to read.
func (r *reading) markdownOf() (root ast.Node) {
	if !r.untangled() {
		return nil
	}
	defer func() {
		// The Markdown library is not ours; whatever it trips over is the
		// author's text to us.
		if recover() != nil {
			r.say(TooTangled, r.file.Span(r.base, r.base), "The text below the front matter could not be read.",
				"Take out the lists and quotes that stand inside one another.")
			root = nil
		}
	}()
	pc := parser.NewContext()
	root = r.markdown.Parse(text.NewReader(r.body), parser.WithContext(pc))
	r.notes, r.links = footnotesOf(pc), len(pc.References()) > 0
	return root
}

// mark is the line that opens and closes the front matter.
const mark = "---"

// split finds the front matter: where its keys start and end. It sets the
// start of the body. head is false where there is none.
func (r *reading) split() (head bool, from, to int) {
	start := 0
	if strings.HasPrefix(r.all, "\ufeff") {
		start = len("\ufeff")
	}
	r.base = start
	line, next := r.line(start)
	if line != mark {
		first := r.first(start)
		if first < 0 {
			return false, 0, 0 // an empty file has been reported
		}
		from := start
		if line == "" {
			// Blank lines before the mark are a slip of their own.
			if l, _ := r.line(r.lineStart(first)); l == mark {
				r.say(FrontMatter, r.file.Span(first, first+len(mark)),
					"The front matter does not begin in the first line of the file.",
					"Take out the empty lines above it.")
				r.mended(instead(r.file.Span(start, r.lineStart(first)), "", "Takes out the empty lines above the front matter."))
				_, next = r.line(r.lineStart(first))
				return r.closed(r.lineStart(first), next)
			}
		}
		at := r.lineStart(first)
		l, end := r.line(at)
		if keyOf(l, headKeys) {
			r.say(FrontMatter, r.file.Span(first, r.trimEnd(first, end)),
				"The line of three hyphens above the front matter is missing.", "Write a line --- above it.")
			r.mended(r.putting(at, mark+keys.LineEnd(r.file), "Writes the line above the front matter."))
			return r.closed(at, at)
		}
		r.say(FrontMatter, r.file.Span(first, r.trimEnd(first, end)),
			"The recipe has no front matter: its first line is no line of three hyphens.",
			"Begin the file with a line ---, then recipe, title, revision, date, glass, piece and surfaces, then a line ---.")
		r.base = from
		return false, 0, 0
	}
	return r.closed(start, next)
}

// closed looks for the closing mark of front matter whose opening line starts
// at open and ends before from.
func (r *reading) closed(open, from int) (bool, int, int) {
	for at := from; at < len(r.all); {
		line, next := r.line(at)
		if line == mark {
			r.base = next
			r.recipe.Head = r.file.Span(open, at+len(mark))
			return true, from, at
		}
		at = next
	}
	// Without a closing mark the keys end where text plainly begins: at the
	// first empty line or heading.
	end := len(r.all)
	for at := from; at < len(r.all); {
		line, next := r.line(at)
		if line == "" || strings.HasPrefix(line, "# ") || strings.HasPrefix(line, "##") {
			end = at
			break
		}
		at = next
	}
	r.base = end
	r.recipe.Head = r.file.Span(open, end)
	r.say(FrontMatter, r.file.Span(open, open+len(mark)),
		"The front matter is not closed: no second line of three hyphens follows.",
		"Write a line --- between the keys and the text.")
	if end < len(r.all) && end > 0 && r.all[end-1] == '\n' {
		r.mended(r.putting(end, mark+keys.LineEnd(r.file), "Writes the line below the front matter."))
	}
	return true, from, end
}

// line is the line that starts at byte at, without its ending and the spaces
// before it, and where the next one starts.
func (r *reading) line(at int) (line string, next int) {
	end := strings.IndexByte(r.all[at:], '\n')
	if end < 0 {
		next = len(r.all)
		return strings.TrimRight(r.all[at:], " \t\r"), next
	}
	return strings.TrimRight(r.all[at:at+end], " \t\r"), at + end + 1
}

// lineStart is where the line of byte at starts.
func (r *reading) lineStart(at int) int {
	return strings.LastIndexByte(r.all[:at], '\n') + 1
}

// first is the first byte from at on that is no space, -1 where there is none.
func (r *reading) first(at int) int {
	for i := at; i < len(r.all); i++ {
		switch r.all[i] {
		case ' ', '\t', '\r', '\n':
		default:
			return i
		}
	}
	return -1
}

// trimEnd moves end back over spaces, not before start.
func (r *reading) trimEnd(start, end int) int {
	for end > start && isSpace(r.all[end-1]) {
		end--
	}
	return end
}

func isSpace(b byte) bool { return b == ' ' || b == '\t' || b == '\r' || b == '\n' }

// say adds a finding.
func (r *reading) say(id string, at source.Span, message, help string) {
	r.list.Add(diag.Diagnostic{
		Rule: id, Severity: severity(id), Concern: diag.Card, Span: at,
		Message: message, Help: help, Step: r.step,
	})
}

// span is a stretch of the file by bytes of the body.
func (r *reading) span(start, end int) source.Span {
	return source.Span{File: r.file, Start: r.base + start, End: r.base + end}
}

// clean is text with bytes that are no text replaced; it costs nothing where
// the file has none.
func (r *reading) clean(s string) string {
	if !r.broken {
		return s
	}
	s = strings.ToValidUTF8(s, "\ufffd")
	return strings.ReplaceAll(s, "\x00", "\ufffd")
}
