package sheet

import (
	"strings"

	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
	"coldwright/internal/words"
)

// tongue says the fixed words of a print, and writes numbers and days, in its
// language.
type tongue struct {
	speak *words.Speaker
	// brief is true on a page that says cautions in their short words.
	brief bool
}

// say is a fixed phrase; ~ in it is a space that does not break. A test finds
// every phrase said so and holds it against the tables.
func (t tongue) say(english string, fill ...any) string { return t.speak.Say(english, fill...) }

// name is a name of the trade, as the house's language has it; the house's own
// names and what no table has stay as they are.
func (t tongue) name(english string) string { return t.speak.Name(english) }

// figure is a number with so many figures.
func (t tongue) figure(v float64, figures int) string {
	return t.speak.Number(quantity.Format(v, figures))
}

// value is an amount with its unit, not to be parted.
func (t tongue) value(v quantity.Value) string {
	text := v.NoBreak()
	if t.speak.Tag() == "" {
		return text
	}
	number, unit, cut := strings.Cut(text, nbsp)
	if !cut {
		return t.speak.Number(text)
	}
	return t.speak.Number(number) + nbsp + t.name(unit)
}

// unread says, in the language of the print, that no native glassworker has read
// its words; empty where one has.
func (t tongue) unread() string {
	if l := t.speak.First(); l != nil {
		return l.Unread
	}
	return ""
}

// isoDate is a day as ISO 8601 writes it, or what the author wrote.
func isoDate(f recipe.Field[recipe.Date]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	return f.Value.String()
}

func (t tongue) dateOf(f recipe.Field[recipe.Date]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	return t.speak.Date(f.Value.String())
}

// amountOf is a field's amount, or what the author wrote.
func (t tongue) amountOf(f recipe.Field[quantity.Value]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	return t.value(f.Value)
}

// minutes is a time as the bare number of the minutes column.
func (t tongue) minutes(v quantity.Value) string {
	if !v.Written() {
		return ""
	}
	return t.figure(v.In(quantity.Minute), 3)
}

// approx is a computed number with two figures: 2.4, 0.57, 13.
func (t tongue) approx(x float64) string { return t.figure(x, 2) }

// and is a list in a sentence: A, B and C.
func (t tongue) and(list []string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	last := len(list) - 1
	return t.say("%s and %s", strings.Join(list[:last], ", "), list[last])
}

// count is a number with the right one of two phrases, each with a hole for it
// where there is more than one.
func (t tongue) count(n int, one, more string) string {
	if n == 1 {
		return t.say(one)
	}
	return t.say(more, n)
}

// filled is a phrase with a word in its hole, or nothing where there is no
// word.
func (t tongue) filled(english, word string) string {
	if word == "" {
		return ""
	}
	return t.say(english, word)
}

// abrasive is what an abrasive is called, without its grade: a language other
// than English puts it together from its parts, since the words of a bond stand
// elsewhere in it.
func (t tongue) abrasive(a trade.Abrasive) string {
	if t.speak.Tag() == "" || a.Family == nil {
		return a.Words
	}
	if named := t.name(a.Words); named != a.Words {
		return named
	}
	grain := t.name(a.Family.Name)
	if a.Tool == nil {
		return grain
	}
	// What no table has is said as it is in English, whole: these keys are no
	// words for a page.
	part := func(key string) string {
		if word := t.name(key); word != key {
			return word
		}
		return ""
	}
	tool, bond := part("tool: "+a.Tool.Name), ""
	if a.Bond != "" && a.Bond != trade.Loose && a.Bond != trade.Coated {
		if bond = part("bond: " + string(a.Bond)); bond == "" {
			return a.Words
		}
	}
	if tool == "" {
		return a.Words
	}
	return joined(", ", tool, joined(" ", grain, bond))
}

// medium is what a medium is called, with its variant behind it.
func (t tongue) medium(m trade.Medium) string {
	if t.speak.Tag() == "" || m.Kind == nil {
		return m.Words
	}
	kind, variant, _ := strings.Cut(m.Words, ", ")
	if kind == m.Kind.Name {
		kind = t.name(kind)
	}
	return joined(", ", kind, t.name(variant))
}

// listed is a word of a closed list of the front matter, which the tables have
// behind its kind; what no table has stays as it was written.
func (t tongue) listed(kind string, f recipe.Field[string]) string {
	word := written(f)
	if t.speak.Tag() == "" || !f.OK || word == "" {
		return word
	}
	if named := t.name(kind + word); named != kind+word {
		return named
	}
	return word
}

// arrives is how a surface comes to the bench. In another language than English
// it is put together anew, unless it says what has no fixed words.
func (t tongue) arrives(a recipe.Arrival) string {
	key := "arrives: " + a.How
	how := t.name(key)
	if t.speak.Tag() == "" || how == key || a.Damage.Written() || a.Uneven.Written() {
		return a.Words
	}
	if a.Abrasive.Family == nil {
		if !strings.EqualFold(a.Words, a.How) {
			return a.Words
		}
		return how
	}
	return joined(", ", how, joined(" ", t.abrasive(a.Abrasive), t.speak.Number(a.Abrasive.Grade.Label)))
}

// wording is what a topic says here, in the language of the print; a house's
// own words stay as they are.
func (t tongue) wording(topic *trade.Topic, facts map[string]float64) trade.Wording {
	w := topic.Wording(facts)
	if topic.House {
		return w
	}
	if t.brief && w.Short != "" {
		w.Full = t.name(w.Full)
	} else if w.Full != "" {
		w.Full = t.say(w.Full)
	}
	if w.Short != "" {
		w.Short = t.say(w.Short)
	}
	return w
}

// test is what a test is called, how it is made and what it shows; a house's own
// stays as it was written.
func (t tongue) test(of *trade.Test) (name, method, shows string) {
	name, method, shows = of.Name, of.Method, strings.TrimRight(of.Shows, ".")
	if of.House {
		return name, method, shows
	}
	name = t.name(name)
	if method != "" {
		method = t.say(method)
	}
	if shows != "" {
		shows = t.say(shows)
	}
	return name, method, shows
}

// title and why are those of a topic.
func (t tongue) title(topic *trade.Topic) string {
	if topic.House || topic.Title == "" {
		return topic.Title
	}
	return t.say(topic.Title)
}

func (t tongue) why(topic *trade.Topic) string {
	if topic.House || topic.Why == "" {
		return topic.Why
	}
	return t.say(topic.Why)
}
