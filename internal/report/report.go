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
	// Recipes is how many were read.
	Recipes int
	// Strict is true where a warning stops a print as an error does.
	Strict bool
}

// Lines writes one finding a line: FILE:LINE:COL: SEVERITY: RULE: MESSAGE, the
// column in characters, line and column from 1. A finding that points nowhere
// starts at its severity.
func Lines(w io.Writer, list diag.List) error {
	var b strings.Builder
	for _, d := range list {
		if d.Span.Known() {
			p := d.Span.Place()
			fmt.Fprintf(&b, "%s:%d:%d: ", clean(p.Name), p.Line, p.Column)
		}
		fmt.Fprintf(&b, "%s: %s: %s\n", d.Severity, d.Rule, oneLine(d.Message))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// tally is the counts of a list in words: "1 refusal, 2 errors, 1 warning".
func tally(list diag.List) []string {
	var parts []string
	for s := diag.Refusal; s >= diag.Note; s-- {
		if n := list.Count(s); n > 0 {
			parts = append(parts, count(n, s.String()))
		}
	}
	return parts
}

// last is the line that sums the findings up.
func last(list diag.List, sum Summary) string {
	parts := append([]string{count(sum.Recipes, "recipe")}, tally(list)...)
	if len(list) == 0 {
		parts = append(parts, "no findings")
	}
	line := strings.Join(parts, ", ")
	switch worst := list.Worst(); {
	case worst == diag.Refusal:
		line += ". " + theStop(list.Count(diag.Refusal), "refusal") + " the print and the draft."
	case worst == diag.Error:
		line += ". " + theStop(list.Count(diag.Error), "error") + " the print."
	case worst == diag.Warning && sum.Strict:
		line += ". " + theStop(list.Count(diag.Warning), "warning") + " the print, as asked."
	default:
		line += ", nothing that stops a print."
	}
	if len(list) > 0 {
		line += "   coldwright explain " + list[0].Rule
	}
	return line
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
