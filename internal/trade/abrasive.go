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

// ReadAbrasive reads what an Abrasive fact, a stock line or an arrival says:
// "resin diamond pad 325 mesh", "silicon carbide F220", or the code of a stock
// line. Byte n of text is byte n of at. What is wrong is reported; false where
// nothing usable is left.
func (h *House) ReadAbrasive(at source.Span, text string, report *diag.List) (Abrasive, bool) {
	if s, ok := h.Stock[text]; ok {
		return s.cited()
	}
	if known, ok := h.look.abrasives.Load(text); ok {
		return known.(Abrasive), true
	}
	before := len(*report)
	a, ok := h.readAbrasive(at, text, true, report)
	if ok && len(*report) == before {
		h.look.abrasives.Store(strings.Clone(text), a)
	}
	return a, ok
}

// cited is the abrasive of a stock line as a recipe cites it. A line that
// could not be read has been reported where it stands.
func (s *Stock) cited() (Abrasive, bool) {
	a := s.Abrasive
	a.ReadyMixed = a.ReadyMixed || s.ReadyMixed
	a.Stock = s
	return a, a.Family != nil
}

// phrase is an abrasive while it is read.
type phrase struct {
	h      *House
	at     source.Span
	text   string
	report *diag.List

	Abrasive
	// bond is true where the author wrote one, spoken how he calls it where that
	// is not its own name.
	bond   bool
	spoken string
	// ready is the word that says it comes ready mixed.
	ready part
	// graded is the stretch of text that is the grade, or the bare number.
	graded part
	bare   string
	// unread is true where a grade is written that could not be read.
	unread bool
}

func (p *phrase) say(rule string, start, end int, message, help string) {
	say(p.report, rule, stretch(p.at, p.text, start, end), message, help)
}

// readAbrasive reads an abrasive or the code of one, which ReadAbrasive has not
// found as it stands. Where needed is false its grade may be missing, as where
// only its kind is asked for.
func (h *House) readAbrasive(at source.Span, text string, needed bool, report *diag.List) (Abrasive, bool) {
	all := parts(text)
	first := text[all[0].start:all[0].end]
	if s := h.stockLine(first); s != nil {
		p := phrase{h: h, at: at, text: text, report: report}
		a, ok := s.cited()
		p.Abrasive = a
		ok = p.amounts(all[1:], nil) && ok
		return p.Abrasive, ok
	}
	if codeLike(first) && !grade.Bare(first) {
		if _, n := h.look.abrasive.at(split(nil, first, 0, len(first)), 0); n == 0 {
			help := nearCode(first, sortedCodes(h.Stock), h.stockWords)
			sure := sureCode(help)
			if help == "" {
				help = "Write the code of a line of stock, or the abrasive and its grade, as silicon carbide F220."
			}
			say(report, UnknownAbrasive, stretch(at, text, all[0].start, all[0].end), quote(first)+" is no line of the house's stock.", help)
			slipOf(report, at, text, all[0].start, all[0].end, sure)
			return Abrasive{}, false
		}
	}
	if code := spacedCode(first, sortedCodes(h.Stock)); code != "" {
		say(report, UnknownAbrasive, stretch(at, text, all[0].start, all[0].end), quote(first)+" is no line of the house's stock.", "Write "+code+".")
		slipOf(report, at, text, all[0].start, all[0].end, code)
		return Abrasive{}, false
	}
	return h.readWords(at, text, needed, report)
}

// readWords reads an abrasive that is written out.
func (h *House) readWords(at source.Span, text string, needed bool, report *diag.List) (Abrasive, bool) {
	p := phrase{h: h, at: at, text: text, report: report}
	if strings.TrimSpace(text) == "" {
		p.say(UnknownAbrasive, 0, len(text), "No abrasive is written.", "Write what takes the glass off, as silicon carbide F220 or resin diamond pad 325 mesh.")
		return Abrasive{}, false
	}
	all := parts(p.hyphened())
	var room [16]word
	words := room[:0]
	p.findGrade(all[0])
	words = p.wordsOf(words, all[0])
	good := p.amounts(all[1:], &words)
	if !p.sort(words) || !p.complete() {
		return p.Abrasive, false
	}
	good = p.readGrade(needed) && good
	p.Words = p.words()
	return p.Abrasive, good
}

