package layout

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// demoTraining is the training sheet of a recipe of the demo house.
func demoTraining(t *testing.T, id string, o sheet.Options) *sheet.Sheet {
	t.Helper()
	root := testkit.Root(t) + "/recipes/"
	var found diag.List
	shop, err := os.ReadFile(root + "shop.yaml")
	require.NoError(t, err)
	house := trade.Lay(source.New("shop.yaml", shop), &found)
	text, err := os.ReadFile(root + id + ".md")
	require.NoError(t, err)
	r, bad := parse.New(house).Parse(source.New(id+".md", text))
	require.Empty(t, append(found, bad...))
	s, bad := sheet.Build(process.Of(r, house), sheet.FindDesign("training sheet"), o)
	require.Empty(t, bad)
	return s
}

func TestTrainingGolden(t *testing.T) {
	for _, id := range []string{"cast-weight", "crystal-bowl-rim", "lens-vase"} {
		t.Run(id, func(t *testing.T) {
			s := demoTraining(t, id, sheet.Options{})
			doc, found := Lay(s)
			assert.Empty(t, found)
			requireSound(t, s, doc)
			requireContrast(t, doc)
			testkit.Golden(t, testkit.Data(t, "layout", "training-"+id+".txt"), []byte(Dump(doc)))
		})
	}
}

// Every training sheet of the demo house is sound on both papers, and has
// boxes a hand can put its initials in: lines of a form to be filled in by hand
// stand 6 to 8 mm apart, common practice.
func TestDemoTraining(t *testing.T) {
	for _, id := range []string{"cast-weight", "crystal-bowl-rim", "lens-vase", "optic-block", "relief-panel"} {
		for _, paper := range []string{"A4", "Letter"} {
			for _, wide := range []bool{false, true} {
				s := demoTraining(t, id, sheet.Options{Paper: paper, Landscape: wide})
				doc, found := Lay(s)
				require.Empty(t, found)
				requireSound(t, s, doc)
				steps, boxes := 0, 0
				for _, b := range s.Blocks {
					if st, ok := b.(sheet.TrainingStep); ok {
						steps++
						requireTaught(t, doc, st)
					}
				}
				for _, p := range doc.Pages {
					for _, r := range p.Runs {
						for _, it := range r.Items {
							if b, ok := it.(draw.Rect); ok && b.Stroke > 0 {
								assert.Equal(t, draw.MM(7), b.Height)
								assert.Greater(t, b.Width, draw.MM(20))
								boxes++
							}
						}
					}
				}
				assert.Equal(t, 4*steps, boxes, "%s on %s", id, paper)
			}
		}
	}
}

// requireTaught: nothing a step says is dropped. Between the two halves of a
// paragraph that goes over to the next page may stand the words of the margin.
func requireTaught(t require.TestingT, doc *draw.Document, st sheet.TrainingStep) {
	margin := doc.Width - draw.MM(12) - marginWide
	var content, inner draw.Document
	for _, p := range doc.Pages {
		var page, rest draw.Page
		for _, r := range p.Runs {
			if r.Role == draw.Artifact {
				continue
			}
			page.Runs = append(page.Runs, r)
			if len(r.Items) == 0 {
				continue
			}
			if first, ok := r.Items[0].(draw.Text); !ok || first.At.X < margin {
				rest.Runs = append(rest.Runs, r)
			}
		}
		content.Pages, inner.Pages = append(content.Pages, page), append(inner.Pages, rest)
	}
	all := bare(allText(&content)) + "\n" + bare(allText(&inner))
	for _, p := range st.Points {
		for _, in := range [][]prose.Inline{p.Words, p.Key, p.Reason} {
			for _, one := range strings.Split(prose.Words(in), sheet.Apart) {
				require.Contains(t, all, bare(one))
			}
		}
		if p.Picture != nil {
			require.Contains(t, all, bare(p.Picture.Caption))
		}
		require.Contains(t, all, bare(prose.BlockWords(p.Blocks)))
	}
	for _, c := range st.Checks {
		require.Contains(t, all, bare(c.Label))
		for _, line := range append(append([][]prose.Inline{}, c.Right...), c.Wrong...) {
			require.Contains(t, all, bare(prose.Words(line)))
		}
	}
	require.Contains(t, all, bare(prose.Words(st.Title)))
	require.Contains(t, all, bare(st.Setup))
	for _, box := range st.Boxes {
		require.Contains(t, all, bare(box))
	}
}

