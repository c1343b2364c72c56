package trade

import (
	"fmt"
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

// ReadGrade reads a grade for a family and bond, refusing scales it is not
// sold in and bare numbers the house has not explained.
func (h *House) ReadGrade(at source.Span, text string, f *Family, b Bond, report *diag.List) (grade.Grade, bool) {
	return h.gradeOf(at, text, f, b, nil, report)
}

// gradeOf reads a grade by itself for a family, bond and tool.
func (h *House) gradeOf(at source.Span, text string, f *Family, b Bond, tool *Tool, report *diag.List) (grade.Grade, bool) {
	p := phrase{h: h, at: at, text: text, report: report}
	p.Family, p.Bond, p.Tool = f, b, tool
	text = p.hyphened()
	p.graded = part{0, len(text)}
	if number, start, ok := grade.BareTail(text); ok && start == len(text)-len(strings.TrimLeft(text, " \t")) {
		p.bare = number
	}
	if f == nil {
		return grade.Grade{}, false
	}
	ok := p.readGrade(true)
	return p.Grade, ok
}

// readGrade reads the grade that was found.
func (p *phrase) readGrade(needed bool) bool {
	if p.unread {
		return false
	}
	if p.graded.end == 0 {
		if needed && p.Family.Size == 0 && (p.Tool == nil || !p.Tool.Cutting) {
			p.say(GradeMissing, 0, len(p.text), fmt.Sprintf("%s has no grade.", quote(p.text)), "Write the grade behind it, as "+p.example()+".")
			return false
		}
		return true
	}
	text := p.text[p.graded.start:p.graded.end]
	scales := p.Family.Scales[p.Bond]
	read := grade.Reading{Loose: p.Bond != Coated, DecimalComma: p.h.Numbers.DecimalComma}
	if p.bare != "" {
		if g, ok := read.Parse(text); ok && slices.Contains(scales, g.Scale) && g.Scale != grade.Pumice {
			p.Grade = g
			return true
		}
		return p.bareNumber()
	}
	g, ok := read.Parse(text)
	if !ok && slices.Contains(scales, grade.Pumice) {
		g, ok = grade.OnScale(grade.Pumice, strings.TrimSpace(text))
	}
	if !ok {
		// A decimal comma where the house writes a point, read as that.
		if point := strings.Replace(text, ",", ".", 1); point != text {
			if g, ok := read.Parse(point); ok && slices.Contains(scales, g.Scale) {
				p.say(UnknownGrade, p.graded.start, p.graded.end, "Numbers are written with a point here, not with a comma.", "Write "+g.Label+".")
				p.Grade = g
				return true
			}
		}
		if n, err := quantity.Parse(text, p.h.Numbers, quantity.Length); err == nil && n.Unit != quantity.Micrometre {
			p.say(UnknownGrade, p.graded.start, p.graded.end, quote(text)+" is a length and no grade.", "Write the grade with its scale, as "+p.example()+", and a diameter behind a comma.")
			return false
		}
		if s, number, ok := grade.Marked(strings.TrimSpace(text)); ok && !slices.Contains(scales, s) {
			return p.notSoldIn(text, s, number)
		}
		message, help, _ := grade.Advice(text)
		p.say(UnknownGrade, p.graded.start, p.graded.end, message, help)
		return false
	}
	if !slices.Contains(scales, g.Scale) {
		return p.notOnScale(g)
	}
	p.Grade = g
	return true
}

// bareNumber reads a number without a scale.
func (p *phrase) bareNumber() bool {
	scales := p.Family.Scales[p.Bond]
	// A degree of pumice is a number by itself.
	if slices.Contains(scales, grade.Pumice) {
		if g, ok := grade.OnScale(grade.Pumice, p.bare); ok {
			p.Grade = g
			return true
		}
	}
	scale, ok := p.h.look.bare[bareKey{p.Family, p.Bond, p.Tool}]
	if !ok {
		scale, ok = p.h.look.bare[bareKey{p.Family, p.Bond, nil}]
	}
	if ok {
		if g, ok := grade.OnScale(scale, p.bare); ok {
			p.Grade = g
			return true
		}
		var near []string
		for _, g := range grade.Nearest(scale, p.bare) {
			near = append(near, g.Label)
		}
		p.say(UnknownGrade, p.graded.start, p.graded.end,
			fmt.Sprintf("A number without a scale is %s here, and %s has no %s.", scaleName(scale), scaleName(scale), p.bare),
			"The nearest are "+listed(near, "and")+".")
		return false
	}
	var writings []string
	for _, s := range scales {
		if g, ok := grade.OnScale(s, p.bare); ok && s != grade.Micron && s != grade.Sieve {
			writings = append(writings, g.Label)
		}
	}
	meanings := meaningsOf(p.bare)
	message := fmt.Sprintf("%s alone does not say which scale it is on.", quote(p.bare))
	if len(meanings) > 1 {
		message = fmt.Sprintf("%s has several meanings: %s.", quote(p.bare), listed(meanings, "or"))
	}
	help := "Write the grade as its maker does, with its scale, as " + p.example() + "."
	if len(writings) > 0 {
		help = fmt.Sprintf("Write %s, or say in the shop file under “bare numbers” what a number means for %s.", listed(writings, "or"), p.words())
	}
	p.say(BareGrade, p.graded.start, p.graded.end, message, help)
	return false
}

// meaningsOf are the sizes a bare number may mean, with the scale of each:
// "17.3 µm as F400".
func meaningsOf(number string) (all []string) {
	for _, g := range grade.Meanings(number) {
		if g.Scale != grade.Sieve && g.Size > 0 && g.Scale != grade.Pumice {
			all = append(all, fmt.Sprintf("%s µm as %s", quantity.Format(g.Size, 3), g.Label))
		}
	}
	return all
}

// bareAlone reports a number that has several meanings where the abrasive is not
// named either, so that no scale can be told from what it is sold in; false where
// it has not several.
func (p *phrase) bareAlone() bool {
	meanings := meaningsOf(p.bare)
	if p.bare == "" || len(meanings) < 2 {
		return false
	}
	help := "Write the abrasive, its form and its grade with the scale, as silicon carbide F220 or resin diamond pad 325 mesh."
	if lines := p.stockOf(p.bare, p.Tool); len(lines) > 0 {
		help = "Write the code of the line of stock that is meant: " + listed(lines, "or") + "; else the abrasive, its form and its grade with the scale."
	}
	p.say(BareGrade, 0, len(p.text), fmt.Sprintf("%s has several meanings: %s. Nor does it say what the abrasive is.", quote(p.text), listed(meanings, "or")), help)
	return true
}

// stockOf are up to four lines of the house's stock whose grade bears the
// number: those of a tool where it is not nil, and of the bond that is written:
// "S400 (silicon carbide F400)".
func (p *phrase) stockOf(number string, tool *Tool) (lines []string) {
	if number == "" {
		return nil
	}
	for _, code := range sortedCodes(p.h.Stock) {
		s := p.h.Stock[code]
		a := s.Abrasive
		if s.Retired || tool != nil && a.Tool != tool || p.bond && a.Bond != p.Bond || !slices.Contains(strings.Fields(strings.TrimLeft(a.Grade.Label, "FPD")), number) {
			continue
		}
		lines = append(lines, code+" ("+a.Words+" "+a.Grade.Label+")")
	}
	return lines[:min(len(lines), 4)]
}

// notSoldIn reports a grade that its scale does not have, where the abrasive is
// not sold in that scale either.
func (p *phrase) notSoldIn(text string, scale grade.Scale, number string) bool {
	var names, writings []string
	for _, s := range p.Family.Scales[p.Bond] {
		names = append(names, scaleName(s))
		if g, ok := grade.OnScale(s, number); ok && s != grade.Micron && s != grade.Sieve {
			writings = append(writings, g.Label)
		}
	}
	form := p.words()
	if p.Bond == Loose {
		form = "loose " + form
	}
	help := "Write a grade of " + listed(names, "or") + "."
	if len(writings) > 0 {
		help = "Write " + listed(writings, "or") + " if that is meant, else another grade of " + listed(names, "or") + "."
	}
	p.say(GradeNotSold, p.graded.start, p.graded.end,
		fmt.Sprintf("%s is written as a grade of %s, and %s is not sold in it.", quote(text), scaleName(scale), form), help)
	return false
}

// notOnScale reports a grade on a scale the abrasive is not sold in.
func (p *phrase) notOnScale(g grade.Grade) bool {
	scales := p.Family.Scales[p.Bond]
	names := make([]string, len(scales))
	for i, s := range scales {
		names[i] = scaleName(s)
	}
	form := p.words()
	if p.Bond == Loose {
		form = "loose " + form
	}
	help := "Write a grade of " + listed(names, "or") + "."
	var near []string
	for _, n := range grade.Neighbours(g, 1) {
		if slices.Contains(scales, n.Scale) && n.Scale != grade.Micron && len(near) < 3 {
			near = append(near, n.Label)
		}
	}
	if g.Size > 0 && len(near) > 0 {
		help += fmt.Sprintf(" Nearest to its %s µm: %s.", quantity.Format(g.Size, 3), listed(near, "or"))
	}
	p.say(GradeNotSold, p.graded.start, p.graded.end,
		fmt.Sprintf("%s is a grade of %s, and %s is not sold in it.", g.Label, scaleName(g.Scale), form), help)
	return false
}

// example is how a grade of the abrasive is written.
func (p *phrase) example() string {
	samples := map[grade.Scale]string{
		grade.FEPAF: "F220", grade.FEPAP: "P220", grade.Mesh: "325 mesh", grade.Micron: "1.5 µm", grade.Pumice: "2F", grade.JIS: "JIS 400",
	}
	if p.Bond == Loose && p.Family.Name == "diamond" {
		return "9 µm"
	}
	for _, s := range p.Family.Scales[p.Bond] {
		if w := samples[s]; w != "" {
			return w
		}
	}
	return "400 mesh"
}

// scaleName is a scale in a sentence.
func scaleName(s grade.Scale) string {
	switch s {
	case grade.Mesh:
		return "mesh"
	case grade.Micron:
		return "µm"
	case grade.Sieve:
		return "sieve numbers"
	case grade.Pumice:
		return "degrees of pumice"
	}
	return string(s)
}

// findScale is the scale a shop file means: FEPA F or F, FEPA P or P, CAMI,
// ANSI, JIS, FEPA D or D, mesh, µm.
func findScale(name string) (grade.Scale, bool) {
	short := map[string]grade.Scale{
		"f": grade.FEPAF, "p": grade.FEPAP, "d": grade.FEPAD, "micron": grade.Micron, "um": grade.Micron, "μm": grade.Micron,
		"degrees": grade.Pumice, "pumice degrees": grade.Pumice,
	}
	n := norm(name)
	if s, ok := short[n]; ok {
		return s, true
	}
	for _, s := range grade.Scales() {
		if norm(string(s.Scale)) == n {
			return s.Scale, true
		}
	}
	return "", false
}

// scaleNames are the scales a shop file may name.
func scaleNames() []string {
	var all []string
	for _, s := range grade.Scales() {
		all = append(all, string(s.Scale))
	}
	return all
}

// nearest adds the word that was likely meant to a finding's help.
func nearest(text string, known []string, otherwise string) string {
	if near := keys.Nearest(text, known); near != "" {
		return "Write " + near + "."
	}
	return otherwise
}