// hyphened is the text with the hyphen of F-400 or P-120 taken for a space, and
// reports it: a hyphen otherwise parts words.
func (p *phrase) hyphened() string {
	for i := 1; i+1 < len(p.text); i++ {
		if p.text[i] != '-' || !figure(p.text[i+1]) || i > 1 && p.text[i-2] != ' ' && p.text[i-2] != ',' {
			continue
		}
		letter := strings.ToUpper(p.text[i-1 : i])
		if letter != "F" && letter != "P" && letter != "D" {
			continue
		}
		end := i + 1
		for end < len(p.text) && figure(p.text[end]) {
			end++
		}
		if _, ok := grade.Parse(letter + p.text[i+1:end]); !ok {
			continue
		}
		p.say(UnknownGrade, i-1, end, quote(p.text[i-1:end])+" is written without a hyphen.", "Write "+letter+p.text[i+1:end]+".")
		p.text = p.text[:i] + " " + p.text[i+1:]
	}
	return p.text
}

// findGrade finds the grade in a stretch: at its end, as it is mostly written,
// or in front.
func (p *phrase) findGrade(in part) bool {
	text := p.text[in.start:in.end]
	read := grade.Reading{Loose: true, DecimalComma: p.h.Numbers.DecimalComma}
	if _, start, ok := read.FromTail(text); ok {
		p.graded = part{in.start + start, in.end}
		return true
	}
	if _, _, start, ok := grade.MarkedTail(text); ok {
		p.graded = part{in.start + start, in.end}
		return true
	}
	if number, start, ok := grade.BareTail(text); ok {
		p.graded, p.bare = part{in.start + start, in.end}, number
		return true
	}
	if p.micrometres(in) {
		return true
	}
	var room [16]word
	words := split(room[:0], p.text, in.start, in.end)
	for i := range words {
		for n := min(3, len(words)-i); n > 0; n-- {
			from, to := words[i].start, words[i+n-1].end
			if i+n == len(words) {
				continue
			}
			if _, ok := read.Parse(p.text[from:to]); ok {
				p.graded = part{from, to}
				return true
			}
			if n == 1 && grade.Bare(p.text[from:to]) {
				p.graded, p.bare = part{from, to}, p.text[from:to]
				return true
			}
		}
	}
	return false
}

// micrometres finds a size in micrometres whose number cannot be read.
func (p *phrase) micrometres(in part) bool {
	var room [16]word
	words := split(room[:0], p.text, in.start, in.end)
	for i := 1; i <= 2 && i <= len(words); i++ {
		from := words[len(words)-i].start
		if _, err := quantity.Parse(p.text[from:in.end], p.h.Numbers, quantity.Length); err != nil &&
			figure(p.text[from]) && strings.HasSuffix(words[len(words)-1].norm, "m") {
			sayAmount(p.report, p.at, p.text, from, err)
			p.graded, p.unread = part{from, in.end}, true
			return true
		}
	}
	return false
}

// wordsOf are the words of a stretch without its grade.
func (p *phrase) wordsOf(words []word, in part) []word {
	if p.graded.end == 0 || p.graded.start >= in.end || p.graded.end <= in.start {
		return split(words, p.text, in.start, in.end)
	}
	words = split(words, p.text, in.start, p.graded.start)
	return split(words, p.text, p.graded.end, in.end)
}

