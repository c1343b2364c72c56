package trade

import (
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
	edits, err := placeMeasured(f, m.Line(old.Numbers))
	if err != nil {
		return nil, err
	}
	text := diag.Apply(f.Text, edits)
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

// placeMeasured is what goes in where, in the order of the file, for the line to
// stand under `measured:`.
func placeMeasured(f *source.File, line string) ([]diag.Edit, error) {
	var none diag.List
	root := keys.Read(f, 0, len(f.Text), &none)
	v := root.Fields("the shop file", shopKeys, &none).Get("measured")
	switch v.Kind() {
	case keys.Missing:
		if at := root.Span().Start; root.Kind() == keys.Map && f.Text[at] == '{' {
			return nil, ErrByHand
		}
		end := keys.LineEnd(f)
		text := end + "measured:" + end + "  - " + line + end
		if n := len(f.Text); n > 0 && f.Text[n-1] != '\n' {
			text = end + text
		}
		return []diag.Edit{{Span: f.Span(len(f.Text), len(f.Text)), Text: text}}, nil
	case keys.Empty:
		_, key := v.Key()
		return []diag.Edit{keys.NextLine(f, key.End, "  - "+line)}, nil
	case keys.List, keys.Map:
		if edits, ok := v.AddTo(line); ok {
			return edits, nil
		}
	}
	return nil, ErrByHand
}