// The words stand beside the text and no page loses one, whatever the paper.
func TestAnyTrainingSheetIsSound(t *testing.T) {
	testkit.Long(t)
	rapid.Check(t, func(t *rapid.T) {
		words := func(label string, most int) []prose.Inline {
			n := rapid.IntRange(0, most).Draw(t, label)
			list := make([]string, n)
			for i := range list {
				list[i] = rapid.SampledFrom([]string{"glass", "a", "pre-polish", "felt", "Zwischenschliffscheibendurchmesser", "10\u00a0mm", "rim", "wet"}).Draw(t, label)
			}
			return text(strings.Join(list, " "))
		}
		s := weight()
		s.Page = rapid.SampledFrom([]sheet.PageSetup{a4, letter, a4Wide, {Paper: "A5", Width: 148, Height: 210, Left: 14, Right: 12, Top: 11, Bottom: 9}}).Draw(t, "page")
		s.Page.Kind = sheet.TrainingPage
		s.Title = strings.TrimSpace("Weight " + prose.Words(words("title", 20)))
		s.Blocks = []sheet.Block{
			sheet.Learner{Revision: "rev 12", Change: "wording change", Since: prose.Words(words("since", 60))},
			sheet.Aim{Surfaces: []sheet.Labelled{{Label: "base", Words: "satin"}}, Stop: prose.Words(words("stop", 30))},
		}
		steps := rapid.IntRange(0, 14).Draw(t, "steps")
		for i := range steps {
			st := sheet.TrainingStep{
				Number: i, Title: words("step", 9), Setup: prose.Words(words("setup", 12)),
				Boxes: []string{"shown", "done with help", "done alone", "date"}[:rapid.IntRange(1, 4).Draw(t, "boxes")],
			}
			if i > 0 {
				st.Anchor = sheet.Anchor(i)
			}
			for range rapid.IntRange(0, 6).Draw(t, "points") {
				st.Points = append(st.Points, sheet.TrainingPoint{
					Signal: trade.Signal(rapid.IntRange(0, 4).Draw(t, "signal")), Words: words("words", 16), Key: words("key", 8),
					Reason: words("reason", 10), Whole: rapid.Bool().Draw(t, "whole"), Blocks: []prose.Block{{Kind: prose.Paragraph, Inlines: words("block", 9)}},
				})
				if p := &st.Points[len(st.Points)-1]; p.Whole {
					p.Key, p.Reason = nil, nil
				}
			}
			for range rapid.IntRange(0, 4).Draw(t, "checks") {
				st.Checks = append(st.Checks, sheet.TrainingCheck{
					Label: "Raking lamp", Right: [][]prose.Inline{words("right", 9), words("more", 9)}, Wrong: [][]prose.Inline{words("wrong", 9)},
				})
			}
			s.Blocks = append(s.Blocks, st)
		}
		var g sheet.Glossary
		for i := range rapid.IntRange(0, 60).Draw(t, "glossary") {
			g.Words = append(g.Words, sheet.GlossaryWord{Word: fmt.Sprintf("word%dx", i), Means: "m " + prose.Words(words("means", 20)), Step: rapid.IntRange(0, 14).Draw(t, "at")})
		}
		s.Blocks = append(s.Blocks, g)
		doc, _ := Lay(s)
		requireSound(t, s, doc)
		for _, b := range s.Blocks {
			if st, ok := b.(sheet.TrainingStep); ok {
				requireTaught(t, doc, st)
			}
		}
		all := allText(doc)
		for _, w := range g.Words {
			assert.Equal(t, 1, strings.Count(all, w.Word), w.Word)
		}
	})
}

// What right and wrong look like is told apart by its shape, and told to who
// hears the page.
func TestRightAndWrongDifferInShape(t *testing.T) {
	doc, _ := Lay(demoTraining(t, "cast-weight", sheet.Options{}))
	counted := map[string]int{}
	for _, p := range doc.Pages {
		for _, r := range p.Runs {
			if r.Role == draw.Figure {
				counted[fmt.Sprintf("%s %T", r.Alt, r.Items[0])]++
			}
		}
	}
	assert.Equal(t, map[string]int{"right: draw.Path": 11, "wrong: draw.Line": 11}, counted)
}
