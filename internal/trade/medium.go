package trade

import (
	"fmt"
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

// ReadMedium reads "felt pad, solid", "iron lap, 300 mm" or a code. Byte n of
// text is byte n of at. What is wrong is reported; false where nothing usable
// is left.
func (h *House) ReadMedium(at source.Span, text string, report *diag.List) (Medium, bool) {
	if s, ok := h.MediumStock[text]; ok {
		return s.cited(), true
	}
	if known, ok := h.look.mediums.Load(text); ok {
		return known.(Medium), true
	}
	before := len(*report)
	m, ok := h.readMedium(at, text, report)
	if ok && len(*report) == before {
		h.look.mediums.Store(strings.Clone(text), m)
	}
	return m, ok
}

// cited is the medium of a line as a recipe cites it.
func (s *MediumStock) cited() Medium {
	m := s.Medium
	m.Stock = s
	if !m.Diameter.Written() {
		m.Diameter = s.Diameter
	}
	return m
}

func (h *House) readMedium(at source.Span, text string, report *diag.List) (Medium, bool) {
	var m Medium
	good := true
	wrong := func(rule string, start, end int, message, help string) {
		say(report, rule, stretch(at, text, start, end), message, help)
		good = false
	}
	if strings.TrimSpace(text) == "" {
		wrong(UnknownMedium, 0, len(text), "No medium is written.", "Write what carries the grain, as felt pad, iron lap or horsehair brush wheel.")
		return m, false
	}
	var room [16]word
	words := room[:0]
	all := parts(text)
	if s, ok := h.MediumStock[text[all[0].start:all[0].end]]; ok {
		m = s.cited()
		all = all[1:]
	}
	if m.Kind == nil && len(all) > 0 {
		first := text[all[0].start:all[0].end]
		_, n := h.look.medium.at(split(nil, first, 0, len(first)), 0)
		near := ""
		if !strings.Contains(first, " ") && find(&h.look.media, first) == nil {
			near = keys.Nearest(first, sortedCodes(h.MediumStock))
		}
		if near != "" || codeLike(first) && (n == 0 || strings.Contains(first, "-")) {
			wrong(UnknownMedium, all[0].start, all[0].end, quote(first)+" is no line of the house's media.",
				nearest(first, sortedCodes(h.MediumStock), "Write the code of a line of media, or the medium itself, as felt pad."))
			return m, false
		}
	}
	for _, in := range all {
		piece := text[in.start:in.end]
		v, err := quantity.Parse(withoutDia(piece), h.Numbers, quantity.Length)
		switch {
		case piece == "":
		case err == nil:
			m.Diameter = v
		case figure(piece[0]):
			sayAmount(report, at, text, in.start, err)
			good = false
		default:
			words = split(words, text, in.start, in.end)
		}
	}
	// The diameter may stand without a comma, as the last two words.
	if n := len(words); n > 2 && figure(words[n-2].norm[0]) {
		from, to := words[n-2].start, words[n-1].end
		if v, err := quantity.Parse(text[from:to], h.Numbers, quantity.Length); err == nil {
			m.Diameter, words = v, words[:n-2]
		}
	}
	var variantAt word
	for i := 0; i < len(words); {
		term, n := h.look.medium.at(words, i)
		if n == 0 {
			from := i
			for i < len(words) {
				if _, n := h.look.medium.at(words, i); n > 0 {
					break
				}
				i++
			}
			start, end := words[from].start, words[i-1].end
			wrong(UnknownMedium, start, end, quote(text[start:end])+" is not known as what carries a grain.", h.mediumHelp(text[start:end], words, from, i))
			continue
		}
		start, end := words[i].start, words[i+n-1].end
		switch {
		case term.kind != nil && m.Kind != nil && m.Kind != term.kind:
			wrong(SaidTwice, start, end, "A second medium is written here: "+text[start:end]+".", "Keep the one that is meant.")
		case term.kind != nil:
			m.Kind = term.kind
		case m.Variant != "" && m.Variant != term.variant:
			wrong(SaidTwice, start, end, "A second word for its kind is written here: "+text[start:end]+".", "Keep the one that is meant.")
		default:
			m.Variant, variantAt = term.variant, word{start, end, term.variant}
		}
		i += n
	}
	if m.Kind == nil {
		if good {
			wrong(UnknownMedium, 0, len(text), quote(text)+" does not say what it is.", "Write the medium too, as felt pad or brush wheel.")
		}
		return m, false
	}
	if m.Variant != "" && !slices.Contains(m.Kind.Variants, m.Variant) {
		help := fmt.Sprintf("Write %s alone.", m.Kind.Name)
		if len(m.Kind.Variants) > 0 {
			help = fmt.Sprintf("A %s is %s.", m.Kind.Name, listed(m.Kind.Variants, "or"))
		}
		wrong(UnknownMedium, variantAt.start, variantAt.end, fmt.Sprintf("There is no %s that is %s.", m.Kind.Name, m.Variant), help)
	}
	m.Words = m.Kind.Name
	if m.Variant != "" {
		m.Words += ", " + m.Variant
	}
	return m, good
}

// mediumHelp says what unknown words may have meant.
func (h *House) mediumHelp(text string, words []word, from, to int) string {
	if k := h.FindKind(text); k != nil || h.FindKind("by "+text) != nil {
		return "It is a machine: write it as the Machine, and here what carries the grain, or leave the line out."
	}
	if near := keys.Nearest(text, h.look.media.names); near != "" {
		return "Write " + near + "."
	}
	if known := len(words) > to-from; known {
		// Beside a medium that is known it may be a word for its kind.
		if near := keys.Nearest(text, h.look.medium.names); near != "" {
			return "Write " + near + "."
		}
	}
	if near := keys.Nearest(joined(words), h.look.medium.names); near != "" {
		return "Write " + near + "."
	}
	for i := from; i < to; i++ {
		if t, n := h.look.abrasive.at(words, i); n > 0 && (t.family != nil || t.bond != "") {
			return "It belongs to the Abrasive: a bonded tool carries its own grain and needs no Medium."
		}
	}
	return "Write what carries the grain, as felt pad, cork wheel, horsehair brush wheel or iron lap."
}

// ReadMachine reads "flat lap, 300 mm at 150 rpm" or "LAP3 at 150 rpm". Byte n
// of text is byte n of at. What is wrong is reported; false where nothing
// usable is left.
func (h *House) ReadMachine(at source.Span, text string, report *diag.List) (MachineUse, bool) {
	if known, ok := h.look.machines.Load(text); ok {
		return known.(MachineUse), true
	}
	before := len(*report)
	m, ok := h.readMachine(at, text, report)
	if ok && len(*report) == before {
		h.look.machines.Store(strings.Clone(text), m)
	}
	return m, ok
}

func (h *House) readMachine(at source.Span, text string, report *diag.List) (MachineUse, bool) {
	var m MachineUse
	good := true
	name := text
	if i := lastAt(text); i >= 0 && h.FindKind(text) == nil {
		name = text[:i]
		from := i + len(" at ")
		v, err := quantity.Parse(text[from:], h.Numbers, quantity.Rotation, quantity.Speed)
		if err != nil {
			sayAmount(report, at, text, from, err)
			good = false
		}
		m.Speed = v
	}
	for n, in := range parts(name) {
		piece := text[in.start:in.end]
		if n == 0 {
			if u, ok := h.Machines[piece]; ok {
				m.Unit, m.Kind, m.Diameter = u, u.Kind, u.Diameter
			} else if k := h.FindKind(piece); k != nil {
				m.Kind = k
			} else {
				say(report, UnknownMachine, stretch(at, text, in.start, max(in.end, in.start+1)), h.noMachine(piece), h.machineHelp(piece))
				good = false
			}
			continue
		}
		if piece == "" {
			continue
		}
		v, err := quantity.Parse(withoutDia(piece), h.Numbers, quantity.Length, quantity.Rotation, quantity.Speed)
		switch {
		case err != nil:
			sayAmount(report, at, text, in.start, err)
			good = false
		case v.Unit.Kind == quantity.Length:
			m.Diameter = v
		case m.Speed.Written():
			say(report, SaidTwice, stretch(at, text, in.start, in.end), "A second speed is written here: "+piece+".", "Keep the one that is meant.")
			good = false
		default:
			m.Speed = v
		}
	}
	return m, good && m.Kind != nil
}

func (h *House) noMachine(piece string) string {
	if strings.TrimSpace(piece) == "" {
		return "No machine is written."
	}
	return quote(piece) + " is no machine of the house and no kind of machine."
}

func (h *House) machineHelp(piece string) string {
	if codeLike(piece) {
		return nearest(piece, sortedCodes(h.Machines), "Write the code of a machine of the house, or its kind, as flat lap, 300 mm at 150 rpm.")
	}
	if near := keys.Nearest(piece, append(sortedCodes(h.Machines), h.look.kinds.names...)); near != "" {
		return "Write " + near + "."
	}
	var kinds []string
	for _, k := range h.Kinds {
		kinds = append(kinds, k.Name)
	}
	return "Write the code of a machine, or its kind: " + listed(kinds, "or") + "."
}

// lastAt is where the last " at " of a machine stands, -1 where none does.
func lastAt(text string) int {
	for i := len(text) - len(" at "); i >= 0; i-- {
		if text[i] == ' ' && text[i+3] == ' ' && strings.EqualFold(text[i+1:i+3], "at") {
			return i
		}
	}
	return -1
}

// sortedCodes are the codes of a map in order.
func sortedCodes[T any](m map[string]T) []string {
	codes := make([]string, 0, len(m))
	for code := range m {
		codes = append(codes, code)
	}
	slices.Sort(codes)
	return codes
}
