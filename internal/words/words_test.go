package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// german is a table as German writes: Unicode CLDR, de: decimal sign a comma,
// medium date dd.MM.y.
func german(t *testing.T, more string) (*Language, diag.List) {
	t.Helper()
	l := &Language{Tag: "de", phrases: map[string]string{}}
	return l, l.read(source.New("de.yaml", []byte("name: German\ndecimal: \",\"\ndate: dd.MM.yyyy\n"+more)))
}

func TestEveryTableIsRead(t *testing.T) {
	for _, tag := range Tags() {
		l := Find(tag)
		require.NotNil(t, l, tag)
		assert.NotEmpty(t, l.Name, tag)
		if !l.English() {
			assert.NotEmpty(t, l.phrases, "%s has words", tag)
		}
	}
	assert.Nil(t, Find("xx"))
	assert.Same(t, Find("en"), Find("en-GB"))
}

func TestHabits(t *testing.T) {
	l, found := german(t, "pages:\n  Stop: Halt\n  at most %s: höchstens %s\n")
	require.Empty(t, found)
	assert.Equal(t, "05.10.2026", l.Date("2026-10-05"))
	assert.Equal(t, "next week", l.Date("next week"))
	assert.Equal(t, "0,57 kg, rev. 2. D60", l.Number("0.57 kg, rev. 2. D60"))
	s := Speak(l, nil)
	assert.Equal(t, "Halt", s.Say("Stop"))
	assert.Equal(t, "höchstens 3", s.Say("at most %s", "3"))
	assert.Empty(t, s.Missing())
	assert.Equal(t, "go back", s.Say("go back"), "what is missing is said in English")
	assert.Equal(t, "felt pad", s.Name("felt pad"), "a name may be the house's own")
	assert.Equal(t, []string{"go back"}, s.Missing())
	assert.Equal(t, "Halt / Stop", Speak(l, Find(Default)).Say("Stop"))
	assert.Equal(t, "0,5", Beside("0,5", "0.5"))
	var english *Speaker
	assert.Equal(t, "10\u00a0mm at 3", english.Say("10~mm at %d", 3))
}

func TestAPhraseTwiceIsAFault(t *testing.T) {
	_, found := german(t, "pages: {Stop: Halt}\ntrade: {Stop: Halt}\n")
	assert.Len(t, found, 1)
}

// What both languages end with stands once, unless the words before it would be
// torn from it.
func TestBeside(t *testing.T) {
	for _, c := range [][3]string{
		{"Reinigen:", "Clean down:", "Reinigen / Clean down:"},
		{"freigegeben: Leitung", "approved: Leitung", "freigegeben / approved: Leitung"},
		{"Eisenscheibe 600 mm", "iron lap 600 mm", "Eisenscheibe / iron lap 600 mm"},
		{"gültig ab 05.10.2026", "effective 05.10.2026", "gültig ab / effective 05.10.2026"},
		{"Seite 1 von 2", "page 1 of 2", "Seite 1 von 2 / page 1 of 2"},
		{"Rev. 1", "rev 1", "Rev. 1"},
		{"Nass halten. Maske auf.", "Keep wet. Maske auf.", "Nass halten. Maske auf. / Keep wet. Maske auf."},
		{"Größe", "Öße", "Größe / Öße"},
		{"", "steps", "steps"},
	} {
		assert.Equal(t, c[2], Beside(c[0], c[1]))
	}
}

// Two languages on one page write numbers and days as the first does.
func TestOnePageHasOneDecimalSign(t *testing.T) {
	l, found := german(t, "pages: {at most %s: höchstens %s}\n")
	require.Empty(t, found)
	house, beside := Speak(l, Find(Default)).Apart()
	assert.Equal(t, "höchstens 7,5", house.Say("at most %s", house.Number("7.5")))
	assert.Equal(t, "at most 7,5", beside.Say("at most %s", beside.Number("7.5")))
	assert.Equal(t, "05.10.2026", beside.Date("2026-10-05"))
}
