package rules

import (
	"bytes"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// Check checks one recipe by all rules and lays what the lead has overruled
// over what they find. The list it gives is not sorted. Of a file that could
// not be read as a recipe, or not to its end, it says nothing: that has been
// reported, and what would be missing may stand in what was not read.
func Check(c *check.Context) diag.List {
	if c.Recipe.Unread {
		return nil
	}
	return check.Accept(c, check.Run(c, All), All, keys.Nearest)
}

// AcrossHouse finds what only shows when recipes lie side by side: the findings
// of each entry of the shelf.
func AcrossHouse(s *check.Shelf) []diag.List { return check.Across(s, All) }

// Enter gives what the house needs of a recipe, so that the recipe itself need
// not be kept.
func Enter(r *recipe.Recipe) *check.Entry {
	slim := &recipe.Recipe{File: r.File, ID: r.ID, Accepted: r.Accepted}
	if len(r.Accepted) > 0 {
		slim.Steps = make([]recipe.Step, len(r.Steps))
		for i := range r.Steps {
			slim.Steps[i].Title = r.Steps[i].Title
		}
	}
	e := &check.Entry{Recipe: slim}
	if !r.Unread {
		e.Ways = ways(r)
		e.Uses = sharedMedia(r)
	}
	// Nothing points behind the front matter then: the rest of the file need not be
	// kept, unless some finding does.
	if end := r.Head.End; len(e.Ways)+len(e.Uses) == 0 && r.ID.OK && end < len(r.File.Text) {
		head := source.New(r.File.Name, bytes.Clone(r.File.Text[:end]))
		slim.File, slim.ID.Span.File = head, head
		slim.Accepted = slices.Clone(r.Accepted)
		for i := range slim.Accepted {
			slim.Accepted[i].Span.File, slim.Accepted[i].Finding.Span.File = head, head
		}
	}
	return e
}

// ways are the places where a recipe sends its reader to another one.
func ways(r *recipe.Recipe) []check.Way {
	var all []check.Way
	// Most recipes have no link at all, and the signs of one are soon looked for.
	if !maybeLinked(r.File.Text[min(r.Head.End, len(r.File.Text)):]) {
		return sentOn(r)
	}
	eachProse(r, func(step int, inlines []prose.Inline) {
		links(inlines, func(in *prose.Inline) {
			if target := recipeTarget(in.Target); target != "" {
				all = append(all, check.Way{Target: target, Link: true, Finding: check.Finding{Span: in.Span, Step: step}})
			}
		})
	})
	return append(all, sentOn(r)...)
}

// maybeLinked says whether a text holds what every link of Markdown has.
func maybeLinked(text []byte) bool {
	for {
		i := bytes.IndexByte(text, ']')
		if i < 0 || i+1 == len(text) {
			return false
		}
		if text = text[i+1:]; text[0] == '(' || text[0] == ':' {
			return true
		}
	}
}

// eachProse gives all the words of a recipe, with the number of the step they
// stand in, 0 outside the steps.
func eachProse(r *recipe.Recipe, f func(step int, inlines []prose.Inline)) {
	var blocks func(step int, all []prose.Block)
	blocks = func(step int, all []prose.Block) {
		for i := range all {
			b := &all[i]
			f(step, b.Inlines)
			for _, row := range b.Rows {
				for _, cell := range row {
					f(step, cell)
				}
			}
			blocks(step, b.Blocks)
		}
	}
	blocks(0, r.Purpose)
	for i := range r.Notices {
		blocks(0, r.Notices[i].Blocks)
	}
	for i := range r.Steps {
		s := &r.Steps[i]
		f(s.Number, s.Words)
		for k := range s.Body {
			e := &s.Body[k]
			blocks(s.Number, e.Blocks)
			if e.Notice != nil {
				blocks(s.Number, e.Notice.Blocks)
			}
			for _, p := range e.KeyPoints {
				f(s.Number, p.Point)
				f(s.Number, p.Reason)
			}
			if e.Check == nil {
				continue
			}
			f(s.Number, e.Check.Words)
			for _, side := range [][][]prose.Inline{e.Check.Right, e.Check.Wrong} {
				for _, words := range side {
					f(s.Number, words)
				}
			}
		}
	}
	blocks(0, r.Notes)
	blocks(0, r.Footnotes)
}

// links gives the links among words.
func links(inlines []prose.Inline, f func(in *prose.Inline)) {
	for i := range inlines {
		in := &inlines[i]
		if in.Kind == prose.Link {
			f(in)
		}
		if len(in.Children) > 0 {
			links(in.Children, f)
		}
	}
}

// recipeTarget is where a link leads, where that can be a recipe: the path of a
// recipe's file, or an id. It is empty for every other link.
func recipeTarget(target string) string {
	target, _, _ = strings.Cut(target, "#")
	target, _, _ = strings.Cut(target, "?")
	if plain, err := url.PathUnescape(target); err == nil {
		target = plain
	}
	switch {
	case strings.Contains(target, ":") || strings.HasPrefix(target, "//"):
		return ""
	case len(target) > 3 && strings.EqualFold(target[len(target)-3:], ".md"), isID(target):
		return target
	}
	return ""
}

// isID says whether a word has the form of a recipe's id.
func isID(word string) bool {
	for i := range len(word) {
		if !idLetter(word[i]) {
			return false
		}
	}
	return word != "" && word[0] != '-' && word[len(word)-1] != '-'
}

func idLetter(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-'
}

// onward are the words that send a reader on. Their first letter may be large.
var onward = [][]byte{[]byte("follow "), []byte("go on with "), []byte("continue with ")}

// sentOn are the places where words send the reader to a recipe by its id:
// "Then follow bowl-rim", "go on with recipe bowl-rim". It is the words as they
// were typed that are gone through.
func sentOn(r *recipe.Recipe) []check.Way {
	var all []check.Way
	text := r.File.Text
	// All of them have one w, which is rare.
	for w := r.Head.End; w < len(text); w++ {
		i := bytes.IndexByte(text[w:], 'w')
		if i < 0 {
			break
		}
		w += i
		for _, words := range onward {
			begin := w - bytes.IndexByte(words, 'w')
			at := begin + len(words)
			if begin < r.Head.End || at > len(text) || text[begin]|0x20 != words[0] || !bytes.Equal(text[begin+1:at], words[1:]) ||
				begin > 0 && idLetter(text[begin-1]|0x20) {
				continue
			}
			start, end, sure := named(text, at)
			if start < end {
				way := check.Way{Target: string(text[start:end]), Finding: check.Finding{Span: r.File.Span(start, end), Step: stepAt(r, start)}}
				if !sure {
					way.Severity = diag.Warning
				}
				all = append(all, way)
			}
		}
	}
	return all
}

// named is the id that stands at byte at of a text, behind words that send the
// reader on; start and end are equal where none does. It is sure to be meant as
// one where it is called a recipe or marked as a name.
func named(text []byte, at int) (start, end int, sure bool) {
	for _, word := range []string{"the ", "recipe "} {
		if bytes.HasPrefix(text[at:], []byte(word)) {
			at += len(word)
			sure = word == "recipe "
		}
	}
	mark := 0
	for _, m := range []string{"`", "\"", "“"} {
		if bytes.HasPrefix(text[at:], []byte(m)) {
			mark, sure = len(m), true
		}
	}
	start = at + mark
	end = start
	for end < len(text) && idLetter(text[end]) {
		end++
	}
	word := string(text[start:end])
	closed := mark == 0 || end < len(text) && bytes.IndexByte([]byte("`\"\xe2"), text[end]) >= 0
	inWord := end < len(text) && (text[end] >= 0x80 && mark == 0 || text[end] >= 'A' && text[end] <= 'Z' || text[end] == '_')
	// A single word may be any word of the bench: "follow the recipe closely".
	if !closed || inWord || !isID(word) || !strings.Contains(word, "-") {
		return at, at, false
	}
	return start, end, sure
}

// stepAt is the number of the step a byte of the file stands in, 0 outside.
func stepAt(r *recipe.Recipe, at int) int {
	for i := range r.Steps {
		if s := &r.Steps[i]; at >= s.All.Start && at < s.All.End {
			return s.Number
		}
	}
	return 0
}

// RepeatedID is the id of the rule that two recipes do not bear one id.
const RepeatedID = "repeated-id"

// repeatedID is kept over the whole house, since one recipe alone cannot break
// it.
var repeatedID = check.Rule{
	ID: RepeatedID, Severity: diag.Error, Concern: diag.Card,
	Title:  "Every recipe of the house has an id of its own.",
	Why:    "The id is what stands on the card and names the printed file. Two recipes of one id print over each other, and nobody can tell which card hangs on the wall.",
	Source: "common practice",
	Quiet:  "there is no other recipe in the house around the one that was asked for",
	Bad:    "recipe: bowl-rim        (in two files)",
	Good:   "recipe: bowl-rim-small",
	Across: func(s *check.Shelf, found func(*check.Entry, check.Finding)) {
		first := make(map[string]string, len(s.Entries)+len(s.Others))
		for id, name := range s.Others {
			first[id] = name
		}
		for _, e := range s.Entries {
			r := e.Recipe
			have, taken := first[r.ID.Value]
			switch {
			case !r.ID.OK:
			case !taken:
				first[r.ID.Value] = r.File.Name
			default:
				found(e, check.Finding{
					Span:    r.ID.Span,
					Message: fmt.Sprintf("The id %q is taken by %s.", r.ID.Value, have),
					Help:    "Give this recipe an id of its own; the printed file and the card bear it.",
				})
			}
		}
	},
}
