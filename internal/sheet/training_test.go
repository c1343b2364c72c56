package sheet

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/rules"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// demos are the recipes of the demo house.
var demos = []string{"cast-weight", "crystal-bowl-rim", "lens-vase", "optic-block", "relief-panel"}

func training(t testing.TB, id string) *Sheet {
	t.Helper()
	s, found := Build(open(t, testkit.Root(t)+"/recipes/"+id+".md"), FindDesign("training sheet"), Options{})
	require.Empty(t, found)
	return s
}

func taughtSteps(s *Sheet) []TrainingStep {
	var steps []TrainingStep
	for _, b := range s.Blocks {
		if st, ok := b.(TrainingStep); ok {
			steps = append(steps, st)
		}
	}
	return steps
}

// The breakdown of the Job Instruction manual of 1944: what moves the job on,
// what makes or breaks it, and (of later editions) why, on one row.
func TestKeyPointAndReasonStandOnOneRow(t *testing.T) {
	steps := taughtSteps(training(t, "cast-weight"))
	require.Len(t, steps, 7)
	assert.Zero(t, steps[0].Number)
	pre := steps[4]
	assert.Equal(t, "Pre-polish the base", prose.Words(pre.Title))
	assert.Equal(t, "Pumice 2F, felt pad, mud, damp", strings.ReplaceAll(pre.Setup, nbsp, " "))
	i := slices.IndexFunc(pre.Points, func(p TrainingPoint) bool { return len(p.Key) > 0 })
	require.Positive(t, i)
	assert.Equal(t, "Wet the pad, then wring it: damp, not flooded.", prose.Words(pre.Points[i].Words))
	assert.Equal(t, "Load the glass, not only the pad.", prose.Words(pre.Points[i].Key))
	assert.Equal(t, "A washed pad carries nothing to the face.", prose.Words(pre.Points[i].Reason))
	assert.Equal(t, []string{"shown", "done with help", "done alone", "date"}, pre.Boxes)
}

// A caution says what it is for, once on the sheet, at the step that calls for
// it first; the author's own words stand whole.
func TestCautionsSayWhatTheyAreFor(t *testing.T) {
	for _, id := range demos {
		plan := open(t, testkit.Root(t)+"/recipes/"+id+".md")
		s := training(t, id)
		b := &builder{recipe: plan.Recipe, house: plan.House, plan: plan}
		count := map[string]int{}
		for _, st := range taughtSteps(s) {
			for _, p := range st.Points {
				if p.Signal > 0 && !p.Whole {
					require.NotEmpty(t, p.Reason, "%s: %s", id, prose.Words(p.Words))
					count[prose.Words(p.Reason)]++
				}
			}
		}
		for _, topic := range b.allTopics() {
			assert.Equal(t, 1, count[topic.Why], "%s: %s", id, topic.Name)
		}
	}
	weight := taughtSteps(training(t, "cast-weight"))
	said := weight[2].Points
	assert.True(t, slices.ContainsFunc(said, func(p TrainingPoint) bool {
		return p.Whole && p.Signal == trade.Warning && prose.Words(p.Words) == "Both hands, and never a tilted landing: the plate throws the piece."
	}))
	assert.Contains(t, dump(training(t, "cast-weight")), "Dry powder hangs in the air and harms the lungs.")
}

// Wrong is what the author says, else what the trade knows of such a test after
// such work, else where to go back to.
func TestRightAndWrong(t *testing.T) {
	steps := taughtSteps(training(t, "cast-weight"))
	smooth := steps[3].Checks
	assert.Equal(t, "Ceiling lamp", smooth[1].Label)
	require.Len(t, smooth[1].Right, 2)
	assert.Equal(t, "no glow at all, or cloudy patches.", prose.Words(smooth[1].Wrong[0]))
	assert.Contains(t, prose.Words(smooth[0].Wrong[0]), "grade before")
	polish := steps[5].Checks[1]
	assert.Equal(t, "Tile T5", polish.Label)
	assert.Equal(t, "T5, bright polish: strip light unbroken to 10 mm from the edge", prose.Words(polish.Right[1]))
	assert.Equal(t, "haze beside the tile; go back to step"+nbsp+"3", prose.Words(polish.Wrong[0]))
	assert.Equal(t, "not so: repeat this step", prose.Words(steps[6].Checks[0].Wrong[0]))
	for _, st := range taughtSteps(training(t, "lens-vase")) {
		for _, c := range st.Checks {
			assert.Equal(t, c.Label == "Stop", c.Stops)
			assert.Equal(t, c.Stops, len(c.Wrong) == 0)
		}
	}
}

