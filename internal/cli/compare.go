package cli

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"coldwright/internal/process"
	"coldwright/internal/report"
	"coldwright/internal/wear"
)

// pair is one step of a surface as written and as changed; one of them may be
// missing.
type pair struct{ was, is *process.StepReckoning }

// paired sets the steps of two reckonings of one surface side by side, by
// title.
func paired(was, is []process.StepReckoning) (out []pair) {
	later := func(list []process.StepReckoning, name string) bool {
		for n := range list {
			if title(&list[n]) == name {
				return true
			}
		}
		return false
	}
	i, j := 0, 0
	for i < len(was) || j < len(is) {
		switch {
		case i < len(was) && j < len(is) && title(&was[i]) == title(&is[j]):
			out = append(out, pair{&was[i], &is[j]})
			i, j = i+1, j+1
		case j < len(is) && (i >= len(was) || !later(was[i:], title(&is[j]))):
			out = append(out, pair{nil, &is[j]})
			j++
		default:
			out = append(out, pair{&was[i], nil})
			i++
		}
	}
	return out
}

var compareColumns = []report.Column{
	{Head: "step", Width: 16},
	{Head: "before\nmin", Width: 6, Right: true}, {Head: "\nneeds", Width: 6, Right: true}, {Head: "leaves\nµm", Width: 8, Right: true}, {Head: "\nclears", Width: 8},
	{Head: "after\nmin", Width: 5, Right: true}, {Head: "\nneeds", Width: 6, Right: true}, {Head: "leaves\nµm", Width: 8, Right: true}, {Head: "\nclears", Width: 8},
}

// comparePage sets a recipe and what became of it side by side.
func comparePage(one reckoned) string {
	var b strings.Builder
	rec := one.as.Plan.Recipe
	b.WriteString(report.Paragraph(fmt.Sprintf("%s, revision %d, %s", rec.ID.Value, rec.Revision.Value, one.change), ""))
	for i := range one.as.Surfaces {
		was, is := &one.as.Surfaces[i], &one.changed.Surfaces[i]
		if len(was.Steps) == 0 && len(is.Steps) == 0 || was.Cannot != "" || unchanged(was, is) {
			continue
		}
		b.WriteByte('\n')
		b.WriteString(report.Paragraph(headLine(was), ""))
		b.WriteByte('\n')
		var rows [][]string
		var below []string
		for _, p := range paired(was.Steps, is.Steps) {
			row := make([]string, 9)
			half := func(s *process.SurfaceReckoning, st *process.StepReckoning, at int) {
				if st == nil {
					return
				}
				row[0] = title(st)
				full := stepRow(s, slices.IndexFunc(s.Steps, func(o process.StepReckoning) bool { return o.Steps[0] == st.Steps[0] }))
				row[at], row[at+1], row[at+2], row[at+3] = full[3], full[4], full[6], full[8]
			}
			half(was, p.was, 1)
			half(is, p.is, 5)
			rows = append(rows, row)
			if p.is != nil {
				for _, line := range remarks(is, p.is) {
					_, words, _ := strings.Cut(line, ": ")
					below = append(below, title(p.is)+": "+words)
				}
			}
		}
		rows = append(rows, []string{"looks like", "", "", "", finishWord(was.Finish), "", "", "", finishWord(is.Finish)})
		b.WriteString(report.Table(compareColumns, rows))
		if len(below) > 0 {
			b.WriteString("\n" + report.Paragraph("As changed:", "   "))
			for _, line := range below {
				b.WriteString(report.Paragraph(line, "   "))
			}
		}
	}
	b.WriteString("\n" + report.Paragraph(difference(one), ""))
	b.WriteString(footPage(one.changed, false))
	return b.String()
}

// unchanged says whether a surface ends as it did, by the same steps.
func unchanged(was, is *process.SurfaceReckoning) bool {
	if was.After != is.After || len(was.Steps) != len(is.Steps) {
		return false
	}
	for n := range was.Steps {
		if was.Steps[n].In != is.Steps[n].In {
			return false
		}
	}
	return true
}

