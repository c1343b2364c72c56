package sheet

import (
	"strconv"
	"strings"

	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

func (b *builder) surfaces(BlockSpec) []Block {
	if len(b.recipe.Surfaces) == 0 {
		if raw := strings.TrimSpace(b.recipe.SurfacesSpan.Text()); raw != "" {
			return []Block{Piece{Words: "surfaces as written: " + raw}}
		}
		return nil
	}
	table := SurfaceTable{}
	for i := range b.recipe.Surfaces {
		table.Rows = append(table.Rows, surfaceRow(&b.recipe.Surfaces[i]))
	}
	return []Block{table}
}

func surfaceRow(s *recipe.Surface) SurfaceRow {
	row := SurfaceRow{Name: written(s.Name), Tile: written(s.Tile)}
	shape := strings.TrimSpace(s.Shape.Span.Text())
	if s.Shape.OK && s.Shape.Value != nil {
		shape = s.Shape.Value.Name
	}
	row.Shape = joined(", ", shape, sizeWords(s))
	row.Arrives = strings.TrimSpace(s.From.Span.Text())
	if s.From.OK && s.From.Value.Words != "" {
		row.Arrives = s.From.Value.Words
	}
	row.StopsAt = strings.TrimSpace(s.To.Span.Text())
	if s.To.OK && s.To.Value != nil {
		row.StopsAt = s.To.Value.Name
	}
	return row
}

// sizeWords is "50 cm²", "250 × 1 mm" or "6 of 12 cm² each".
func sizeWords(s *recipe.Surface) string {
	var size string
	switch length, width := s.Length, s.Width; {
	case length.OK && width.OK:
		size = timesSize(length.Value, width.Value)
	case length.Written() || width.Written():
		size = joined(", ", followed(amountOf(length), " long"), followed(amountOf(width), " wide"))
	}
	size = joined(", ", amountOf(s.Area), size)
	switch {
	case !s.Count.Written():
		return size
	case !s.Count.OK:
		return joined(", ", strings.TrimSpace(s.Count.Span.Text()), size)
	case size == "":
		return strconv.Itoa(s.Count.Value) + " of them"
	}
	return strconv.Itoa(s.Count.Value) + " of " + size + " each"
}

// timesSize is a length by a width, the unit once where it is the same.
func timesSize(length, width quantity.Value) string {
	if length.Unit == width.Unit {
		return quantity.Format(length.Amount, 6) + nbsp + "×" + nbsp + width.NoBreak()
	}
	return length.NoBreak() + " × " + width.NoBreak()
}

func (b *builder) piece(BlockSpec) []Block {
	r, p := b.recipe, b.recipe.Piece
	words := []string{written(p.Form)}
	if p.Size.OK {
		words = append(words, strings.ReplaceAll(p.Size.Value.Words, " x ", " × "))
	} else {
		words = append(words, strings.TrimSpace(p.Size.Span.Text()))
	}
	if p.Hollow.OK && p.Hollow.Value {
		words = append(words, "hollow")
	} else if p.Hollow.Written() && !p.Hollow.OK {
		words = append(words, "hollow: "+p.Hollow.Span.Text())
	}
	words = append(words, followed(amountOf(p.Wall), " wall at its thinnest"), glassWords(r), coatingWords(r.Coating))
	if p.Mould.Written() {
		words = append(words, "mould "+written(p.Mould))
	}
	words = append(words, b.massWords())
	switch {
	case p.Count.OK && p.Count.Value > 1:
		words = append(words, strconv.Itoa(p.Count.Value)+" pieces")
	case p.Count.Written() && !p.Count.OK:
		words = append(words, "count: "+p.Count.Span.Text())
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
	each := ""
	if p.Count.OK && p.Count.Value > 1 {
		each = " each"
	}
	switch {
	case p.Mass.Written():
		return amountOf(p.Mass) + each
	case b.plan.Mass > 0 && b.plan.MassFromSize:
		return massText(b.plan.Mass) + each + " (from its size)"
	case b.plan.MassAtMost > 0:
		return "at most " + strings.TrimPrefix(massText(b.plan.MassAtMost), "about ") + each + " (as if it were solid)"
	}
	return ""
}

func massText(kg float64) string {
	if kg < 0.1 {
		return "about " + approx(kg*1000) + nbsp + "g"
	}
	return "about " + approx(kg) + nbsp + "kg"
}

// glassName is the glass by name.
func glassName(r *recipe.Recipe) string {
	switch {
	case r.GlassUnknown:
		return "unknown"
	case r.Glass.OK && r.Glass.Value != nil:
		return r.Glass.Value.Name
	}
	return strings.TrimSpace(r.Glass.Span.Text())
}

// glassWords says the glass so that nobody misses lead.
func glassWords(r *recipe.Recipe) string {
	if r.GlassUnknown {
		return "unknown glass, to be handled as lead glass"
	}
	name := glassName(r)
	if name == "" {
		return ""
	}
	words := name
	if !namesGlass(name) {
		words += " glass"
	}
	if r.Glass.OK && r.Glass.Value != nil && r.Glass.Value.Lead && !strings.Contains(strings.ToLower(name), "lead") {
		words += ", to be handled as lead glass"
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

func coatingWords(c *recipe.Coating) string {
	if c == nil {
		return ""
	}
	words := joined(" ", written(c.Kind), "coating", prefixed("on ", written(c.On)))
	if c.Capped.Written() {
		words += " under a cap of " + amountOf(c.Capped)
	}
	if words == "coating" {
		return "coating: " + strings.TrimSpace(c.Span.Text())
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
