package stamp

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// Reading is what somebody scanned or typed from a face.
type Reading struct {
	// ID is the name of the recipe as Fold leaves it, and Written as it was
	// typed; both are empty where only the mark was.
	ID, Written string
	// Revision is 0 where none was given.
	Revision int
	Mark     Mark
}

// Slip is a text that cannot be a mark: what is wrong with it and what to do.
type Slip struct{ Message, Help string }

func (s *Slip) Error() string { return s.Message }

// readAgain is what to do about most slips.
const readAgain = "Read it again from the page: the mark stands in bold beside the square code, as in QF37-K2M4-B."

// Read finds name, revision and mark in a text. Capitals or not, spaces,
// hyphens and points do not matter, O is taken for 0 and I and L for 1. The
// error is a *Slip: the check character catches every single wrong character
// and nearly every two that changed places.
func Read(text string) (Reading, error) {
	text = withoutPage(strings.TrimSpace(text))
	for _, r := range text {
		if unicode.IsLetter(r) && r > unicode.MaxASCII {
			return Reading{}, &Slip{fmt.Sprintf("“%c” is on no mark: it has figures and the capitals A to Z.", r), readAgain}
		}
	}
	all := Fold(text)
	if len(all) < length {
		if all == "" {
			return Reading{}, &Slip{"There is no mark here to look at.", readAgain}
		}
		return Reading{}, &Slip{fmt.Sprintf("A mark has %d characters; here there are %d.", length, len(all)), readAgain}
	}
	m := all[len(all)-length:]
	if i := strings.IndexByte(m, 'U'); i >= 0 {
		return Reading{}, &Slip{"A mark holds no U.", "Look whether the " + place(i) + " character of the mark is a V."}
	}
	if check(m[:length-1]) != m[length-1] {
		return Reading{}, &Slip{
			Message: "The mark " + Mark(m).String() + " does not hold together: its last character is the check on the others, and it does not fit.",
			Help:    "A character was misread or two changed places. " + readAgain,
		}
	}
	r := Reading{Mark: Mark(m)}
	r.ID, r.Revision = revision(all[:len(all)-length])
	r.Written = firstLetters(text, len(r.ID))
	return r, nil
}

// Fold is a text with only its figures and letters, in capitals, those that
// are misread as others taken for them: two names that a bench hand could take
// for each other fold to the same.
func Fold(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z':
			r -= 'a' - 'A'
		case r >= '0' && r <= '9', r >= 'A' && r <= 'Z':
		default:
			return -1
		}
		switch r {
		case 'O':
			return '0'
		case 'I', 'L':
			return '1'
		}
		return r
	}, text)
}

// withoutPage takes "· page 2 of 3" off, which stands behind the mark.
func withoutPage(text string) string {
	low := strings.ToLower(text)
	at := strings.LastIndex(low, "page")
	if at <= 0 {
		return text
	}
	before, words := low[:at], strings.Fields(low[at+len("page"):])
	last := before[len(before)-1]
	if last >= 'a' && last <= 'z' || last >= '0' && last <= '9' || last == '-' {
		return text
	}
	if len(words) == 3 && words[1] == "of" && number(words[0]) && number(words[2]) {
		return text[:at]
	}
	return text
}

func number(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// revision takes "R2" or "REV2" off the end of a folded text. A revision that
// is not there is 0.
func revision(s string) (id string, n int) {
	at := len(s)
	for at > 0 && s[at-1] >= '0' && s[at-1] <= '9' {
		at--
	}
	head := s[:at]
	switch {
	case at == len(s):
		return s, 0
	case strings.HasSuffix(head, "REV"):
		head = strings.TrimSuffix(head, "REV")
	case strings.HasSuffix(head, "R"):
		head = strings.TrimSuffix(head, "R")
	default:
		return s, 0
	}
	n, err := strconv.Atoi(s[at:])
	if err != nil || n <= 0 {
		return s, 0
	}
	return head, n
}

// firstLetters is the text as far as its first n figures and letters.
func firstLetters(text string, n int) string {
	for i, r := range text {
		if n == 0 {
			return strings.TrimSpace(strings.TrimRight(text[:i], " -·"))
		}
		if Fold(string(r)) != "" {
			n--
		}
	}
	return text
}

// place is a number as a word of order, for the nine characters of a mark.
func place(i int) string {
	return [length]string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth"}[i]
}
