package cli

import (
	"fmt"
	"strings"

	"coldwright/internal/process"
	"coldwright/internal/quantity"
	"coldwright/internal/report"
)

// mixVolume reads what --mix asks for, in litres; 0 where it is not asked.
func mixVolume(text string, o quantity.Options) (float64, error) {
	if text == "" {
		return 0, nil
	}
	v, err := quantity.Parse(text, o, quantity.Volume)
	if err != nil {
		return 0, usagef("--mix: %s", strings.TrimSpace(err.Message+" "+err.Help))
	}
	l := v.In(quantity.Litre)
	if _, err := process.SlurryOf(l, 1, 2, 1); err != nil {
		return 0, usagef("--mix takes a volume from 1 ml to 1000 l, not %s", v)
	}
	return l, nil
}

// mixPage says what a volume takes of powder and water, step by step.
func mixPage(p *process.Plan, litres float64) string {
	all := p.Slurries(litres)
	if len(all) == 0 {
		return report.Paragraph("No step writes a mix, so there is nothing to make "+litreWords(litres)+" of.", "")
	}
	out := report.Paragraph("To make "+litreWords(litres)+":", "")
	for _, one := range all {
		line := fmt.Sprintf("Step %d, %s, ", one.Step.Number, one.Step.Title)
		a := &one.Step.Abrasive.Value
		s := one.Slurry
		if one.Cannot != "" {
			out += report.Paragraph(strings.TrimSuffix(line, ", ")+": "+one.Cannot, "   ")
			continue
		}
		what := a.Words
		if a.Grade.Written() {
			what += " " + a.Grade.Label
		}
		if w := one.Step.Mix.Value.Word; w != nil {
			line += w.Name + ": "
		} else {
			line += two(one.Step.Mix.Value.Powder) + " : " + two(one.Step.Mix.Value.Water) + ": "
		}
		line += fmt.Sprintf("%s g† of %s and %s l† of water", two(s.PowderG), what, two(s.WaterL))
		if one.Thin != one.Thick {
			line += fmt.Sprintf(" (thin %s g, thick %s g)", two(one.Thin.PowderG), two(one.Thick.PowderG))
		}
		line += fmt.Sprintf("; specific gravity %s, %s °Bé.", quantity.Format(s.SpecificGravity, 3), two(s.Baume))
		out += report.Paragraph(line, "   ")
	}
	return out + report.Paragraph("† By the built-in bulk and density of the powder: weigh a measure of your own, dry, before you trust it.", "")
}

func litreWords(l float64) string { return quantity.Format(l, 4) + " l" }

type jsonMix struct {
	Step     string `json:"step"`
	Number   int    `json:"number"`
	Abrasive string `json:"abrasive"`
	Volume   figure `json:"volume_l"`
	Powder   figure `json:"powder_g"`
	Water    figure `json:"water_l"`
	Gravity  figure `json:"specific_gravity"`
	Baume    figure `json:"baume"`
	Cannot   string `json:"cannot,omitempty"`
}

func mixJSON(p *process.Plan, litres float64) []jsonMix {
	if litres == 0 {
		return nil
	}
	out := []jsonMix{}
	for _, one := range p.Slurries(litres) {
		a, s := &one.Step.Abrasive.Value, one.Slurry
		words := a.Words
		if a.Grade.Written() {
			words += " " + a.Grade.Label
		}
		out = append(out, jsonMix{one.Step.Title, one.Step.Number, words, figure(litres), figure(s.PowderG), figure(s.WaterL), figure(s.SpecificGravity), figure(s.Baume), one.Cannot})
	}
	return out
}
