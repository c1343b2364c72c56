package sheet

import (
	"strings"

	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

func (b *builder) surfaces(BlockSpec) []Block {
	if len(b.recipe.Surfaces) == 0 {
		if raw := strings.TrimSpace(b.recipe.SurfacesSpan.Text()); raw != "" {
			return []Block{Piece{Words: b.say("surfaces as written: %s", raw)}}
		}
		return nil
	}
	table := SurfaceTable{}
	for i := range b.recipe.Surfaces {
		table.Rows = append(table.Rows, b.surfaceRow(&b.recipe.Surfaces[i]))
	}
	return []Block{table}
}

func (t tongue) surfaceRow(s *recipe.Surface) SurfaceRow {
	row := SurfaceRow{Name: written(s.Name), Tile: written(s.Tile)}
	shape := strings.TrimSpace(s.Shape.Span.Text())
	if s.Shape.OK && s.Shape.Value != nil {
		shape = t.name(s.Shape.Value.Name)
	}
	row.Shape = joined(", ", shape, t.sizeWords(s))
	row.Arrives = strings.TrimSpace(s.From.Span.Text())
	if s.From.OK && s.From.Value.Words != "" {
		row.Arrives = t.arrives(s.From.Value)
	}
	row.StopsAt = strings.TrimSpace(s.To.Span.Text())
	if s.To.OK && s.To.Value != nil {
		row.StopsAt = t.name(s.To.Value.Name)
	}
	return row
}

// sizeWords is "50 cm²", "250 × 1 mm" or "6 of 12 cm² each".
func (t tongue) sizeWords(s *recipe.Surface) string {
	var size string
	switch length, width := s.Length, s.Width; {
	case length.OK && width.OK:
		size = t.timesSize(length.Value, width.Value)
	case length.Written() || width.Written():
		size = joined(", ", t.filled("%s long", t.amountOf(length)), t.filled("%s wide", t.amountOf(width)))
	}
	size = joined(", ", t.amountOf(s.Area), size)
	switch {
	case !s.Count.Written():
		return size
	case !s.Count.OK:
		return joined(", ", strings.TrimSpace(s.Count.Span.Text()), size)
	case size == "":
		return t.say("%d of them", s.Count.Value)
	}
	return t.say("%d of %s each", s.Count.Value, size)
}

// timesSize is a length by a width, the unit once where it is the same.
func (t tongue) timesSize(length, width quantity.Value) string {
	if length.Unit == width.Unit {
		return t.figure(length.Amount, 6) + nbsp + "×" + nbsp + t.value(width)
	}
	return t.value(length) + " × " + t.value(width)
}

func (b *builder) piece(BlockSpec) []Block {
	r, p := b.recipe, b.recipe.Piece
	words := []string{b.listed("form: ", p.Form)}
	if p.Size.OK {
		words = append(words, strings.ReplaceAll(p.Size.Value.Words, " x ", " × "))
	} else {
		words = append(words, strings.TrimSpace(p.Size.Span.Text()))
	}
	if p.Hollow.OK && p.Hollow.Value {
		words = append(words, b.say("hollow"))
	} else if p.Hollow.Written() && !p.Hollow.OK {
		words = append(words, b.say("hollow: %s", p.Hollow.Span.Text()))
	}
	words = append(words, b.filled("%s wall at its thinnest", b.amountOf(p.Wall)), b.glassWords(r), b.coatingWords(r.Coating))
	if p.Mould.Written() {
		words = append(words, b.say("mould %s", b.listed("mould: ", p.Mould)))
	}
	words = append(words, b.massWords())
	switch {
	case p.Count.OK && p.Count.Value > 1:
		words = append(words, b.say("%d pieces", p.Count.Value))
	case p.Count.Written() && !p.Count.OK:
		words = append(words, b.say("count: %s", p.Count.Span.Text()))
	}
	line := joined(", ", words...)
	if line == "" {
		return nil
	}
	return []Block{Piece{Words: line}}
}

// massWords is the mass of one piece, with the standing of the number.
func (b *builder) massWords() string {
	p := b.recipe.Piece
	mass, standing := "", ""
	switch {
	case p.Mass.Written():
		mass = b.amountOf(p.Mass)
	case b.plan.Mass > 0 && b.plan.MassFromSize:
		mass, standing = b.say("about %s", b.massText(b.plan.Mass)), b.say("(from its size)")
	case b.plan.MassAtMost > 0:
		mass, standing = b.say("at most %s", b.massText(b.plan.MassAtMost)), b.say("(as if it were solid)")
	default:
		return ""
	}
	if p.Count.OK && p.Count.Value > 1 {
		mass = b.say("%s each", mass)
	}
	return joined(" ", mass, standing)
}

func (t tongue) massText(kg float64) string {
	if kg < 0.1 {
		return t.approx(kg*1000) + nbsp + t.name("g")
	}
	return t.approx(kg) + nbsp + t.name("kg")
}

// glassName is the glass by name.
func (t tongue) glassName(r *recipe.Recipe) string {
	switch {
	case r.GlassUnknown:
		return t.say("unknown")
	case r.Glass.OK && r.Glass.Value != nil:
		return t.name(r.Glass.Value.Name)
	}
	return strings.TrimSpace(r.Glass.Span.Text())
}

// glassWords says the glass so that nobody misses lead.
func (t tongue) glassWords(r *recipe.Recipe) string {
	if r.GlassUnknown {
		return t.say("unknown glass, to be handled as lead glass")
	}
	name := t.glassName(r)
	if name == "" {
		return ""
	}
	known := r.Glass.OK && r.Glass.Value != nil
	english := name
	if known {
		english = r.Glass.Value.Name
	}
	words := name
	if !namesGlass(english) && english == name {
		words = t.say("%s glass", name)
	}
	if known && r.Glass.Value.Lead && !strings.Contains(strings.ToLower(english), "lead") {
		words = joined(", ", words, t.say("to be handled as lead glass"))
	}
	return words
}

// namesGlass says whether a name reads whole without the word glass after it.
func namesGlass(name string) bool {
	name = strings.ToLower(name)
	for _, word := range []string{"glass", "crystal", "silica", "quartz"} {
		if strings.Contains(name, word) {
			return true
		}
	}
	return false
}

func (t tongue) coatingWords(c *recipe.Coating) string {
	if c == nil {
		return ""
	}
	kind, on := t.listed("coating: ", c.Kind), written(c.On)
	if kind == "" && on == "" && !c.Capped.Written() {
		return t.say("coating: %s", strings.TrimSpace(c.Span.Text()))
	}
	words := joined(" ", strings.TrimSpace(t.say("%s coating", kind)), t.filled("on %s", on))
	if c.Capped.Written() {
		words = joined(" ", words, t.say("under a cap of %s", t.amountOf(c.Capped)))
	}
	return words
}

// The facts a topic chooses its wording by.
const (
	factMass  = "mass"
	factWheel = "wheel"
	factNoise = "noise"
)

// topicFacts are what the recipe says of each of them: the mass of one piece in
// kg, the largest vitrified wheel in mm, the loudest machine in dB(A).
func (b *builder) topicFacts() map[string]float64 {
	facts := map[string]float64{}
	if b.plan.Mass > 0 {
		facts[factMass] = b.plan.Mass
	}
	for i := range b.recipe.Steps {
		step := &b.recipe.Steps[i]
		a, m := step.Abrasive.Value, step.Machine.Value
		if a.Bond == trade.Vitrified && i < len(b.plan.Steps) {
			facts[factWheel] = max(facts[factWheel], b.plan.Steps[i].Diameter)
		}
		if m.Unit != nil && m.Unit.Noise.Written() {
			facts[factNoise] = max(facts[factNoise], m.Unit.Noise.Amount)
		}
	}
	return facts
}
