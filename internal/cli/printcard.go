package cli

import (
	"strconv"
	"strings"
	"unicode"

	"coldwright/internal/sheet"
)

// cardOptions reads what is asked of a card, and says where it is asked of a
// page that is none.
func (job *printJob) cardOptions(steps string) error {
	o := &job.asked
	if o.Landscape && o.Portrait {
		return usagef("a paper lies --landscape or stands --portrait, not both")
	}
	if o.Punch != "" {
		if err := oneOf("--punch", o.Punch, []string{"left", "top"}); err != nil {
			return err
		}
	}
	if steps != "" {
		var ok bool
		if o.From, o.To, ok = stepRange(steps); !ok {
			return usagef("--steps takes a step or the first and the last, such as 4 or 1-6, not %q", steps)
		}
	}
	if job.design.Page == sheet.CardPage {
		return nil
	}
	for _, option := range []struct{ name, value string }{{"--surface", o.Surface}, {"--bench", o.Bench}, {"--steps", steps}} {
		if option.value != "" {
			return usagef("%s is for cards: add --as %q", option.name, "bench card")
		}
	}
	return nil
}

// stepRange reads "4" and "1-6".
func stepRange(text string) (from, to int, ok bool) {
	first, last, two := strings.Cut(text, "-")
	from, err := strconv.Atoi(strings.TrimSpace(first))
	to = from
	if err == nil && two {
		to, err = strconv.Atoi(strings.TrimSpace(last))
	}
	return from, to, err == nil && from > 0 && to >= from
}

// called is the design as part of the name of a file. What a card is for and
// the paper it is asked on stand in it, so that no card takes the place of
// another.
func (job *printJob) called() string {
	name := job.design.FileName()
	if job.design.Page != sheet.CardPage {
		return name
	}
	o := job.asked
	if o.Surface != "" {
		name += "-" + filePart(o.Surface)
	}
	if o.Bench != "" {
		name += "-bench-" + filePart(o.Bench)
	}
	switch {
	case o.From > 0 && o.To > o.From:
		name += "-steps-" + strconv.Itoa(o.From) + "-" + strconv.Itoa(o.To)
	case o.From > 0:
		name += "-step-" + strconv.Itoa(o.From)
	}
	if o.Paper != "" && o.Paper != job.design.Paper {
		name += "-" + filePart(o.Paper)
	}
	if o.Portrait && job.design.Turned {
		name += "-portrait"
	}
	if o.Landscape && !job.design.Turned {
		name += "-landscape"
	}
	return name
}

// filePart is a word as part of the name of a file: letters and figures, the
// rest as hyphens.
func filePart(word string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return '-'
	}, strings.TrimSpace(word))
}
