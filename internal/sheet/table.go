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
		Number: step.Number, Do: prose.Words(step.Words), Surface: surfaceWords(step, b.worksOf(i)),
		Medium: mediumWords(step.Medium), Mix: joined(", ", waterSource(step.Water), mixWords(step)), Bench: benchName(step), OnlyIf: onlyIf(step),
	}
	if row.Do == "" {
		row.Do = step.Title
	}
	row.Grade, row.Abrasive = b.abrasiveWords(step)
	if ownAmount(step) {
		row.Abrasive = joined(", ", row.Abrasive, shortAmount(step))
	}
	row.Speed, row.SpeedUnit, row.Machine = b.speedWords(i, false)
	row.Water = waterWords(step.Water)
	row.Minutes, row.Alone = minutesWords(step.Time), aloneWords(step.Time)
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
func surfaceWords(s *recipe.Step, works []*recipe.Surface) string {
	if s.Every {
		if !s.Working() || len(works) == 0 {
			return "all"
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

func onlyIf(s *recipe.Step) string {
	if !s.OnlyIf.Written() {
		return ""
	}
	return "Only if " + written(s.OnlyIf)
}

// abrasiveWords are the grade as it is printed on the pot or the pad, and what
// it is with its size: "F220" and "silicon carbide, 58 µm".
func (b *builder) abrasiveWords(s *recipe.Step) (label, words string) {
	f := s.Abrasive
	if !f.OK {
		return "", strings.TrimSpace(f.Span.Text())
	}
	a := f.Value
	words = joined(", ", a.Words, abrasiveDiameter(a), b.sizeOf(a))
	return a.Grade.Label, words
}

func abrasiveDiameter(a trade.Abrasive) string {
	switch {
	case a.Diameter.Written():
		return a.Diameter.NoBreak()
	case a.Stock != nil && a.Stock.Diameter.Written():
		return a.Stock.Diameter.NoBreak()
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
		return "acts like " + joined(", ", acts.Label, b.micrometres(acts))
	case a.Grade.Written():
		return b.micrometres(a.Grade)
	case a.Family != nil && a.Family.Size > 0 && a.Tool == nil:
		b.built = true
		return quantity.Format(a.Family.Size, 3) + nbsp + "µm" + dagger
	}
	return ""
}

// micrometres is the size of a grade, unless its label says it already.
func (b *builder) micrometres(g grade.Grade) string {
	if g.Size <= 0 || g.Scale == grade.Micron {
		return ""
	}
	size := quantity.Format(g.Size, 3) + nbsp + "µm"
	if g.Default() {
		b.built = true
		size += dagger
	}
	return size
}

func shortAmount(s *recipe.Step) string {
	if !s.Amount.OK {
		return ""
	}
	words := make([]string, len(s.Amount.Value))
	for i, a := range s.Amount.Value {
		words[i] = a.Value.NoBreak()
	}
	return strings.Join(words, ", ")
}

// mediumWords is the medium with its diameter: "iron lap, 300 mm".
func mediumWords(f recipe.Field[trade.Medium]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	return joined(", ", f.Value.Words, mediumDiameter(f.Value))
}

func mediumDiameter(m trade.Medium) string {
	switch {
	case m.Diameter.Written():
		return m.Diameter.NoBreak()
	case m.Stock != nil && m.Stock.Diameter.Written():
		return m.Stock.Diameter.NoBreak()
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
		kind = m.Kind.Name
	}
	if m.Diameter.Written() && (first || m.Unit == nil || m.Diameter != m.Unit.Diameter) {
		diameter = m.Diameter.NoBreak()
	}
	if m.Drive != "" && (first || m.Unit == nil || m.Drive != m.Unit.Drive) {
		kind = joined(", ", kind, m.Drive)
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
	speed = quantity.Format(m.Speed.Amount, 6)
	if m.SpeedLow.Written() {
		speed = quantity.Format(m.SpeedLow.Amount, 6) + "–" + speed
	}
	return speed, m.Speed.Unit.Symbol, machine
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
			return "rim" + nbsp + approx(p.Rim) + nbsp + "m/s"
		}
	case quantity.Speed:
		at, turns := "", ""
		if m.Kind == nil || m.Kind.Name != "wet belt" {
			at = "at the rim"
		}
		if p.RPM > 0 {
			turns = "about " + approx(p.RPM) + nbsp + "rpm"
		}
		return joined(", ", at, turns)
	}
	return ""
}

func waterWords(f recipe.Field[recipe.Water]) string {
	if !f.OK || f.Value.Kind == nil {
		return strings.TrimSpace(f.Span.Text())
	}
	return f.Value.Kind.Name
}

// waterSource says where the water comes from.
func waterSource(f recipe.Field[recipe.Water]) string {
	if !f.OK || f.Value.Kind == nil {
		return ""
	}
	var words []string
	if f.Value.Recirculated {
		words = append(words, "recirculated")
	}
	if f.Value.Bucket {
		words = append(words, "bucket")
	}
	return strings.Join(words, ", ")
}

// mixWords are consistency and charge: "cream, fresh every 1 min".
func mixWords(s *recipe.Step) string {
	mix := strings.TrimSpace(s.Mix.Span.Text())
	if s.Mix.OK {
		if m := s.Mix.Value; m.Word != nil {
			// A thin cream is a cream for the checks and stays thin in print.
			if written := strings.ToLower(mix); !strings.Contains(written, " ") || !strings.HasSuffix(written, m.Word.Name) {
				mix = m.Word.Name
			}
		} else {
			mix = quantity.Format(m.Powder, 6) + nbsp + ":" + nbsp + quantity.Format(m.Water, 6) + " by volume"
		}
	}
	return joined(", ", mix, chargeWords(s.Charge))
}

func chargeWords(f recipe.Field[recipe.Charge]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	c := f.Value
	var words []string
	if c.Once {
		words = append(words, "charged once")
	}
	if c.Every.Written() {
		words = append(words, "fresh every "+c.Every.NoBreak())
	}
	if c.Last.Written() {
		words = append(words, "last "+c.Last.NoBreak()+" without")
	}
	return strings.Join(words, ", ")
}

// minutesWords is the usual time as the number of the minutes column.
func minutesWords(f recipe.Field[recipe.Time]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	return minutes(f.Value.Usual)
}

func aloneWords(f recipe.Field[recipe.Time]) string {
	if !f.OK || !f.Value.Alone.Written() || f.Value.Alone.Amount == 0 {
		return ""
	}
	return f.Value.Alone.NoBreak() + " alone"
}

// total is the last row of the table.
func (b *builder) total() StepTotal {
	t := b.plan.Totals
	words := []string{"none of it alone"}
	if t.Alone > 0 {
		words[0] = duration(t.Alone) + " alone"
	}
	if t.Untimed > 0 {
		words = append(words, count(t.Untimed, "step says no time", "steps say no time"))
	}
	// What it takes of each thing stands under the steps; here is the sum.
	full := b.reckoned().Totals
	for _, currency := range sortedKeys(full.Cost) {
		if full.Cost[currency] > 0 {
			words = append(words, "materials "+money(full.Cost[currency], currency)+b.daggerIf(full.CostDefault))
		}
	}
	if t.WaterMinutes > 0 {
		words = append(words, "water running "+duration(t.WaterMinutes))
	}
	total := StepTotal{Words: "The whole piece: " + strings.Join(words, " · ")}
	if t.Attended > 0 {
		total.Minutes = quantity.Format(t.Attended, 4)
	}
	return total
}

func grams(g float64) string { return quantity.Format(g, 3) + nbsp + "g" }

func money(amount float64, currency string) string {
	if unit, ok := quantity.Currency(currency); ok {
		return quantity.Value{Amount: amount, Unit: unit}.NoBreak()
	}
	return quantity.Format(amount, 6) + nbsp + currency
}
