package words

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"
)

// Speaker says the fixed words of one print in the language of the house, or
// in two. It keeps in mind what its tables lack and was said in English. A nil
// Speaker speaks English. It may be used by several goroutines.
type Speaker struct {
	first, second *Language
	// habits is the language whose numbers and days are written.
	habits *Language
	lacks  *lacks
}

// lacks are the phrases that no table has.
type lacks struct {
	mu  sync.Mutex
	all map[string]bool
}

// Speak is a speaker of one language, or of two where second is not nil and
// another.
func Speak(first, second *Language) *Speaker {
	if first == nil {
		first = Find(Default)
	}
	if second != nil && second.Tag == first.Tag {
		second = nil
	}
	return &Speaker{first: first, second: second, habits: first, lacks: &lacks{all: map[string]bool{}}}
}

// First is the language of the house, Second the one beside it or nil.
func (s *Speaker) First() *Language {
	if s == nil {
		return nil
	}
	return s.first
}

// Second is the language beside that of the house; nil where there is none.
func (s *Speaker) Second() *Language {
	if s == nil {
		return nil
	}
	return s.second
}

// Languages are the languages spoken by their English names, English left out.
func (s *Speaker) Languages() string {
	var names []string
	for _, l := range []*Language{s.First(), s.Second()} {
		if l != nil && !l.English() {
			names = append(names, l.Name)
		}
	}
	return strings.Join(names, " or ")
}

// Tag says what is spoken: "" for English alone, else "de", "de+en".
func (s *Speaker) Tag() string {
	switch {
	case s == nil || s.first.English() && s.second == nil:
		return ""
	case s.second == nil:
		return s.first.Tag
	}
	return s.first.Tag + "+" + s.second.Tag
}

// Apart are the two languages as a speaker each, which keep in mind together
// what the tables lack. Both write numbers and days as the first does: one page
// has one decimal sign.
func (s *Speaker) Apart() (first, second *Speaker) {
	return &Speaker{first: s.first, habits: s.habits, lacks: s.lacks}, &Speaker{first: s.second, habits: s.habits, lacks: s.lacks}
}

// Say is a fixed phrase, its holes filled as fmt does. In two languages it is
// said in both, a stroke between them.
func (s *Speaker) Say(english string, fill ...any) string {
	if s == nil || english == "" {
		return filled(english, fill)
	}
	first := s.in(s.first, english, fill)
	if s.second == nil {
		return first
	}
	return Beside(first, s.in(s.second, english, fill))
}

func (s *Speaker) in(l *Language, english string, fill []any) string {
	w, ok := l.Word(english)
	if !ok {
		s.lacks.mu.Lock()
		s.lacks.all[english] = true
		s.lacks.mu.Unlock()
		w = english
	}
	return filled(w, fill)
}

// filled is a phrase with its holes filled and its ~ made spaces that do not
// break.
func filled(phrase string, fill []any) string {
	if strings.IndexByte(phrase, '~') >= 0 {
		phrase = strings.ReplaceAll(phrase, "~", "\u00a0")
	}
	if len(fill) == 0 {
		return phrase
	}
	return fmt.Sprintf(phrase, fill...)
}

// Name is a name of the trade; one no table has stays as it is and counts as
// nothing missing, because it may be the house's own.
func (s *Speaker) Name(english string) string {
	if s == nil || english == "" {
		return english
	}
	say := func(l *Language) string {
		if w, ok := l.Word(english); ok {
			return w
		}
		return english
	}
	if s.second == nil {
		return say(s.first)
	}
	return Beside(say(s.first), say(s.second))
}

// Number is a number as the first language writes it.
func (s *Speaker) Number(given string) string { return s.writes().Number(given) }

// Date is a day, given as 2026-10-05, as the first language writes it.
func (s *Speaker) Date(iso string) string { return s.writes().Date(iso) }

func (s *Speaker) writes() *Language {
	if s == nil {
		return nil
	}
	return s.habits
}

// Missing are the phrases that were asked for and are in no table of the
// languages spoken, in order.
func (s *Speaker) Missing() []string {
	if s == nil {
		return nil
	}
	s.lacks.mu.Lock()
	defer s.lacks.mu.Unlock()
	var all []string
	for m := range s.lacks.all {
		all = append(all, m)
	}
	slices.Sort(all)
	return all
}

// Stroke parts the two languages where both stand in one line.
const Stroke = " / "

// Beside are the same words in two languages, said once where they differ in
// nothing but capitals, points and how a number is written. Words both end with
// stand once too: "Reinigen / Clean down: Stück", "Eisenscheibe / iron lap 600 mm".
func Beside(first, second string) string {
	if second == "" || first == second || alike(first) == alike(second) {
		return first
	}
	if first == "" {
		return second
	}
	tail := sharedTail(first, second)
	return first[:len(first)-len(tail)] + Stroke + second[:len(second)-len(tail)] + tail
}

// alike is a text without what does not make it another one.
func alike(text string) string {
	return strings.ToLower(strings.NewReplacer(",", "", ".", "", "\u00a0", " ").Replace(text))
}

// sharedTail is what two texts end with and need not say twice: from a space or
// a sign on, and more than a full stop or a short number, whose words before it
// would be torn from it. Sentences are not cut.
func sharedTail(a, b string) string {
	n := 0
	for n < len(a) && n < len(b) && a[len(a)-1-n] == b[len(b)-1-n] {
		n++
	}
	tail := a[len(a)-n:]
	from := strings.IndexFunc(tail, func(r rune) bool { return r == ' ' || r == ':' || r == '\u00a0' })
	if from < 0 || n-from >= min(len(a), len(b)) || strings.Contains(a, ". ") || strings.HasSuffix(a, ".") {
		return ""
	}
	tail = tail[from:]
	if tail[0] == ':' || strings.IndexFunc(tail, unicode.IsLetter) >= 0 || len(tail) > shortTail {
		return tail
	}
	return ""
}

// shortTail is how long a figure at the end is that stays with the words of
// each language: "Seite 1 von 2".
const shortTail = 4
