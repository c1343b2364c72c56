package keys_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/keys"
)

// One slip of the pen is a letter too many, too few, another, or two changed about
// (Damerau, 1964); a word two slips away is another word: flint glass holds lead, float
// glass does not.
func TestOneSlip(t *testing.T) {
	names := []string{"float glass", "window glass", "plate", "plate glass", "slate"}
	for text, want := range map[string]string{
		"flaot glass": "float glass", "Float-glas": "float glass", "floatt glass": "float glass", "windaw glass": "window glass",
		"flint glass": "", "float": "", "float glass": "", "": "", "plat": "plate", "blate": "", "platte glass": "plate glass", "clate": "",
	} {
		assert.Equal(t, want, keys.OneSlip(text, names), text)
	}
}
