package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/rules"
	"coldwright/internal/testkit"
)

// TestReadmeShowsWhatTheCommandSays runs every command the README shows in a
// console block and compares what it says, letter for letter.
func TestReadmeShowsWhatTheCommandSays(t *testing.T) {
	root := testkit.Root(t)
	path := filepath.Join(root, "README.md")
	text := string(testkit.Read(t, path))
	t.Chdir(root)
	t.Setenv("NO_COLOR", "1")
	ran := 0
	updated := text
	for rest := text; ; {
		_, after, found := strings.Cut(rest, "```console\n$ coldwright ")
		if !found {
			break
		}
		block, tail, closed := strings.Cut(after, "```")
		require.True(t, closed)
		command, want, _ := strings.Cut(block, "\n")
		var out bytes.Buffer
		Main(argsOf(command), strings.NewReader(""), &out, &out)
		if testkit.Updating() {
			updated = strings.Replace(updated, block, command+"\n"+out.String(), 1)
		} else {
			assert.Equal(t, want, out.String(), "coldwright %s", command)
		}
		ran++
		rest = tail
	}
	require.NotZero(t, ran, "the README shows no command")
	if testkit.Updating() {
		require.NoError(t, os.WriteFile(path, []byte(updated), 0o644))
	}
}

// argsOf are those of a command line, quotes kept together.
func argsOf(line string) []string {
	var list []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			list = append(list, part)
			continue
		}
		list = append(list, strings.Fields(part)...)
	}
	return list
}

// TestReadmeListsEveryRule holds the README's rule list against the rules.
func TestReadmeListsEveryRule(t *testing.T) {
	path := filepath.Join(testkit.Root(t), "README.md")
	text := string(testkit.Read(t, path))
	const start, end = "<!-- rules: from the rules themselves -->\n", "<!-- end of rules -->"
	head, rest, ok := strings.Cut(text, start)
	require.True(t, ok)
	have, tail, ok := strings.Cut(rest, end)
	require.True(t, ok)
	want := rules.List()
	if testkit.Updating() {
		require.NoError(t, os.WriteFile(path, []byte(head+start+want+end+tail), 0o644))
		return
	}
	assert.Equal(t, want, have)
}
