package cli

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

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
		file, _, why := d.print(t, r, "bench card", sheet.Options{
			Paper: paper[1], Portrait: paper[2] == "portrait", Landscape: paper[2] == "landscape", From: from, To: to,
		})
		require.NotNil(t, file, "%s: %v", strings.Join(m, " "), why)
	}
	require.Equal(t, 20, next, help)
}
