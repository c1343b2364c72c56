package trade

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

const ownStock = "# ours\nstock:\n  S220: {abrasive: silicon carbide, grade: F220} # coarse\n  \"S,9\": {abrasive: silicon carbide, grade: F80}\n"

func weighed() Measured {
	return Measured{
		Stock: "S220", Machine: "flat lap", Glass: "soda-lime", Dated: "2026-10-05", By: "bench hand: late shift, \"B\"",
		Area: quantity.Value{Amount: 50, Unit: quantity.SquareCentimetre},
		Rate: quantity.Value{Amount: 12.2, Unit: quantity.MicrometrePerMinute},
		Lamp: quantity.Value{Amount: 18.5, Unit: quantity.Degree},
	}
}

// Whatever stands there stays byte for byte, and what was added is read back as
// it was meant.
func TestAddingAMeasurement(t *testing.T) {
	stock := strings.Replace(ownStock, "  \"S,9\": {abrasive: silicon carbide, grade: F80}\n", "", 1)
	for name, text := range map[string]string{
		"none":             stock,
		"no last line":     strings.TrimSuffix(stock, "\n"),
		"a remark last":    stock + "# the end",
		"empty key":        "measured: # none yet\n" + stock,
		"empty list":       "measured: []\n" + stock,
		"list in a line":   stock + "measured: [{stock: S220, rate: 3 µm/min}] # weighed\nroles: {works: hand}\n",
		"comma last":       stock + "measured: [\n  {stock: S220, rate: 3 µm/min}, # weighed\n]\n",
		"list of lines":    "measured:\n  # first\n  - {stock: S220, rate: 3 µm/min} # weighed\n\n  # none after\n\n" + stock,
		"not set in":       "measured:\n- {stock: S220, rate: 3 µm/min}\n" + stock,
		"key below key":    "measured:\n    - stock: S220\n      rate: 3 µm/min\n      by: \"a hand\"\n" + stock,
		"last, no ending":  stock + "measured:\n  - {stock: S220, rate: 3 µm/min}",
		"decimal comma":    "house: {language: de}\n" + stock,
		"alone, no list":   "measured: # ours\n  stock: S220 # weighed\n\n  # by hand\n  rate: 3 µm/min\n\n" + stock,
		"alone, no ending": stock + "measured:\n   stock: S220\n   rate: 3 µm/min",
		"alone in braces":  stock + "measured: {stock: S220, rate: 3 µm/min} # weighed\n",
		"one in brackets":  "measured: [{stock: S220, rate: 3 µm/min}]\n" + stock,
		"one character":    "measured:\n  - {stock: S220, rate: 3 µm/min}\nroles: {works: hand}\n" + stock,
	} {
		for _, end := range []string{"\n", "\r\n"} {
			t.Run(name, func(t *testing.T) {
				old := []byte(strings.ReplaceAll(text, "\n", end))
				got, err := AddMeasured(source.New("shop.yaml", old), weighed())
				require.NoError(t, err)
				var found diag.List
				h := Lay(source.New("shop.yaml", got), &found)
				assert.Empty(t, found)
				assert.True(t, h.Measured[len(h.Measured)-1].Same(weighed()), "%+v", h.Measured)
				if end == "\r\n" {
					assert.Equal(t, strings.Count(string(got), "\n"), strings.Count(string(got), "\r\n"))
				}
				head := 0
				for head < len(old) && old[head] == got[head] {
					head++
				}
				// A measurement that stood alone becomes a list round it.
				whole := strings.HasSuffix(string(got), string(old[head:])) || strings.HasPrefix(name, "alone") && holdsInOrder(got, old)
				assert.True(t, whole, "something else was touched:\n%s", got)
			})
		}
	}
}

// holdsInOrder says whether a text is another with something put in.
func holdsInOrder(text, other []byte) bool {
	for _, b := range text {
		if len(other) > 0 && b == other[0] {
			other = other[1:]
		}
	}
	return len(other) == 0
}

// Where it would not read clean, nothing is made.
func TestAddingAMeasurementThatWouldNotRead(t *testing.T) {
	for name, c := range map[string]struct{ text, says string }{
		"all in braces":  {"{stock: {S220: {abrasive: silicon carbide F220}}}\n", "list"},
		"faulty already": {ownStock, "come first"},
		"no such stock":  {"stock:\n  S80: {abrasive: silicon carbide F80}\n", "S220"},
	} {
		_, err := AddMeasured(source.New("shop.yaml", []byte(c.text)), weighed())
		require.Error(t, err, name)
		assert.ErrorContains(t, err, c.says, name)
	}
}
