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
		m.Stock = l.cited(f.Get("stock"), "line of the house's stock", func(s string) bool { return l.h.Stock[s] != nil }, sortedCodes(l.h.Stock))
		m.Medium = l.cited(f.Get("medium"), "medium", func(s string) bool { return l.h.MediumStock[s] != nil || l.h.FindMedium(s) != nil },
			append(sortedCodes(l.h.MediumStock), l.h.look.media.names...))
		m.Machine = l.cited(f.Get("machine"), "machine", func(s string) bool { return l.h.Machines[s] != nil || l.h.FindKind(s) != nil },
			append(sortedCodes(l.h.Machines), l.h.look.kinds.names...))
		m.Glass = l.cited(f.Get("glass"), "glass", func(s string) bool { return l.h.FindGlass(s) != nil }, l.h.look.glasses.names)
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

// cited is something the house has.
func (l *laying) cited(v keys.Value, what string, has func(string) bool, known []string) string {
	text := l.text(v)
	if text == "" {
		return ""
	}
	if !has(text) {
		l.say(StockUnknown, v.Span(), fmt.Sprintf("%s is no %s.", quote(text), what), nearest(text, known, "Write one the shop file has."))
		return ""
	}
	return text
}
