package trade

import (
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// FindStock finds a line of the house's stock by its code, whatever its case.
func (h *House) FindStock(code string) *Stock { return findCode(h.Stock, h.look.stock, code) }

// FindMediumStock finds a line of the house's media by its code, whatever its
// case.
func (h *House) FindMediumStock(code string) *MediumStock {
	return findCode(h.MediumStock, h.look.mediumStock, code)
}

// FindMachine finds a machine of the house by its code, whatever its case.
func (h *House) FindMachine(code string) *Machine { return findCode(h.Machines, h.look.machine, code) }

// findCode finds a line by its code as it is written, else by the code that
// differs from it in case, hyphens and spaces only.
func findCode[T any](lines, folded map[string]*T, code string) *T {
	if one, ok := lines[code]; ok {
		return one
	}
	if len(folded) == 0 {
		return nil
	}
	return folded[norm(code)]
}

// addCode makes a line known by its code.
func addCode[T any](lines, folded map[string]*T, code string, one *T) {
	lines[code] = one
	key := norm(code)
	if _, twice := folded[key]; twice {
		one = nil
	}
	folded[key] = one
}

// stockLine is the line of stock that text cites. A code in other letters than
// its own gives way where the words say something else by themselves: a house
// may have a line PUMICE that is no pumice.
func (h *House) stockLine(text string) *Stock {
	s := h.FindStock(text)
	if s == nil || s.Code == text {
		return s
	}
	var none diag.List
	if a, ok := h.readWords(source.Span{}, text, true, &none); ok && (a.Family != s.Abrasive.Family || a.Bond != s.Abrasive.Bond || a.Tool != s.Abrasive.Tool ||
		a.Grade.Written() && a.Grade != s.Abrasive.Grade) {
		return nil
	}
	return s
}

// mediumLine is the line of media that text cites, as stockLine is for stock.
func (h *House) mediumLine(text string) *MediumStock {
	s := h.FindMediumStock(text)
	if s == nil || s.Code == text {
		return s
	}
	if k := h.FindMedium(text); k != nil && k != s.Medium.Kind {
		return nil
	}
	return s
}

// machineLine is the machine that text cites, as stockLine is for stock.
func (h *House) machineLine(text string) *Machine {
	m := h.FindMachine(text)
	if m == nil || m.Code == text {
		return m
	}
	if k := h.FindKind(text); k != nil && k != m.Kind {
		return nil
	}
	return m
}

// nearCode is what to write for a code the house does not have. A slip of the
// pen — O for 0, a hyphen left out, two letters that changed places — names the
// code meant. Where one letter or figure is another, that is another line: the
// lines so near are named with what they are. Empty where none is near.
func nearCode(text string, codes []string, what func(code string) string) string {
	plain := plainCode(text)
	var same, near []string
	for _, code := range codes {
		switch other := plainCode(code); {
		case other == plain || swapped(plain, other):
			same = append(same, code)
		case oneOff(plain, other):
			near = append(near, code)
		}
	}
	if len(same) == 1 {
		return "Write " + same[0] + "."
	}
	near = append(same, near...)
	if len(near) == 0 {
		return ""
	}
	slices.Sort(near)
	for i, code := range near {
		if words := what(code); words != "" {
			near[i] += " (" + words + ")"
		}
	}
	return "The house has " + listed(near, "and") + ". Write the code that is meant, or add the line to the shop file."
}

// sureCode is the code that nearCode says to write, "" where it names several
// or none.
func sureCode(help string) string {
	code, sure := strings.CutPrefix(help, "Write ")
	if !sure {
		return ""
	}
	return strings.TrimSuffix(code, ".")
}

// plainCode is a code with everything taken away that is easily mistaken.
func plainCode(code string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case '-', '_', ' ', '.', '/':
			return -1
		case 'O':
			return '0'
		case 'I', 'L':
			return '1'
		}
		return r
	}, strings.ToUpper(code))
}

// spacedCode is the code of a line that text is but for a blank in it, "D 140"
// for D140; "" where it is none.
func spacedCode(text string, codes []string) string {
	if !strings.Contains(text, " ") || !codeLike(strings.ReplaceAll(text, " ", "")) {
		return ""
	}
	for _, code := range codes {
		if strings.EqualFold(code, strings.ReplaceAll(text, " ", "")) {
			return code
		}
	}
	return ""
}

// swapped says whether two neighbours changed places.
func swapped(a, b string) bool {
	if len(a) != len(b) || len(a) < 3 {
		return false
	}
	for i := 0; i+1 < len(a); i++ {
		if a[i] != b[i] {
			return a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
		}
	}
	return false
}

// oneOff says whether one letter or figure is another, is missing or too much.
func oneOff(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 || len(b) < 3 {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return len(a) == len(b) && a[i+1:] == b[i+1:] || len(a) != len(b) && a[i:] == b[i+1:]
		}
	}
	return true
}

// stockWords are what a line of stock is, for a finding.
func (h *House) stockWords(code string) string {
	a := h.Stock[code].Abrasive
	if a.Family == nil {
		return ""
	}
	return strings.TrimSpace(a.Words + " " + a.Grade.Label)
}

// mediumWords are what a line of media is, for a finding.
func (h *House) mediumWords(code string) string {
	s := h.MediumStock[code]
	if s.KeptFor == "" || s.Medium.Kind == nil {
		return s.Medium.Words
	}
	return s.Medium.Words + ", kept for " + s.KeptFor
}

// machineWords are what a machine is, for a finding.
func (h *House) machineWords(code string) string {
	m := h.Machines[code]
	if m.Kind == nil {
		return ""
	}
	if m.Diameter.Written() {
		return m.Kind.Name + ", " + m.Diameter.String()
	}
	return m.Kind.Name
}