// Training ends with a safety or method change, and with no other.
func TestWhatEndsTraining(t *testing.T) {
	const recipe = "---\nrecipe: a\ntitle: A\nrevision: %R\ndate: 2026-10-05\nglass: soda-lime\nchanges:\n%C---\n\n## Seam the rim\n\n1. Seam it.\n"
	of := func(revision, changes string) Learner {
		p := read(t, "", strings.NewReplacer("%R", revision, "%C", changes).Replace(recipe))
		s, _ := Build(p, FindDesign("training sheet"), Options{})
		require.NotNil(t, s)
		return blockOf[Learner](t, s)
	}
	const method = "  - {revision: 2, date: 2026-01-05, kind: method, note: Cerium cut.}\n"
	l := of("2", method)
	assert.Equal(t, "rev 2", strings.ReplaceAll(l.Revision, nbsp, " "))
	assert.Equal(t, "method change", l.Change)
	assert.Equal(t, "Rev 2, 2026-01-05, method change: Cerium cut. Training on an earlier revision is at an end.", strings.ReplaceAll(l.Since, nbsp, " "))
	l = of("3", method+"  - {revision: 3, date: 2026-10-05, kind: wording, note: Spelling.}\n")
	assert.Equal(t, "wording change", l.Change)
	assert.Contains(t, l.Since, "Cerium cut.")
	l = of("2", "  - {revision: 2, date: 2026-01-05, kind: wording, note: Spelling.}\n")
	assert.Empty(t, l.Since)
	assert.Contains(t, of("2", "  - {revision: 2, date: 2026-01-05, kind: safety, note: Own bucket.}\n").Since, "safety change: Own bucket.")
}

// Every word that is explained is used on the sheet, and those that a learner
// meets first are.
func TestOnlyWordsOfTheSheetAreExplained(t *testing.T) {
	for _, id := range demos {
		s := training(t, id)
		words := blockOf[Glossary](t, s).Words
		rest := *s
		rest.Blocks = slices.DeleteFunc(slices.Clone(s.Blocks), func(b Block) bool { _, is := b.(Glossary); return is })
		text := regexp.MustCompile(`[^\p{L}\p{N}]+`).ReplaceAllString(strings.ToLower(dump(&rest)), " ")
		house := trade.BuiltIn()
		for _, w := range words {
			used := regexp.MustCompile(`[^\p{L}\p{N}]+`).ReplaceAllString(strings.ToLower(w.Word), " ")
			forms := []string{used}
			if row := house.FindWord(w.Word); row != nil {
				for _, form := range append(row.Forms, row.Word) {
					forms = append(forms, regexp.MustCompile(`[^\p{L}\p{N}]+`).ReplaceAllString(strings.ToLower(form), " "))
				}
			}
			assert.True(t, slices.ContainsFunc(forms, func(f string) bool { return strings.Contains(" "+text+" ", " "+f+" ") }), "%s: %s", id, w.Word)
			assert.NotEmpty(t, w.Means)
		}
	}
	var names []string
	for _, w := range blockOf[Glossary](t, training(t, "cast-weight")).Words {
		names = append(names, w.Word)
	}
	for _, want := range []string{"bright polish", "untouched", "F220", "2F", "island", "cream", "mud", "load", "outline", "tile", "Raking lamp", "seam"} {
		assert.Contains(t, names, want)
	}
}

// claimed are what no sheet may say of work or people.
var claimed = regexp.MustCompile(`(?i)\b(competen\w+|certif\w+|compliant|risk.assessed|harmless|silicosis|safe|no risk)\b`)

func TestTrainingClaimsNothing(t *testing.T) {
	for _, id := range demos {
		s := training(t, id)
		assert.True(t, strings.HasPrefix(s.Foot, "Initials in each box say what was seen that day. A safety or method change in the recipe ends them: train again.\n"))
		assert.Empty(t, claimed.FindAllString(dump(s), -1), id)
	}
	for _, w := range trade.BuiltIn().Topics {
		assert.Empty(t, claimed.FindAllString(w.Why, -1), w.Name)
	}
}

// What the lead has overruled shows on the training sheet with its reason and
// its date.
func TestAcceptedShowsOnTheTrainingSheet(t *testing.T) {
	text := strings.Replace(string(testkit.Read(t, testkit.Root(t)+"/recipes/cast-weight.md")), "changes:\n",
		"accepted:\n  - {finding: no-clean-down, reason: The wash bench is beside it., until: 2027-01-31}\nchanges:\n", 1)
	text = strings.Replace(text, "- Clean-down: scrape slurry to its pot, scrub the plate, new bucket, new apron\n", "", 1)
	plan := read(t, string(testkit.Read(t, testkit.Root(t)+"/recipes/shop.yaml")), text)
	found := rules.Check(&check.Context{House: plan.House, Recipe: plan.Recipe, Plan: plan, Today: recipe.Date{Year: 2026, Month: 11, Day: 1}})
	s, _ := Build(plan, FindDesign("training sheet"), Options{Findings: found})
	require.NotNil(t, s)
	require.Len(t, s.Standing, 1)
	assert.Contains(t, s.Standing[0], "until 2027-01-31")
	assert.Contains(t, s.Standing[0], "The wash bench is beside it.")
}

