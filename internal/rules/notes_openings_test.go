package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is set aside by the openings of its words never stands in the sentence: each
// phrase of each deed is held to a sentence of its own words, in each of their forms.
func TestAPhraseIsNotSetAsideByItsOpenings(t *testing.T) {
	forms := map[string][]string{}
	for word, s := range irregular {
		forms[s] = append(forms[s], word)
	}
	count := 0
	for _, a := range forbiddenDeeds().all {
		for _, p := range a.as {
			for n := range p.stems {
				for _, word := range append(forms[p.stems[n]], p.stems[n]) {
					text := ""
					for m, s := range p.stems {
						if m == n {
							s = word
						}
						text += s + " "
					}
					openings, sure := openingsIn([]byte(text))
					assert.True(t, !sure || p.openings&^openings == 0, text)
					count++
				}
			}
		}
	}
	assert.Greater(t, count, 1000)
	openings, sure := openingsIn([]byte("Set it down in the slow centre."))
	assert.True(t, sure)
	p := newPattern("slow ~ with .. hand", false)
	assert.NotZero(t, p.openings&^openings)
}
