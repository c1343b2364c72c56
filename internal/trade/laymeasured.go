package trade

import (
	"fmt"

	"coldwright/internal/keys"
	"coldwright/internal/quantity"
)

var measuredKeys = []string{
	"stock", "medium", "machine", "glass", "area", "pressure", "speed",
	"rate", "damage", "lamp", "spent after", "cleared after", "dated", "by",
}

// measured reads the house's own measurements. Each says of what it is; what
// it cites must be there.
func (l *laying) measured(v keys.Value) {
	for _, one := range v.List() {
		f := one.Fields("a measurement", measuredKeys, l.report)
		if one.Kind() != keys.Map {
			continue
		}
		m := Measured{Span: one.Span()}
		m.Stock = l.cited(f.Get("stock"), "line of the house's stock", func(s string) string {
			if line := l.h.FindStock(s); line != nil {
				return line.Code
			}
			return ""
		}, func(s string) string { return nearCode(s, sortedCodes(l.h.Stock), l.h.stockWords) })
		m.Medium = l.cited(f.Get("medium"), "medium", l.h.MediumCited, func(s string) string {
			return nearLine(s, nearCode(s, sortedCodes(l.h.MediumStock), l.h.mediumWords), l.h.look.media.names)
		})
		m.Machine = l.cited(f.Get("machine"), "machine", l.h.MachineCited, func(s string) string {
			return nearLine(s, nearCode(s, sortedCodes(l.h.Machines), l.h.machineWords), l.h.look.kinds.names)
		})
		m.Glass = l.cited(f.Get("glass"), "glass", func(s string) string { return known(s, l.h.FindGlass(s) != nil) },
			func(s string) string { return nearLine(s, "", l.h.look.glasses.names) })
		m.Area = l.amount(f.Get("area"), quantity.Area)
		m.Pressure = l.amount(f.Get("pressure"), quantity.Pressure, quantity.Force)
		m.Speed = l.amount(f.Get("speed"), quantity.Speed, quantity.Rotation)
		m.Rate = l.amount(f.Get("rate"), quantity.Rate)
		m.Damage = l.amount(f.Get("damage"), quantity.Length)
		m.Lamp = l.amount(f.Get("lamp"), quantity.Angle)
		m.SpentAfter = l.amount(f.Get("spent after"), quantity.Time)
		m.ClearedAfter = l.amount(f.Get("cleared after"), quantity.Time)
		m.Dated = l.date(f.Get("dated"))
		m.By = l.text(f.Get("by"))
		if f.Get("stock").Kind() == keys.Missing {
			l.say(StockMissing, one.Span(), "This measurement does not say of what it is.", "Write stock: and the code of the line that was measured.")
		}
		measures := false
		for _, key := range []string{"rate", "damage", "lamp", "spent after", "cleared after"} {
			measures = measures || f.Get(key).Kind() != keys.Missing
		}
		if !measures {
			l.say(StockMissing, one.Span(), "This measurement holds no figure.", "Write one of rate, damage, lamp, spent after or cleared after.")
		}
		l.h.Measured = append(l.h.Measured, m)
	}
	if v.Kind() == keys.Scalar {
		l.h.Measured = nil
	}
}

// MediumCited is a medium as a measurement cites it: the code of the house's
// own, or the words of a kind; empty where there is none such.
func (h *House) MediumCited(text string) string {
	if line := h.mediumLine(text); line != nil {
		return line.Code
	}
	return known(text, h.FindMedium(text) != nil)
}

// MachineCited is a machine as a measurement cites it.
func (h *House) MachineCited(text string) string {
	if unit := h.machineLine(text); unit != nil {
		return unit.Code
	}
	return known(text, h.FindKind(text) != nil)
}

// known is the text where the house knows it.
func known(text string, ok bool) string {
	if ok {
		return text
	}
	return ""
}

// nearLine is the help for a code, else that for a name.
func nearLine(text, near string, names []string) string {
	if near != "" {
		return near
	}
	return nearest(text, names, "")
}

// cited is something the house has: found gives it as the house writes it, near
// what to write instead.
func (l *laying) cited(v keys.Value, what string, found, near func(string) string) string {
	text := l.text(v)
	if text == "" {
		return ""
	}
	own := found(text)
	if own == "" {
		help := near(text)
		if help == "" {
			help = "Write one the shop file has."
		}
		l.say(StockUnknown, v.Span(), fmt.Sprintf("%s is no %s.", quote(text), what), help)
	}
	return own
}