// A box may not claim what initials cannot.
func TestBoxesClaimNothing(t *testing.T) {
	design := "name: ours\npage: training sheet\npaper: A4\nblocks:\n  - learner\n  - cautions to learn\n  - steps to learn: {boxes: [%]}\n"
	of := func(boxes string) (*Design, diag.List) { return load(t, strings.ReplaceAll(design, "%", boxes)) }
	d, report := of("watched, done")
	require.Empty(t, report)
	assert.Equal(t, []string{"watched", "done"}, d.Blocks[2].Boxes)
	_, report = of("shown, competent")
	require.Len(t, report, 1)
	assert.Equal(t, "competent", report[0].Span.Text())
	_, report = of("shown by one who has done it often")
	require.Len(t, report, 1)
	assert.Contains(t, report[0].Message, "no room to write")
	_, report = of("a, b, c, d, e")
	require.Len(t, report, 1)
}

// Wherever a check fails the sheet says to which step, or that the step is done
// once more.
func TestEveryFaultSaysWhereItLeads(t *testing.T) {
	way := regexp.MustCompile(`(?i)(go back to step \d+|repeat this step)\.?$`)
	for _, id := range demos {
		for _, st := range taughtSteps(training(t, id)) {
			for _, c := range st.Checks {
				if c.Stops {
					continue
				}
				last := strings.ReplaceAll(prose.Words(c.Wrong[len(c.Wrong)-1]), nbsp, " ")
				assert.Regexp(t, way, last, "%s, step %d", id, st.Number)
			}
		}
	}
	last := taughtSteps(training(t, "relief-panel"))[19]
	assert.Equal(t, "any difference side by side: do not sign; go back to step"+nbsp+"18", prose.Words(last.Checks[0].Wrong[0]))
	assert.Equal(t, "any difference side by side: do not sign; go back to step"+nbsp+"12", prose.Words(last.Checks[1].Wrong[0]))
	// Beside a stop nothing is simply done again.
	saw := taughtSteps(training(t, "relief-panel"))[3]
	require.True(t, saw.Checks[1].Stops)
	assert.Equal(t, "not so: where Stop holds, stop, else repeat this step", prose.Words(saw.Checks[0].Wrong[0]))
}

// What harms at one moment is said at each step that has the moment, with its
// reason at the first.
func TestACautionIsSaidAtEachStepItIsFor(t *testing.T) {
	plan := open(t, testkit.Root(t)+"/recipes/relief-panel.md")
	steps := taughtSteps(training(t, "relief-panel"))[1:]
	powders := 0
	for i, st := range steps {
		said := slices.ContainsFunc(st.Points, func(p TrainingPoint) bool {
			return p.Signal == trade.Warning && strings.Contains(prose.Words(p.Words), "P100 or FFP3 mask on. Powder into water.")
		})
		assert.Equal(t, plan.Steps[i].Powder, said, "step %d", st.Number)
		if said {
			powders++
		}
	}
	assert.Equal(t, 3, powders)
}

// The recipe's own pictures, purpose and prose stand on the sheet it is learnt
// from.
func TestTrainingKeepsPurposePicturesAndProse(t *testing.T) {
	for _, id := range demos {
		plan := open(t, testkit.Root(t)+"/recipes/"+id+".md")
		s := training(t, id)
		assert.Equal(t, plan.Recipe.Purpose, blockOf[Purpose](t, s).Blocks)
		var shown, want []string
		for _, st := range taughtSteps(s) {
			for _, p := range st.Points {
				if p.Picture != nil {
					shown = append(shown, p.Picture.Target)
				}
			}
		}
		for _, p := range plan.Recipe.Pictures {
			want = append(want, p.Target)
		}
		assert.Equal(t, want, shown, id)
	}
	s, _ := Build(read(t, "", "---\nrecipe: a\ntitle: A\nrevision: 1\ndate: 2026-10-05\nglass: soda-lime\n---\n\n## Seam the rim\n\nTwo hold the bowl.\n\n1. Seam it.\n\nNobody talks.\n"),
		FindDesign("training sheet"), Options{})
	require.NotNil(t, s)
	var words []string
	for _, st := range taughtSteps(s) {
		for _, p := range st.Points {
			words = append(words, prose.Words(p.Words))
		}
	}
	assert.Equal(t, []string{"Two hold the bowl.", "Seam it.", "Nobody talks."}, words)
}
