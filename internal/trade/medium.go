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
		// A line that could not be read has been reported where it stands.
		return s.cited(), s.Medium.Kind != nil
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

// readMedium reads a medium or the code of one, which ReadMedium has not found
// as it stands.
func (h *House) readMedium(at source.Span, text string, report *diag.List) (Medium, bool) {
	all := parts(text)
	first := text[all[0].start:all[0].end]
	if s := h.mediumLine(first); s != nil {
		m := s.cited()
		if m.Kind == nil {
			return m, false
		}
		return h.readMediumWords(at, text, m, all[1:], report)
	}
	_, n := h.look.medium.at(split(nil, first, 0, len(first)), 0)
	near := ""
	if first != "" && !strings.Contains(first, " ") && find(&h.look.media, first) == nil && h.FindKind(first) == nil {
		near = nearCode(first, sortedCodes(h.MediumStock), h.mediumWords)
	}
	if code := spacedCode(first, sortedCodes(h.MediumStock)); code != "" && near == "" {
		near = "Write " + code + "."
	}
	sure := strings.HasPrefix(near, "Write ")
	if sure || near != "" && keys.Nearest(first, h.look.media.names) == "" || codeLike(first) && (n == 0 || strings.Contains(first, "-")) {
		if near == "" {
			near = "Write the code of a line of media, or the medium itself, as felt pad."
		}
		say(report, UnknownMedium, stretch(at, text, all[0].start, all[0].end), quote(first)+" is no line of the house's media.", near)
		if sure {
			slipOf(report, at, text, all[0].start, all[0].end, sureCode(near))
		}
		return Medium{}, false
	}
	return h.readMediumWords(at, text, Medium{}, all, report)
}

// readMediumWords reads a medium that is written out in the stretches of text,
// or what stands behind the code of one.
func (h *House) readMediumWords(at source.Span, text string, m Medium, all []part, report *diag.List) (Medium, bool) {
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
			help := h.mediumHelp(text[start:end], words, from, i)
			wrong(UnknownMedium, start, end, quote(text[start:end])+" is not known as what carries a grain.", help)
			if near := keys.Clear(text[start:end], h.look.media.names); near != "" && near == nearWords(text[start:end], h.look.media.names) {
				slipOf(report, at, text, start, end, near)
			} else if whole := keys.Clear(text, h.look.media.names); whole != "" && help == "Write "+whole+"." {
				slipOf(report, at, text, 0, len(text), whole) // "cork bel": the one word alone is near to nothing
			}
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
	if near := nearWords(text, h.look.media.names); near != "" {
		return "Write " + near + "."
	}
	if len(words) > to-from {
		// Beside a medium that is known it may be a word for its kind.
		if near := keys.Nearest(text, h.look.medium.names); near != "" {
			return "Write " + near + "."
		}
		if near := nearWords(joined(words), h.look.medium.names); near != "" {
			return "Write " + near + "."
		}
	}
	for i := from; i < to; i++ {
		if t, n := h.look.abrasive.at(words, i); n > 0 && (t.family != nil || t.bond != "") {
			return "It belongs to the Abrasive: a bonded tool carries its own grain and needs no Medium."
		}
	}
	return fmt.Sprintf("Write what carries the grain, as felt pad, cork wheel, horsehair brush wheel or iron lap. One of the house's own is listed under “media” in the shop file with how it meets the glass, as {medium: %s, lap: hard}.",
		joined(words))
}

// nearWords is the name that text most likely means, word by word: a copper lap
// is no cork lap, however few letters differ.
func nearWords(text string, names []string) string {
	near := keys.Nearest(text, names)
	mine, its := split(nil, text, 0, len(text)), split(nil, near, 0, len(near))
	if len(mine) != len(its) {
		return near
	}
	for i := range mine {
		if mine[i].norm != its[i].norm && keys.Nearest(mine[i].norm, []string{its[i].norm}) == "" {
			return ""
		}
	}
	return near
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