// amounts reads what follows the first comma: the diameter, the grade, or more
// words, which are added to words where it is not nil.
func (p *phrase) amounts(all []part, words *[]word) bool {
	good := true
	for _, in := range all {
		text := p.text[in.start:in.end]
		if text == "" {
			continue
		}
		v, err := quantity.Parse(withoutDia(text), p.h.Numbers, quantity.Length)
		switch {
		case err == nil && v.Unit != quantity.Micrometre:
			if p.Diameter.Written() && p.Stock == nil {
				p.say(SaidTwice, in.start, in.end, "A second diameter is written: "+text+".", "Keep one of the two.")
				good = false
				continue
			}
			p.Diameter = v
		case words == nil:
			if err != nil && figure(text[0]) {
				sayAmount(p.report, p.at, p.text, in.start, err)
			} else {
				p.say(UnknownAbrasive, in.start, in.end, quote(text)+" is no diameter.", "Behind the code of a stock line only a diameter may stand, as 200 mm.")
			}
			good = false
		default:
			before := p.graded
			if p.graded.end > 0 || !p.findGrade(in) {
				p.graded = before
				if err != nil && figure(text[0]) {
					sayAmount(p.report, p.at, p.text, in.start, err)
					good = false
					continue
				}
				*words = split(*words, p.text, in.start, in.end)
				continue
			}
			*words = p.wordsOf(*words, in)
		}
	}
	return good
}

// withoutDia is a diameter without the word for it.
func withoutDia(text string) string {
	for _, w := range [...]string{"diameter", "dia", "dia.", "Ø", "⌀", "ø"} {
		if len(text) > len(w) && strings.EqualFold(text[len(text)-len(w):], w) {
			return strings.TrimSpace(text[:len(text)-len(w)])
		}
		if len(text) > len(w) && strings.EqualFold(text[:len(w)], w) {
			return strings.TrimSpace(text[len(w):])
		}
	}
	return text
}

// sort tells family, bond and tool among the words, in any order.
func (p *phrase) sort(words []word) bool {
	good := true
	for i := 0; i < len(words); {
		term, n := p.h.look.abrasive.at(words, i)
		if n == 0 {
			from := i
			for i < len(words) {
				if _, n := p.h.look.abrasive.at(words, i); n > 0 {
					break
				}
				i++
			}
			p.unknown(words, from, i)
			good = false
			continue
		}
		start, end := words[i].start, words[i+n-1].end
		twice := ""
		switch {
		case term.family != nil:
			if p.Family != nil && p.Family != term.family {
				twice = "A second abrasive"
			}
			p.Family = term.family
		case term.tool != nil:
			if p.Tool != nil && p.Tool != term.tool {
				twice = "A second tool"
			}
			p.Tool = term.tool
		case term.bond != "":
			if p.bond && p.Bond != term.bond {
				twice = "A second bond"
			}
			p.Bond, p.bond, p.spoken = term.bond, true, term.spoken
		case term.ready != "":
			p.ready = part{start, end}
		}
		if twice != "" {
			p.say(SaidTwice, start, end, twice+" is written here: "+p.text[start:end]+".", "Keep the one that is meant.")
			good = false
		}
		i += n
	}
	return good
}

