// Package report writes findings for those who read them: text for the lead at
// the desk, one line each for an editor, JSON for a program. It decides
// nothing; the list comes sorted.
package report

import (
	"fmt"
	"io"
	"strings"

	"coldwright/internal/diag"
)

// Summary is what is said once, after all findings.
type Summary struct {
	// Recipes is how many were read; the others count findings.
	Recipes                           int
	Refusals, Errors, Warnings, Notes int
	// Accepted is how many findings the lead has overruled; they are not counted
	// as notes.
	Accepted int
	// Unread is how many files could not be read at all.
	Unread int
	// Strict is true where a warning stops a print as an error does.
	Strict bool
	// Mend is what is written behind `coldwright mend` to mend them; empty where
	// there is nothing that can be named there.
	Mend string
	// Silent leaves the line that sums up out.
	Silent bool
}

// Summarise sums a list up that came from so many recipes.
func Summarise(list diag.List, recipes int) Summary {
	sum := Summary{Recipes: recipes}
	for i := range list {
		if list[i].Accepted != nil {
			sum.Accepted++
			continue
		}
		switch list[i].Severity {
		case diag.Refusal:
			sum.Refusals++
		case diag.Error:
			sum.Errors++
		case diag.Warning:
			sum.Warnings++
		case diag.Note:
			sum.Notes++
		}
	}
	return sum
}

// Lines writes one finding a line: FILE:LINE:COL: SEVERITY: RULE: MESSAGE, the
// column in characters, line and column from 1. A finding that points nowhere
// starts at its severity; one that the lead has overruled says so at its end.
func Lines(w io.Writer, list diag.List) error {
	var b strings.Builder
	for _, d := range list {
		if d.Span.Known() {
			p := d.Span.Place()
			fmt.Fprintf(&b, "%s:%d:%d: ", clean(p.Name), p.Line, p.Column)
		}
		fmt.Fprintf(&b, "%s: %s: %s\n", d.Severity, d.Rule, oneLine(d.Message+overruled(&d)))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// overruled is the sentence behind the message of a finding that the lead has
// overruled, with a space before it; empty behind every other.
func overruled(d *diag.Diagnostic) string {
	if d.Accepted == nil {
		return ""
	}
	until := ""
	if d.Accepted.Until != "" {
		until = " until " + d.Accepted.Until
	}
	return " The lead has overruled this" + until + ": " + d.Accepted.Reason + "."
}

// last is the line that sums the findings up: what there is, what it stops,
// and where to read on. It is one line, but on a terminal too narrow for it.
func last(list diag.List, sum Summary, look Look) string {
	parts := []string{count(sum.Recipes, "recipe")}
	for _, n := range []struct {
		n    int
		word string
	}{{sum.Refusals, "refusal"}, {sum.Errors, "error"}, {sum.Warnings, "warning"}, {sum.Notes, "note"}} {
		if n.n > 0 {
			parts = append(parts, count(n.n, n.word))
		}
	}
	if sum.Accepted > 0 {
		parts = append(parts, count(sum.Accepted, "finding")+" accepted")
	}
	if len(parts) == 1 && sum.Recipes > 0 {
		parts = append(parts, "no findings")
	}
	if sum.Unread > 0 {
		parts = append(parts, count(sum.Unread, "file")+" not read")
	}
	line := strings.Join(parts, ", ")
	switch {
	case sum.Refusals > 0:
		line += ". " + theStop(sum.Refusals, "refusal") + " the print and the draft."
	case sum.Errors > 0:
		line += ". " + theStop(sum.Errors, "error") + " the print."
	case sum.Warnings > 0 && sum.Strict:
		line += ". " + theStop(sum.Warnings, "warning") + " the print, as asked."
	case sum.Unread > 0 || sum.Recipes == 0:
		line += "."
	default:
		line += ", nothing that stops a print."
	}
	parts = []string{line}
	if worst := gravest(list); worst != nil {
		parts = append(parts, "coldwright explain "+worst.Rule)
	}
	if one := strings.Join(parts, "   "); look.Columns <= 0 || len(one) <= look.words() {
		return one + "\n"
	}
	var b strings.Builder
	for _, part := range parts {
		wrap(&b, part, "", look.words())
	}
	return b.String()
}

// gravest is the first finding of those that stop most and are not overruled;
// nil where there is none.
func gravest(list diag.List) *diag.Diagnostic {
	var worst *diag.Diagnostic
	for i := range list {
		if list[i].Accepted != nil {
			continue
		}
		if worst == nil || list[i].Severity > worst.Severity {
			worst = &list[i]
		}
	}
	return worst
}

// mendable is the line that says what can be mended, "" where nothing can.
func mendable(list diag.List, sum Summary) string {
	n := list.Mendable()
	if n == 0 || sum.Mend == "" {
		return ""
	}
	what, all := fmt.Sprintf("%d of these", n), len(list)-sum.Accepted
	switch {
	case n == all && n == 1:
		what = "This"
	case n == all && n == 2:
		what = "Both"
	case n == all:
		what = fmt.Sprintf("All %d of these", n)
	}
	return what + " can be mended:   coldwright mend " + sum.Mend
}

func theStop(n int, word string) string {
	if n == 1 {
		return "The " + word + " stops"
	}
	return "The " + word + "s stop"
}

// count is "1 recipe", "8 recipes".
func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
