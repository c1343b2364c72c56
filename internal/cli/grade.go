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
			text, ok := grade.Report(strings.Join(args, " "), held(h.House))
			if !ok {
				return usageError{text}
			}
			_, err = fmt.Fprint(e.out, text)
			return err
		},
	}
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
