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

// lapClasses are what a house may write behind lap.
var lapClasses = []string{string(Hard), string(Pitch), string(Pad), string(Cork), string(Felt), string(Brush)}

// ownMedia takes the media that no table knows and the house says the lap of.
// It runs before the lines themselves are read, so that every line, recipe and
// limit may name them.
func (l *laying) ownMedia(v keys.Value) {
	var none diag.List
	for _, e := range v.Entries(&none) {
		if e.Value.Kind() != keys.Map {
			continue
		}
		f := e.Value.Fields("a line of media", mediaKeys, &none)
		m, lap := f.Get("medium"), f.Get("lap")
		if m.Kind() != keys.Scalar || lap.Kind() != keys.Scalar || !slices.Contains(lapClasses, norm(lap.Text())) {
			continue
		}
		text := m.Text()
		if _, ok := l.h.readMediumWords(source.Span{}, text, Medium{}, parts(text), &none); ok {
			continue
		}
		name := l.mediumName(text)
		if name == "" || l.mediumKind(name) != nil {
			continue
		}
		own := &MediumKind{Name: name, Lap: LapClass(norm(lap.Text())), Reach: []string{"any"}, House: true, Source: "the house"}
		if reach := f.Get("reach"); reach.Kind() != keys.Missing {
			quiet := laying{h: l.h, report: &none}
			if shapes := quiet.reach(reach); shapes != nil {
				own.Reach = shapes
			}
		}
		l.h.Media = append(slices.Clip(l.h.Media), own)
	}
}

// mediumName is the words of a medium without its diameter.
func (l *laying) mediumName(text string) string {
	var words []string
	for _, in := range parts(text) {
		piece := text[in.start:in.end]
		if piece == "" || figure(piece[0]) {
			continue
		}
		// 300 mm may stand behind the words without a comma.
		all := strings.Fields(piece)
		if n := len(all); n > 2 && figure(all[n-2][0]) {
			if _, err := quantity.Parse(all[n-2]+" "+all[n-1], l.h.Numbers, quantity.Length); err == nil {
				all = all[:n-2]
			}
		}
		words = append(words, strings.Join(all, " "))
	}
	return strings.Join(words, " ")
}

// mediumKind finds a medium of the tables or one of the house's own before the
// house is ready to be asked.
func (l *laying) mediumKind(name string) *MediumKind {
	if k := l.h.FindMedium(name); k != nil {
		return k
	}
	for _, k := range l.h.Media {
		if k.House && norm(k.Name) == norm(name) {
			return k
		}
	}
	return nil
}

// made lays what a line says of its medium's making over what the table says.
func made(m *Medium, lap LapClass, shapes []string) {
	if (lap == "" || lap == m.Kind.Lap) && shapes == nil {
		return
	}
	own := *m.Kind
	own.House, own.Source = true, "the house"
	if lap != "" {
		own.Lap = lap
	}
	if shapes != nil {
		own.Reach = shapes
	}
	m.Kind = &own
}

func (l *laying) media(v keys.Value) {
	for _, e := range v.Entries(l.report) {
		ok := l.code(e)
		f := e.Value.Fields("a line of media", mediaKeys, l.report)
		s := &MediumStock{Code: e.Key, Span: e.KeySpan}
		lap := LapClass(l.oneOf(f.Get("lap"), lapClasses))
		var shapes []string
		if reach := f.Get("reach"); reach.Kind() != keys.Missing {
			shapes = l.reach(reach)
		}
		report := l.report
		if lap == "" && f.Get("lap").Kind() != keys.Missing {
			// That the words are unknown says no more than the lap that is.
			report = &diag.List{}
		}
		switch m := f.Get("medium"); m.Kind() {
		case keys.Missing:
			if e.Value.Kind() != keys.Unread {
				l.say(StockMissing, e.KeySpan, fmt.Sprintf("The line %s does not say what it is.", e.Key), "Write medium: and what it is, as felt wheel.")
			}
		default:
			var good bool
			if l.text(m) != "" {
				text := m.Text()
				s.Medium, good = l.h.readMediumWords(m.Part(0, len(text)), text, Medium{}, parts(text), report)
			}
			if good {
				made(&s.Medium, lap, shapes)
			} else {
				// A recipe that cites it has nothing of its own to be told.
				s.Medium.Kind = nil
			}
		}
		s.KeptFor = l.keptFor(f.Get("kept for"))
		s.Diameter = l.amount(f.Get("diameter"), quantity.Length)
		if s.Diameter.Written() && s.Medium.Diameter.Written() {
			_, at := f.Get("diameter").Key()
			l.say(SaidTwice, at, fmt.Sprintf("The diameter of %s is written twice.", e.Key), "Keep it at one place.")
		}
		if !s.Diameter.Written() {
			s.Diameter = s.Medium.Diameter
		}
		s.Medium.Diameter = s.Diameter
		s.Maximum = l.amount(f.Get("maximum"), quantity.Rotation, quantity.Speed)
		if ok {
			addCode(l.h.MediumStock, l.h.look.mediumStock, e.Key, s)
		}
	}
}
