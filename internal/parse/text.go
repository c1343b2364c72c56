package parse

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
)

// mostNamed is how many places of one slip are named one by one.
const mostNamed = 20

// text reports characters that are no text: all of them as one finding. It
// gives false where the file is something else than text, so that nothing in
// it is worth reading.
func (r *reading) text() bool {
	if cr := strings.IndexByte(r.all, '\r'); cr >= 0 && !strings.Contains(r.all, "\n") {
		r.say(NotText, r.file.Span(cr, cr+1), "The lines of this file end as very old computers ended them, so that all of it is one line.",
			"Save the file with the line ends of Windows or Unix in your editor.")
		return false
	}
	nul := bytes.IndexByte(r.file.Text, 0)
	if nul < 0 && utf8.ValidString(r.all) {
		return true
	}
	r.broken = true
	if wide(r.all) {
		// Two bytes a character: every letter has a nought beside it.
		r.say(NotText, r.file.Span(0, 0), "The file is saved in another character set, so nothing in it can be read.",
			"Save the file as UTF-8 in your editor.")
		return false
	}
	if nul >= 0 {
		r.say(NotText, r.file.Span(nul, nul+1), "This is no text: it holds characters that no text has, as pictures and drawings do.",
			"Give the name of the recipe, a file that ends in .md.")
		return false
	}
	var at []int
	count := 0
	for i := 0; i < len(r.all); {
		c, size := utf8.DecodeRuneInString(r.all[i:])
		if c == utf8.RuneError && size == 1 {
			if count++; len(at) < mostNamed {
				at = append(at, i)
			}
		}
		i += size
	}
	d := diag.Diagnostic{
		Rule: NotText, Severity: severity(NotText), Concern: diag.Card, Span: r.file.Span(at[0], at[0]+1),
		Message: "A character in this line is saved in another character set, so it cannot be read.",
		Help:    "Save the file as UTF-8 in your editor, then look at the character again.",
	}
	if count*10 > len(r.all) {
		d.Message = "The file is no text, or is saved in another character set: most of it cannot be read."
		d.Help = "Give the name of the recipe, a file that ends in .md; if this is one, save it as UTF-8 in your editor."
		r.list.Add(d)
		return false
	}
	if count > 1 {
		d.Message = fmt.Sprintf("%d characters from this line on are saved in another character set, so they cannot be read.", count)
		d.Help = "Save the file as UTF-8 in your editor, then look at each of them again."
	}
	for _, i := range at[1:] {
		d.Also = append(d.Also, diag.Site{Span: r.file.Span(i, i+1)})
	}
	r.list.Add(d)
	return true
}

// wide says whether a file is saved with two bytes a character, by the mark it
// then begins with.
func wide(text string) bool {
	return strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff")
}

// once takes out findings about characters of the front matter that have been
// reported for the file as a whole; those from place from on in the list are
// looked at.
func (r *reading) once(from int) {
	if !r.broken {
		return
	}
	kept := (*r.list)[:from]
	for _, d := range (*r.list)[from:] {
		if d.Rule != keys.UnreadableByte || utf8.ValidString(d.Span.Text()) {
			kept = append(kept, d)
		}
	}
	*r.list = kept
}

// otherFile reports a file of keys that is no recipe, as the shop file is.
func (r *reading) otherFile() bool {
	name := strings.ToLower(r.file.Name)
	if !strings.HasSuffix(name, ".yaml") && !strings.HasSuffix(name, ".yml") {
		return false
	}
	first := max(r.first(0), 0)
	_, end := r.line(first)
	r.say(FrontMatter, r.file.Span(first, r.trimEnd(first, end)),
		"This is no recipe: a recipe is a file that ends in .md.",
		"Name a recipe or the folder of the recipes; the shop file is read with every recipe beside it.")
	return true
}

// keyOf says whether a line is one of the keys with its colon.
func keyOf(line string, known []string) bool {
	for _, k := range known {
		if rest, ok := strings.CutPrefix(line, k); ok && strings.HasPrefix(rest, ":") {
			return true
		}
	}
	return false
}
