package sheet

import (
	"strings"

	"coldwright/internal/grade"
	"coldwright/internal/prose"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

func (b *builder) stepTable(spec BlockSpec) []Block {
	if len(b.recipe.Steps) == 0 {
		return nil
	}
	table := StepTable{}
	for i := range b.recipe.Steps {
		table.Rows = append(table.Rows, b.row(i))
	}
	if spec.Totals {
		table.Total = b.total()
	}
	return []Block{table}
}

func (b *builder) row(i int) StepRow {
	step := &b.recipe.Steps[i]
	row := StepRow{
		Number: step.Number, Do: prose.Words(step.Words), Surface: b.surfaceWords(step, b.worksOf(i)),
		Medium: b.mediumWords(step.Medium), Mix: joined(", ", b.waterSource(step.Water), b.mixWords(step)), Bench: benchName(step), OnlyIf: b.onlyIf(step),
	}
	if row.Do == "" {
		row.Do = step.Title
	}
	row.Grade, row.Abrasive = b.abrasiveWords(step)
	if ownAmount(step) {
		row.Abrasive = joined(", ", row.Abrasive, b.shortAmount(step))
	}
	row.Speed, row.SpeedUnit, row.Machine = b.speedWords(i, false)
	row.Water = b.waterWords(step.Water)
	row.Minutes, row.Alone = b.minutesWords(step.Time), b.aloneWords(step.Time)
	return row
}

// worksOf are the surfaces step i takes glass off.
func (b *builder) worksOf(i int) []*recipe.Surface {
	if i >= len(b.plan.Steps) {
		return nil
	}
	return b.plan.Steps[i].Works
}

// surfaceWords names the surfaces a step is at. `all` on a step that takes
// glass off leaves out what is protected or masked, so those it means are named.
func (t tongue) surfaceWords(s *recipe.Step, works []*recipe.Surface) string {
	if s.Every {
		if !s.Working() || len(works) == 0 {
			return t.say("all")
		}
		names := make([]string, len(works))
		for i, w := range works {
			names[i] = oneWord(w.Name.Value)
		}
		return strings.Join(names, ", ")
	}
	names := make([]string, len(s.Surfaces))
	for i, use := range s.Surfaces {
		names[i] = oneWord(use.Name)
	}
	return strings.Join(names, ", ")
}

// oneWord keeps a short name on one line.
func oneWord(name string) string {
	if len(name) > 12 {
		return name
	}
	return strings.ReplaceAll(name, " ", nbsp)
}

func benchName(s *recipe.Step) string {
	if s.Bench.OK {
		return s.Bench.Value.Bench.Name
	}
	return strings.TrimSpace(s.Bench.Span.Text())
}

func (t tongue) onlyIf(s *recipe.Step) string {
	if !s.OnlyIf.Written() {
		return ""
	}
	return t.say("Only if %s", written(s.OnlyIf))
}

// abrasiveWords are the grade as it is printed on the pot or the pad, and what
// it is with its size: "F220" and "silicon carbide, 58 µm".
func (b *builder) abrasiveWords(s *recipe.Step) (label, words string) {
	f := s.Abrasive
	if !f.OK {
		return "", strings.TrimSpace(f.Span.Text())
	}
	a := f.Value
	words = joined(", ", b.abrasive(a), b.abrasiveDiameter(a), b.sizeOf(a))
	return b.speak.Number(a.Grade.Label), words
}

func (t tongue) abrasiveDiameter(a trade.Abrasive) string {
	switch {
	case a.Diameter.Written():
		return t.value(a.Diameter)
	case a.Stock != nil && a.Stock.Diameter.Written():
		return t.value(a.Stock.Diameter)
	}
	return ""
}

// sizeOf is the grain in µm with its standing: what the house says it acts
// like, else its grade, else what its family is taken to have.
func (b *builder) sizeOf(a trade.Abrasive) string {
	acts := a.ActsLike
	if !acts.Written() && a.Stock != nil {
		acts = a.Stock.ActsLike
	}
	switch {
	case acts.Written():
		return b.say("acts like %s", joined(", ", acts.Label, b.micrometres(acts)))
	case a.Grade.Written():
		return b.micrometres(a.Grade)
	case a.Family != nil && a.Family.Size > 0 && a.Tool == nil:
		b.built = true
		return b.figure(a.Family.Size, 3) + nbsp + "µm" + dagger
	}
	return ""
}

// micrometres is the size of a grade, unless its label says it already.
func (b *builder) micrometres(g grade.Grade) string {
	if g.Size <= 0 || g.Scale == grade.Micron {
		return ""
	}
	size := b.figure(g.Size, 3) + nbsp + "µm"
	if g.Default() {
		b.built = true
		size += dagger
	}
	return size
}

func (t tongue) shortAmount(s *recipe.Step) string {
	if !s.Amount.OK {
		return ""
	}
	words := make([]string, len(s.Amount.Value))
	for i, a := range s.Amount.Value {
		words[i] = t.value(a.Value)
	}
	return strings.Join(words, ", ")
}

// mediumWords is the medium with its diameter: "iron lap, 300 mm".
func (t tongue) mediumWords(f recipe.Field[trade.Medium]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	return joined(", ", t.medium(f.Value), t.mediumDiameter(f.Value))
}

func (t tongue) mediumDiameter(m trade.Medium) string {
	switch {
	case m.Diameter.Written():
		return t.value(m.Diameter)
	case m.Stock != nil && m.Stock.Diameter.Written():
		return t.value(m.Stock.Diameter)
	}
	return ""
}

// speedWords are the speed as a large number with its unit, and the machine
// with the speed at the rim below. Whole adds the kind of the machine where
// only its code was written.
func (b *builder) speedWords(i int, whole bool) (speed, unit, machine string) {
	step := &b.recipe.Steps[i]
	f := step.Machine
	if !f.OK {
		return "", "", strings.TrimSpace(f.Span.Text())
	}
	m := f.Value
	// What kind of machine a code of the house stands for is said where the
	// machine is first used.
	first := whole && m.Unit != nil && !b.met[m.Unit.Code]
	if first {
		b.met[m.Unit.Code] = true
	}
	kind, diameter := "", ""
	if m.Kind != nil && (m.Unit == nil || first && !strings.EqualFold(m.Kind.Name, m.Unit.Code)) {
		kind = b.name(m.Kind.Name)
	}
	if m.Diameter.Written() && (first || m.Unit == nil || m.Diameter != m.Unit.Diameter) {
		diameter = b.value(m.Diameter)
	}
	if m.Drive != "" && (first || m.Unit == nil || m.Drive != m.Unit.Drive) {
		kind = joined(", ", kind, b.name(m.Drive))
	}
	if m.Unit != nil {
		// The speed follows the code, so that it stands at the same place in
		// every step; what the code stands for comes last.
		machine = joined(", ", m.Unit.Code, b.otherSpeed(i), joined(" ", kind, diameter))
	} else {
		machine = joined(", ", kind, diameter, b.otherSpeed(i))
	}
	if !m.Speed.Written() {
		return "", "", machine
	}
	speed = b.figure(m.Speed.Amount, 6)
	if m.SpeedLow.Written() {
		speed = b.figure(m.SpeedLow.Amount, 6) + "–" + speed
	}
	return speed, b.name(m.Speed.Unit.Symbol), machine
}

// otherSpeed is the speed at the rim where turns were written, the turns where
// that was.
func (b *builder) otherSpeed(i int) string {
	m := b.recipe.Steps[i].Machine.Value
	if !m.Speed.Written() || i >= len(b.plan.Steps) {
		return ""
	}
	p := b.plan.Steps[i]
	switch m.Speed.Unit.Kind {
	case quantity.Rotation:
		if p.Rim > 0 {
			return b.say("rim~%s~m/s", b.approx(p.Rim))
		}
	case quantity.Speed:
		at, turns := "", ""
		if m.Kind == nil || m.Kind.Name != "wet belt" {
			at = b.say("at the rim")
		}
		if p.RPM > 0 {
			turns = b.say("about %s", b.approx(p.RPM)+nbsp+b.name("rpm"))
		}
		return joined(", ", at, turns)
	}
	return ""
}

func (t tongue) waterWords(f recipe.Field[recipe.Water]) string {
	if !f.OK || f.Value.Kind == nil {
		return strings.TrimSpace(f.Span.Text())
	}
	return t.name(f.Value.Kind.Name)
}

// waterSource says where the water comes from.
func (t tongue) waterSource(f recipe.Field[recipe.Water]) string {
	if !f.OK || f.Value.Kind == nil {
		return ""
	}
	var words []string
	if f.Value.Recirculated {
		words = append(words, t.say("recirculated"))
	}
	if f.Value.Bucket {
		words = append(words, t.say("bucket"))
	}
	return strings.Join(words, ", ")
}

// mixWords are consistency and charge: "cream, fresh every 1 min".
func (t tongue) mixWords(s *recipe.Step) string {
	mix := strings.TrimSpace(s.Mix.Span.Text())
	if s.Mix.OK {
		if m := s.Mix.Value; m.Word != nil {
			// A thin cream is a cream for the checks and stays thin in print.
			if written := strings.ToLower(mix); !strings.Contains(written, " ") || !strings.HasSuffix(written, m.Word.Name) {
				mix = t.name(m.Word.Name)
			}
		} else {
			mix = t.say("%s by volume", t.figure(m.Powder, 6)+nbsp+":"+nbsp+t.figure(m.Water, 6))
		}
	}
	return joined(", ", mix, t.chargeWords(s.Charge))
}

func (t tongue) chargeWords(f recipe.Field[recipe.Charge]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	c := f.Value
	var words []string
	if c.Once {
		words = append(words, t.say("charged once"))
	}
	if c.Every.Written() {
		words = append(words, t.say("fresh every %s", t.value(c.Every)))
	}
	if c.Last.Written() {
		words = append(words, t.say("last %s without", t.value(c.Last)))
	}
	return strings.Join(words, ", ")
}

// minutesWords is the usual time as the number of the minutes column.
func (t tongue) minutesWords(f recipe.Field[recipe.Time]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	return t.minutes(f.Value.Usual)
}

func (t tongue) aloneWords(f recipe.Field[recipe.Time]) string {
	if !f.OK || !f.Value.Alone.Written() || f.Value.Alone.Amount == 0 {
		return ""
	}
	return t.say("%s alone", t.value(f.Value.Alone))
}

// total is the last row of the table.
func (b *builder) total() StepTotal {
	t := b.plan.Totals
	words := []string{b.say("none of it alone")}
	if t.Alone > 0 {
		words[0] = b.say("%s alone", b.duration(t.Alone))
	}
	if t.Untimed > 0 {
		words = append(words, b.count(t.Untimed, "1 step says no time", "%d steps say no time"))
	}
	// What it takes of each thing stands under the steps; here is the sum.
	full := b.reckoned().Totals
	for _, currency := range sortedKeys(full.Cost) {
		if full.Cost[currency] > 0 {
			words = append(words, b.say("materials %s", b.money(full.Cost[currency], currency)+b.daggerIf(full.CostDefault)))
		}
	}
	if t.WaterMinutes > 0 {
		words = append(words, b.say("water running %s", b.duration(t.WaterMinutes)))
	}
	total := StepTotal{Words: b.say("The whole piece: %s", strings.Join(words, " · "))}
	if t.Attended > 0 {
		total.Minutes = b.figure(t.Attended, 4)
	}
	return total
}

func (t tongue) grams(g float64) string { return t.figure(g, 3) + nbsp + t.name("g") }

func (t tongue) money(amount float64, currency string) string {
	if unit, ok := quantity.Currency(currency); ok {
		return t.value(quantity.Value{Amount: amount, Unit: unit})
	}
	return t.figure(amount, 6) + nbsp + currency
}
