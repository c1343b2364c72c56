package cli

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"coldwright/internal/recipe"
	"coldwright/internal/sheet"
)

// TestATooSmallPaperIsAnsweredByCardsThatPrint: a card too much for any one
// paper is told the paper and the steps of each card it makes there, and each
// of these prints.
func TestATooSmallPaperIsAnsweredByCardsThatPrint(t *testing.T) {
	d := newDemo(t)
	r := d.read(t, made{19, 1, false, longTitle})
	_, _, found := d.print(t, r, "bench card", sheet.Options{Paper: "4x6"})
	help := ""
	for _, f := range found {
		if f.Rule == sheet.CardFitRule {
			help = f.Help
		}
	}
	paper := regexp.MustCompile(`--paper (\S+) --(portrait|landscape)`).FindStringSubmatch(help)
	require.NotNil(t, paper, help)
	requireCards(t, d, r, help, sheet.Options{Paper: paper[1], Portrait: paper[2] == "portrait", Landscape: paper[2] == "landscape"}, 19)
}

// TestTheCardsOfASplitPrint: where the later steps are to be split off, each
// card that is named prints, on a paper that stands and on one that lies.
func TestTheCardsOfASplitPrint(t *testing.T) {
	d := newDemo(t)
	tried := 0
	for _, id := range []string{"cast-weight", "crystal-bowl-rim", "lens-vase", "optic-block", "relief-panel"} {
		r := d.demoRecipe(t, id)
		for _, o := range []sheet.Options{{Paper: "A5"}, {Paper: "A5", Portrait: true}, {Paper: "half-letter"}} {
			_, _, found := d.print(t, r, "bench card", o)
			for _, f := range found {
				if f.Rule == sheet.CardFitRule && strings.HasPrefix(f.Help, "Split off") {
					tried++
					requireCards(t, d, r, f.Help, o, len(r.Steps))
				}
			}
		}
	}
	require.Greater(t, tried, 8)
}

// requireCards: the cards named hold every step once, and each prints.
func requireCards(t *testing.T, d *demoPrints, r *recipe.Recipe, help string, o sheet.Options, last int) {
	t.Helper()
	steps := regexp.MustCompile(`--steps (\d+)(?:-(\d+))?`).FindAllStringSubmatch(help, -1)
	require.Greater(t, len(steps), 1, help)
	next := 1
	for _, m := range steps {
		from, err := strconv.Atoi(m[1])
		require.NoError(t, err)
		to := from
		if m[2] != "" {
			to, err = strconv.Atoi(m[2])
			require.NoError(t, err)
		}
		require.Equal(t, next, from, help)
		next = to + 1
		o.From, o.To = from, to
		file, _, why := d.print(t, r, "bench card", o)
		require.NotNil(t, file, "%s %v: %v", m[0], o, why)
	}
	require.Equal(t, last+1, next, help)
}
