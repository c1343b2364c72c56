package rules_test

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"coldwright/internal/check"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/rules"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
)

// A sequence with any one of its lines gone, or the second half of one, is
// still read and checked, and what is said of it is well written.
func TestAnyLineMayBeMissing(t *testing.T) {
	testkit.Long(t)
	dir := testkit.Data(t, "sequences")
	h := houseIn(t, dir)
	for _, path := range testkit.Files(t, dir, "*.md") {
		name := filepath.Base(path)
		t.Run(name, func(t *testing.T) {
			text := strings.Split(string(testkit.Read(t, path)), "\n")
			said := map[string]bool{}
			for i := range text {
				for _, left := range []string{"", text[i][:len(text[i])/2]} {
					spoilt := append(append([]string{}, text[:i]...), left)
					spoilt = append(spoilt, text[i+1:]...)
					_, checked := findings(h, name, []byte(strings.Join(spoilt, "\n")))
					for _, d := range checked {
						if key := d.Rule + d.Message + d.Help; !said[key] {
							said[key] = true
							wellWritten(t, d)
						}
					}
				}
			}
		})
	}
}

// BenchmarkCheck is what all rules cost beside reading the same recipe.
func BenchmarkCheck(b *testing.B) {
	dir := testkit.Data(b, "sequences")
	h := houseIn(b, dir)
	text := testkit.Read(b, filepath.Join(dir, "panel-satin.md"))
	p := parse.New(h)
	b.Run("read", func(b *testing.B) {
		for range b.N {
			p.Parse(source.New("panel.md", bytes.Clone(text)))
		}
	})
	r, _ := p.Parse(source.New("panel.md", text))
	b.Run("plan", func(b *testing.B) {
		for range b.N {
			process.Of(r, h)
		}
	})
	plan := process.Of(r, h)
	b.Run("check", func(b *testing.B) {
		for range b.N {
			check.Run(&check.Context{House: h, Recipe: r, Plan: plan, Today: today}, rules.All)
		}
	})
	for _, rule := range rules.All {
		if rule.Check == nil {
			continue
		}
		one := []check.Rule{rule}
		b.Run("rule/"+rule.ID, func(b *testing.B) {
			for range b.N {
				check.Run(&check.Context{House: h, Recipe: r, Plan: plan, Today: today}, one)
			}
		})
	}
}
