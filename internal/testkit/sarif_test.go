package testkit

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The check of SARIF logs can fail: what the standard does not allow is found.
func TestAWrongSARIFLogIsFound(t *testing.T) {
	log := func(result string) []byte {
		return []byte(`{"version": "2.1.0", "runs": [{"tool": {"driver": {"name": "x"}}, "results": [` + result + `]}]}`)
	}
	place := func(uri, region string) []byte {
		return log(`{"message": {"text": "x"}, "locations": [{"physicalLocation": {"artifactLocation": {"uri": "` + uri + `"}, "region": ` + region + `}}]}`)
	}
	assert.NoError(t, againstSARIF(t, place("a/b%20c.md", `{"startLine": 1}`)))
	for name, wrong := range map[string][]byte{
		"no message":         log(`{}`),
		"a level of our own": log(`{"message": {"text": "x"}, "level": "refusal"}`),
		"a key of our own":   log(`{"message": {"text": "x"}, "step": 3}`),
		"a line 0":           place("a.md", `{"startLine": 0}`),
		"a broken address":   place("%zz.md", `{"startLine": 1}`),
		"no version":         []byte(`{"runs": []}`),
	} {
		assert.Error(t, againstSARIF(t, wrong), name)
	}
}
