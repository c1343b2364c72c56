package words_test

import (
	"testing"
	"time"

	"github.com/go-playground/locales"
	"github.com/go-playground/locales/de"
	"github.com/go-playground/locales/it"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"

	"coldwright/internal/words"
)

// Dates are held against CLDR as github.com/go-playground/locales has it,
// numbers against CLDR as golang.org/x/text has it.
func TestHabitsAreThoseOfCLDR(t *testing.T) {
	for tag, locale := range map[string]locales.Translator{"de": de.New(), "it": it.New()} {
		l := words.Find(tag)
		require.NotNil(t, l)
		for month := time.January; month <= time.December; month++ {
			day := time.Date(2026, month, 5, 0, 0, 0, 0, time.UTC)
			assert.Equal(t, locale.FmtDateMedium(day), l.Date(day.Format("2006-01-02")))
		}
		printer := message.NewPrinter(language.Make(tag))
		assert.Equal(t, printer.Sprint(number.Decimal(12.5)), l.Number("12.5"))
		assert.Equal(t, "rim 2.F", l.Number("rim 2.F"))
	}
	assert.Equal(t, "05.10.2026", words.Find("de").Date("2026-10-05"))
	assert.Equal(t, "5 ott 2026", words.Find("it").Date("2026-10-05"))
	assert.Equal(t, "12,5", words.Find("it").Number("12.5"))
	assert.Equal(t, "2026-10-05", words.Find("en").Date("2026-10-05"))
	assert.Equal(t, "12.5", words.Find("en").Number("12.5"))
}
