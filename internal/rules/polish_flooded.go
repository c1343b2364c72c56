package rules

import (
	"bytes"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

var polishFlooded = check.Rule{
	ID: "polish-flooded", Severity: diag.Warning, Concern: diag.Piece,
	Title: "Pumice and cerium on felt, cork or bristle are kept damp, not flooded.",
	Why: "Running water carries the powder off what holds it before it has done anything: the felt slides, the minutes go by, and the face stays grey. " +
		"A pump that brings the same cerium round again is another thing.",
	Source: "common practice",
	Quiet:  "the water is recirculated or stands in a bucket, what carries the powder does not give, or the sentence forbids it",
	Bad:    "Water: flood   (cerium oxide on a felt pad)",
	Good:   "Water: damp",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			a, m, w := &step.Abrasive.Value, step.Medium.Value, step.Water.Value
			if !step.Abrasive.OK || !loose(a) || isWork(a, trade.Grind) || !step.Medium.OK || m.Kind == nil || !m.Kind.Lap.Compliant() || !step.Water.OK || w.Recirculated || w.Bucket || w.Kind == nil {
				continue
			}
			span := step.Water.Span
			if w.Kind.Name != "flood" {
				if span = floodTold(c, i); !span.Known() {
					continue
				}
			}
			found(check.Finding{
				Span: span, Step: step.Number,
				Message: capital(stepNo(step)) + " floods " + a.Family.Name + onMedium(m) + ". Running water carries the powder off before it works.",
				Help:    "Write `Water: damp`; where a pump brings the powder round again, `Water: flood, recirculated`.",
			})
		}
	},
}

// floodedElse are what is flooded to be washed, and holds no powder.
var floodedElse = wordSet("bowl tray tub basin sink gutter floor bench splash")

// floodsElse says whether what the flood at word i is to go over holds no powder:
// "flood the bowl afterwards".
func floodsElse(words []noteWord, i int) bool {
	for j := i + 1; j < len(words) && j <= i+3 && words[j].gap == space; j++ {
		if floodedElse[words[j].text] {
			return true
		}
	}
	return false
}

// floodTold is the place in the orders of the n-th step where flooding is ordered.
func floodTold(c *check.Context, n int) source.Span {
	step := &c.Recipe.Steps[n]
	for j := range step.Body {
		one := &step.Body[j]
		if !isOrder(one) || !bytes.Contains(bytes.ToLower(one.Span.Bytes()), []byte("flood")) {
			continue
		}
		words := splitWords(one.Span.Text())
		markMoods(words)
		for i := range words {
			if words[i].text == "flood" && !floodsElse(words, i) && (imperative(words, i) || i == 1 && isDigit(words[0].text[0]) && words[i].mood == plain) {
				return one.Span.File.Span(one.Span.Start+words[i].start, one.Span.Start+words[i].end)
			}
		}
	}
	return source.Span{}
}
