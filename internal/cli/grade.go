package cli

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldwright/internal/grade"
	"coldwright/internal/trade"
)

func (e *env) gradeCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "grade GRADE",
		Short: "Every meaning of a grade: size, limits, source, nearest neighbours",
		Long: `Grade says what a grade means. A bare number has a meaning on every scale: they
are set side by side. A grade written with its scale gives its grain size, its
limits, where the figures come from, and its nearest neighbours on the other
scales and in the house's stock.`,
		Example: example("coldwright grade 400", "coldwright grade F400", "coldwright grade '325 mesh'"),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usagef("name a grade, such as 400, F400, P400, '325 mesh' or 2F")
			}
			h, err := e.openHouse(".")
			if err != nil {
				return err
			}
			query := strings.Join(args, " ")
			text, ok := grade.Report(query, held(h.House))
			if !ok {
				stock, ok := ofStock(h.House, query)
				if !ok {
					return usageError{text + aloneGrade(query)}
				}
				text = stock
			}
			_, err = fmt.Fprint(e.out, text)
			return err
		},
	}
}

// ofStock is what the grade of a line of the house's stock means, by its code.
func ofStock(h *trade.House, code string) (string, bool) {
	for _, one := range held(h) {
		if strings.EqualFold(one.Code, strings.TrimSpace(code)) {
			text, ok := grade.Report(one.Grade.Label, held(h))
			return one.Code + " is " + one.Words + " " + one.Grade.Label + " in the house's stock.\n\n" + text, ok
		}
	}
	return "", false
}

// aloneGrade is a hint where words stand before a grade, "" where none does.
func aloneGrade(query string) string {
	words := strings.Fields(query)
	for i := 1; i < len(words); i++ {
		rest := strings.Join(words[i:], " ")
		if _, ok := grade.Report(rest, nil); ok {
			return " Here the grade stands alone: coldwright grade " + rest
		}
	}
	return ""
}

// held is the house's stock as the grade tables see it, by code.
func held(h *trade.House) []grade.Held {
	var list []grade.Held
	for _, code := range slices.Sorted(maps.Keys(h.Stock)) {
		s := h.Stock[code]
		if !s.Retired && s.Abrasive.Grade.Written() {
			list = append(list, grade.Held{Code: code, Grade: s.Abrasive.Grade, Words: s.Abrasive.Words})
		}
	}
	return list
}