// unknown reports words nobody knows, and what was likely meant.
func (p *phrase) unknown(words []word, from, to int) {
	start, end := words[from].start, words[to-1].end
	text := p.text[start:end]
	l := p.h.look
	if _, ok := grade.Parse(text); ok {
		p.say(SaidTwice, start, end, "A second grade is written here: "+text+".", "Keep the one that is meant.")
		return
	}
	help := "Write the abrasive, its form and its grade, as silicon carbide F220 or resin diamond pad 325 mesh."
	if len(words) == 1 && p.graded.end == 0 {
		if near := nearCode(text, sortedCodes(p.h.Stock), p.h.stockWords); near != "" && keys.Nearest(text, l.abrasive.names) == "" {
			p.say(UnknownAbrasive, start, end, quote(text)+" is no line of the house's stock.", near)
			slipOf(p.report, p.at, p.text, start, end, sureCode(near))
			return
		}
	}
	if p.colour(words, from, to) {
		return
	}
	for i := from; i < to; i++ {
		if m, n := l.medium.at(words, i); n > 0 && m.kind != nil {
			p.say(UnknownAbrasive, start, end, quote(text)+" is no abrasive.",
				fmt.Sprintf("A %s carries a loose grain: write it as the Medium.", m.kind.Name))
			return
		}
	}
	// The slip may be in one word of a phrase whose others are known.
	for _, more := range [...][2]int{{0, 1}, {0, 0}, {1, 0}, {0, 2}, {2, 0}} {
		first, last := from-more[0], to+more[1]
		if first < 0 || last > len(words) {
			continue
		}
		if near := keys.Nearest(joined(words[first:last]), l.abrasive.names); near != "" {
			help = "Write " + near + "."
			from, to = first, last
			break
		}
	}
	if p.loosely(words, from, to) {
		return
	}
	p.say(UnknownAbrasive, start, end, quote(text)+" is not known as an abrasive, a bond or a tool.", help)
	if near := keys.Clear(joined(words[from:to]), l.abrasive.names); near != "" && joined(words[from:to]) == strings.ToLower(p.text[words[from].start:words[to-1].end]) {
		slipOf(p.report, p.at, p.text, words[from].start, words[to-1].end, near)
	}
}

// joined are words with single spaces between.
func joined(words []word) string {
	var b strings.Builder
	for i, w := range words {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(w.norm)
	}
	return b.String()
}

// codeLike says whether a text looks like the code of a line: one word with a
// capital letter and no small one, as S220 or FELT-P.
func codeLike(text string) bool {
	capital := false
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case c >= 'A' && c <= 'Z':
			capital = true
		case c >= '0' && c <= '9', c == '-', c == '_', c == '.', c == '/':
		default:
			return false
		}
	}
	return capital
}

// complete finds what the author left to be understood: the bond of a belt,
// the diamond of a blade.
func (p *phrase) complete() bool {
	start, end := 0, len(p.text)
	if p.Family == nil && p.Tool != nil && p.Tool.grain != nil {
		p.Family = p.Tool.grain
	}
	if p.Family == nil {
		if p.bareAlone() {
			return false
		}
		what := "the abrasive itself"
		if p.Tool != nil {
			what = "what the grain of the " + p.Tool.Name + " is"
		}
		help := "Write the abrasive too, as diamond, silicon carbide, pumice or cerium oxide."
		if lines := p.stockOf(p.bare, p.Tool); len(lines) > 0 {
			help = "Write the code of the line of stock that is meant: " + listed(lines, "or") + "; or the abrasive too, as diamond or silicon carbide."
		}
		p.say(UnknownAbrasive, start, end, quote(p.text)+" does not say "+what+".", help)
		return false
	}
	if p.ready.end > 0 && !p.mixed() {
		return false
	}
	if p.Tool != nil && p.Tool.Bond != "" {
		if p.bond && p.Bond != p.Tool.Bond && p.Family.Scales[p.Bond] == nil {
			return p.notSold()
		}
		if !p.bond {
			p.Bond = p.Tool.Bond
		}
	}
	if p.Bond == "" && p.Tool == nil {
		p.Bond = Loose
	}
	if p.Bond == "" {
		if b, ok := p.Tool.usual[p.Family]; ok {
			p.Bond = b
		} else if b, ok := p.Tool.usual[nil]; ok {
			p.Bond = b
		} else if b, ok := p.onlyBond(); ok {
			p.Bond = b
		}
	}
	if p.Bond == "" {
		p.say(BondMissing, start, end,
			fmt.Sprintf("%s does not say how its grain is held.", quote(p.text)),
			fmt.Sprintf("Write %s.", listed(p.choices(), "or")))
		return false
	}
	if p.Family.Scales[p.Bond] == nil {
		return p.notSold()
	}
	return true
}

