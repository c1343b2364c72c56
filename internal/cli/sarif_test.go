package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/rules"
	"coldwright/internal/testkit"
)

// TestSARIFOfWholeFolders holds what the command writes of sound and of broken
// recipes against the published schema, and against what it writes as JSON.
func TestSARIFOfWholeFolders(t *testing.T) {
	t.Chdir(testkit.Root(t))
	for _, path := range []string{"recipes", "testdata/readme", "testdata/rules", "testdata/sequences"} {
		t.Run(filepath.Base(path), func(t *testing.T) {
			run := func(format string) []byte {
				var out, errs bytes.Buffer
				status := Main([]string{"check", "--today", "2026-11-25", "--format", format, path}, strings.NewReader(""), &out, &errs)
				require.LessOrEqual(t, status, Stopped, errs.String())
				return out.Bytes()
			}
			log := run("sarif")
			testkit.KeepsToSARIF(t, log)
			var sarif struct {
				Runs []struct {
					Tool struct {
						Driver struct{ Rules []struct{ ID string } }
					}
					Results []struct {
						RuleID    string
						RuleIndex *int
						Locations []struct {
							PhysicalLocation struct {
								ArtifactLocation struct{ URI string }
								Region           struct{ StartLine int }
							}
						}
						Properties struct{ Severity string }
					}
				}
			}
			require.NoError(t, json.Unmarshal(log, &sarif))
			var plain struct {
				Findings []struct {
					Rule, Severity, File string
					Line                 int
				}
			}
			require.NoError(t, json.Unmarshal(run("json"), &plain))
			require.Len(t, sarif.Runs, 1)
			require.Len(t, sarif.Runs[0].Results, len(plain.Findings))
			require.Len(t, sarif.Runs[0].Tool.Driver.Rules, len(rules.All))
			for i, r := range sarif.Runs[0].Results {
				want := plain.Findings[i]
				assert.Equal(t, want.Rule, r.RuleID)
				assert.Equal(t, want.Severity, r.Properties.Severity)
				require.NotNil(t, r.RuleIndex, "%s is no rule that is explained", r.RuleID)
				assert.Equal(t, r.RuleID, sarif.Runs[0].Tool.Driver.Rules[*r.RuleIndex].ID)
				require.Len(t, r.Locations, 1)
				at := r.Locations[0].PhysicalLocation
				assert.Equal(t, want.Line, at.Region.StartLine)
				_, err := os.Stat(filepath.FromSlash(at.ArtifactLocation.URI))
				assert.NoError(t, err)
				assert.Equal(t, want.File, at.ArtifactLocation.URI)
			}
		})
	}
}
