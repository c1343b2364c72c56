package sheet

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/testkit"
	"coldwright/internal/trade"
	"coldwright/internal/words"
)

// A language whose table lacks the parts of a tool prints the tool in English,
// never the keys the parts are looked up by.
func TestWhatNoTableHasIsSaidWhole(t *testing.T) {
	spoken := tongue{speak: words.Speak(&words.Language{Tag: "xx"}, nil)}
	tools := 0
	for _, file := range testkit.Files(t, filepath.Join(testkit.Root(t), "recipes"), "*.md") {
		for _, s := range open(t, file).Recipe.Steps {
			a := s.Abrasive.Value
			if a.Family == nil {
				continue
			}
			if a.Tool != nil {
				tools++
				assert.Equal(t, a.Words, spoken.abrasive(a))
			} else {
				assert.Equal(t, a.Family.Name, spoken.abrasive(a))
			}
		}
	}
	assert.Positive(t, tools)
}

// A house's own reason stays as it was written.
func TestAHousesOwnReasonStays(t *testing.T) {
	own := &trade.Topic{House: true, Title: "Crane ~ hook", Why: "It swings ~ far."}
	assert.Equal(t, own.Why, tongue{}.why(own))
	assert.Equal(t, own.Title, tongue{}.title(own))
}