// difference is what a change does, in one sentence for each surface it
// changes.
func difference(one reckoned) string {
	var out []string
	for i := range one.as.Surfaces {
		was, is := &one.as.Surfaces[i], &one.changed.Surfaces[i]
		if was.Cannot != "" || unchanged(was, is) {
			continue
		}
		out = append(out, capitalised(one.change)+", "+surfaceDifference(was, is, one)+".")
	}
	if len(out) == 0 {
		return capitalised(one.change) + ", nothing changes in what can be reckoned."
	}
	return strings.Join(out, " ")
}

func surfaceDifference(was, is *process.SurfaceReckoning, one reckoned) string {
	name := is.Surface.Name.Value
	line := ""
	bench := one.changed.Totals.Attended - one.as.Totals.Attended
	if bench != 0 {
		line = fmt.Sprintf("%s min %s are written, ", two3(math.Abs(bench)), moreOrLess(bench))
	}
	ends := fmt.Sprintf("the finish of the %s is %s with %s", name, finishWord(is.Finish), damageWords(is.After))
	switch {
	case was.Finish != is.Finish:
		ends += " instead of " + finishWord(was.Finish) + " with " + damageWords(was.After)
	case damageWords(was.After) != damageWords(is.After):
		ends += " instead of " + damageWords(was.After)
	default:
		ends += " as before"
	}
	a, b := lastPolish(was), lastPolish(is)
	if a == nil || b == nil {
		return line + ends
	}
	before, beforeSafe := polishMinutes(was, a)
	after, afterSafe := polishMinutes(is, b)
	if before < 0 || after < 0 {
		return line + ends
	}
	line += fmt.Sprintf("the polish of the %s needs about %s min (%s to be sure)", name, two(after), two(afterSafe))
	switch {
	case two(before) != two(after):
		line += fmt.Sprintf(" instead of %s (%s), %s min %s", two(before), two(beforeSafe), two(math.Abs(after-before)), moreOrLess(after-before))
		// What was saved at the bench against what it costs at the polish.
		if all := bench + after - before; bench != 0 && two(math.Abs(all)) != "0" {
			line += fmt.Sprintf(" (%s min %s in all)", two(math.Abs(all)), moreOrLess(all))
		}
	case two(beforeSafe) != two(afterSafe):
		line += fmt.Sprintf(" instead of %s (%s)", two(before), two(beforeSafe))
	default:
		line += " as before"
	}
	return line + ", and in the minutes written " + ends
}

func moreOrLess(v float64) string {
	if v < 0 {
		return "less"
	}
	return "more"
}

// damageWords are what is left underneath, with its range.
func damageWords(s wear.State) string {
	switch {
	case s.DHighUM <= 0:
		return "no damage left"
	case s.DUM <= 0:
		return fmt.Sprintf("no damage expected to be left (up to %s µm)", two(s.DHighUM))
	}
	return fmt.Sprintf("%s µm of damage left (%s)", two(s.DUM), span(s.DLowUM, s.DHighUM))
}

// lastPolish is the last step where it polishes.
func lastPolish(s *process.SurfaceReckoning) *process.StepReckoning {
	if n := len(s.Steps); n > 0 && s.Steps[n-1].Polish() && s.Steps[n-1].Cannot == "" {
		return &s.Steps[n-1]
	}
	return nil
}

// polishMinutes are those until the polish has taken all damage off and shines,
// expected and safe; negative where they never come.
func polishMinutes(s *process.SurfaceReckoning, st *process.StepReckoning) (expected, safe float64) {
	r := st.Result
	if r.Expected.Reach == wear.Never || r.Safe.Reach == wear.Never || r.Gloss.Reach == wear.Never {
		return -1, -1
	}
	n := faces(s, st)
	return max(r.Expected.Minutes, r.Gloss.Minutes) * n, max(r.Safe.Minutes, r.Gloss.Minutes) * n
}