// mixed takes the word that says the grain comes ready mixed, as the paste of a
// diamond paste. Pumice is mixed at the bench: its paste is a mix.
func (p *phrase) mixed() bool {
	word := p.text[p.ready.start:p.ready.end]
	key := norm(word)
	known := func(all []string) bool {
		return slices.ContainsFunc(all, func(w string) bool { return norm(w) == key })
	}
	switch {
	case p.Tool != nil || p.bond && p.Bond != Loose:
		p.say(UnknownAbrasive, p.ready.start, p.ready.end, quote(word)+" is said of loose grain, and here the grain is held in a tool.", "Leave out the one that is not meant.")
		return false
	case !known(p.Family.ready) && !known(builtIn().ready):
		help := "Leave it out, or write ready mixed where it comes so."
		if p.h.FindMix(key) != nil {
			help = "Write the consistency as the Mix; where it comes mixed, write ready mixed in its place."
		}
		p.say(UnknownAbrasive, p.ready.start, p.ready.end, fmt.Sprintf("%s is no form %s is known in.", quote(word), p.Family.Name), help)
		return false
	}
	p.ReadyMixed = true
	return true
}

// onlyBond is the one bond the family is sold in as a tool, where there is
// only one.
func (p *phrase) onlyBond() (only Bond, ok bool) {
	n := 0
	for _, b := range bonds {
		if b != Loose && b != Coated && p.Family.Scales[b] != nil {
			only = b
			n++
		}
	}
	return only, n == 1
}

// bonds are all bonds in the order they are named to people.
var bonds = []Bond{Plated, Metal, Resin, Vitrified, Rubber, Urethane, Coated, Loose}

// choices are the bonds the tool may have, as they would be written.
func (p *phrase) choices() []string {
	var all []string
	for _, b := range bonds {
		if b == Loose || b == Coated || p.Family.Scales[b] == nil || len(all) == 4 {
			continue
		}
		all = append(all, string(b)+" "+p.Family.Name+" "+p.Tool.Name)
	}
	if len(all) == 0 {
		all = []string{p.Family.Name + " without the " + p.Tool.Name}
	}
	return all
}

// notSold reports a form the abrasive is not sold in.
func (p *phrase) notSold() bool {
	var forms []string
	for _, b := range bonds {
		if p.Family.Scales[b] != nil {
			forms = append(forms, formName(b))
		}
	}
	help := capital(p.Family.Name) + " is sold " + listed(forms, "or") + "."
	if near := p.Family.Name; len(forms) == 1 && p.Family.Scales[Loose] != nil {
		help += " Write " + near + " and its grade, and what carries it as the Medium."
	}
	p.say(NotSoldSo, 0, len(p.text), fmt.Sprintf("%s is not sold %s.", capital(p.Family.Name), formName(p.Bond)), help)
	return false
}

// formName is a bond in a sentence.
func formName(b Bond) string {
	switch b {
	case Loose:
		return "as loose grain"
	case Coated:
		return "on belts and paper"
	case Plated:
		return "plated"
	}
	return "in " + string(b) + " bond"
}

// words are the abrasive as it prints, without its grade.
func (p *phrase) words() string {
	var b strings.Builder
	switch {
	case p.spoken != "":
		b.WriteString(p.spoken)
		b.WriteByte(' ')
	case p.Bond != Loose && (p.Bond != Coated || p.Tool == nil):
		b.WriteString(string(p.Bond))
		b.WriteByte(' ')
	}
	form := ""
	if p.ReadyMixed && p.ready.end > 0 {
		if form = norm(p.text[p.ready.start:p.ready.end]); !slices.Contains(p.Family.ready, form) {
			b.WriteString("ready-mixed ")
			form = ""
		}
	}
	b.WriteString(p.Family.Name)
	if form != "" {
		b.WriteByte(' ')
		b.WriteString(form)
	}
	if p.Tool != nil {
		b.WriteByte(' ')
		b.WriteString(p.Tool.Name)
	}
	return b.String()
}
