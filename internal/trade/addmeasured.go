package trade

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

// Line is the measurement as one line of a shop file, in braces, with the keys
// in the order they are listed in. Numbers are written as the house writes them.
func (m *Measured) Line(o quantity.Options) string {
	var parts []string
	add := func(key, value string) {
		if value != "" {
			parts = append(parts, key+": "+quoted(value))
		}
	}
	amount := func(key string, v quantity.Value) {
		text := v.String()
		if o.DecimalComma {
			text = strings.Replace(text, ".", ",", 1)
		}
		add(key, text)
	}
	add("stock", m.Stock)
	add("medium", m.Medium)
	add("machine", m.Machine)
	add("glass", m.Glass)
	amount("area", m.Area)
	amount("pressure", m.Pressure)
	amount("speed", m.Speed)
	amount("rate", m.Rate)
	amount("damage", m.Damage)
	amount("lamp", m.Lamp)
	amount("spent after", m.SpentAfter)
	amount("cleared after", m.ClearedAfter)
	add("dated", m.Dated)
	add("by", m.By)
	return "{" + strings.Join(parts, ", ") + "}"
}

// quoted sets a value in quotes where a sign in it would be read as more than a
// letter.
func quoted(value string) string {
	if !strings.ContainsAny(value, ",:#{}[]\"'&*!|>%@`\\") && !strings.HasPrefix(value, "-") && !strings.HasPrefix(value, "?") {
		return value
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(value) + `"`
}

// ErrByHand is a list of measurements that nothing can be added to without
// touching what stands there.
var ErrByHand = errors.New("the measurements there are not written as a list that one more line can be added to")

// AddMeasured is the text of a shop file with a line more under `measured:`,
// which is made at the end where there is none. Every byte that was there stays
// as it was, in its order. The text is read again before it is handed back: the
// error is ErrByHand, or a sentence that says what would no longer read.
func AddMeasured(f *source.File, m Measured) ([]byte, error) {
	var before, after diag.List
	old := Lay(f, &before)
	if before.Count(diag.Error)+before.Count(diag.Refusal) > 0 {
		return nil, fmt.Errorf("the shop file itself has findings, and these come first: %s", before[0].Message)
	}
	puts, err := placeMeasured(f, m.Line(old.Numbers))
	if err != nil {
		return nil, err
	}
	text := make([]byte, 0, len(f.Text)+256)
	from := 0
	for _, p := range puts {
		text = append(append(text, f.Text[from:p.at]...), p.text...)
		from = p.at
	}
	text = append(text, f.Text[from:]...)
	mended := Lay(source.New(f.Name, text), &after)
	if len(after) > len(before) {
		if n := len(before); after.Count(diag.Error) > 0 {
			return nil, fmt.Errorf("with the line the shop file would not read clean: %s", after[n].Message)
		}
		return nil, ErrByHand
	}
	if len(mended.Measured) != len(old.Measured)+1 || !mended.Measured[len(old.Measured)].Same(m) || len(mended.Stock) != len(old.Stock) {
		return nil, ErrByHand
	}
	return text, nil
}

// Same says whether two measurements say the same, wherever they stand.
func (m Measured) Same(o Measured) bool {
	m.Span, o.Span = source.Span{}, source.Span{}
	return m.Line(quantity.Options{}) == o.Line(quantity.Options{})
}

// put is a text that goes in before a byte.
type put struct {
	at   int
	text string
}

// placeMeasured is what goes in where, in the order of the file, for the line to
// stand under `measured:`.
func placeMeasured(f *source.File, line string) ([]put, error) {
	end := "\n"
	if i := bytes.IndexByte(f.Text, '\n'); i > 0 && f.Text[i-1] == '\r' {
		end = "\r\n"
	}
	var none diag.List
	root := keys.Read(f, 0, len(f.Text), &none)
	v := root.Fields("the shop file", shopKeys, &none).Get("measured")
	// newLine writes a whole line behind the line that a byte stands in.
	newLine := func(byteAt int, text string) put {
		if i := bytes.IndexByte(f.Text[byteAt:], '\n'); i >= 0 {
			return put{byteAt + i + 1, text + end}
		}
		return put{len(f.Text), end + text + end}
	}
	one := func(p put) ([]put, error) { return []put{p}, nil }
	switch v.Kind() {
	case keys.Missing:
		if at := root.Span().Start; root.Kind() == keys.Map && f.Text[at] == '{' {
			return nil, ErrByHand
		}
		text := end + "measured:" + end + "  - " + line + end
		if n := len(f.Text); n > 0 && f.Text[n-1] != '\n' {
			text = end + text
		}
		return one(put{len(f.Text), text})
	case keys.Empty:
		_, key := v.Key()
		return one(newLine(key.End, "  - "+line))
	case keys.List, keys.Map:
	default:
		return nil, ErrByHand
	}
	all, span := v.List(), v.Span()
	lone := v.Kind() == keys.Map
	switch first := f.Text[span.Start]; {
	case first == '{':
		return []put{{span.Start, "["}, {span.End, ", " + line + "]"}}, nil
	case first == '[' && len(all) == 0:
		return one(put{span.Start + 1, line})
	case first == '[':
		return one(put{all[len(all)-1].Span().End, ", " + line})
	case first != '-' && !lone || len(all) == 0:
		return nil, ErrByHand
	}
	begin := bytes.LastIndexByte(f.Text[:span.Start], '\n') + 1
	indent := string(f.Text[begin:span.Start])
	if strings.TrimLeft(indent, " ") != "" {
		return nil, ErrByHand
	}
	var puts []put
	if lone {
		puts = hyphened(f.Text, span)
	}
	return append(puts, newLine(all[len(all)-1].Span().End, indent+"- "+line)), nil
}

// hyphened makes a measurement that stands alone, key below key, the first of a
// list: a hyphen before it, and its further lines set in as far.
func hyphened(text []byte, span source.Span) []put {
	puts := []put{{span.Start, "- "}}
	for at := span.Start; ; {
		next := bytes.IndexByte(text[at:span.End], '\n')
		if next < 0 {
			return puts
		}
		at += next + 1
		if c := text[at]; c != '\n' && c != '\r' {
			puts = append(puts, put{at, "  "})
		}
	}
}
