package cli

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/testkit"
)

// preflight runs Apache PDFBox's preflight of PDF/A-1b (ISO 19005-1), of which
// we are no part, over all files of a folder and gives what it says of each. The
// jars are Debian's libpdfbox2-java with what that needs.
func preflight(t *testing.T, folder string) map[string]string {
	t.Helper()
	const jars = "/usr/share/java"
	var path []string
	for _, jar := range []string{"preflight", "pdfbox2", "fontbox2", "xmpbox", "commons-logging", "commons-io", "javax.activation", "jaxb-api"} {
		path = append(path, filepath.Join(jars, jar+".jar"))
		if _, err := os.Stat(path[len(path)-1]); err != nil {
			t.Skipf("no preflight of PDF/A here: %v", err)
		}
	}
	if _, err := exec.LookPath("java"); err != nil {
		t.Skip("no preflight of PDF/A here: there is no java")
	}
	// Its exit status says no more than its words.
	out, _ := exec.Command("java", "-cp", strings.Join(path, ":"), "org.apache.pdfbox.preflight.Validator_A1b", "batch", folder).CombinedOutput()
	said := map[string]string{}
	for _, part := range strings.Split(string(out), "The file ")[1:] {
		// A name ends before "is a valid …" or "is not valid …".
		name, rest, found := strings.Cut(strings.TrimPrefix(part, folder+"/"), " is ")
		require.True(t, found, part)
		said[filepath.Base(name)] = strings.TrimSpace(rest)
	}
	require.NotEmpty(t, said, string(out))
	return said
}

const sound = "a valid PDF/A-1b file"

// TestEveryFileIsForTheArchive prints the demo house by every design, on the
// papers each is for, as copies, drafts, parts and sheets to cut, and holds
// every file against the preflight.
func TestEveryFileIsForTheArchive(t *testing.T) {
	testkit.Long(t)
	recipes := filepath.Join(testkit.Root(t), "recipes")
	out := t.TempDir()
	var said bytes.Buffer
	n := 0
	for _, args := range [][]string{
		{"--paper", "A4"}, {"--paper", "Letter"}, {"--paper", "A3", "--landscape"}, {"--draft", "--paper", "A5", "--landscape"}, {"--punch", "left", "--paper", "A4"},
		{"--as", "bench card"}, {"--as", "bench card", "--paper", "A4"}, {"--as", "bench card", "--paper", "Letter"},
		{"--as", "bench card", "--paper", "A6", "--steps", "1"}, {"--as", "bench card", "--paper", "4x6", "--steps", "2"},
		{"--as", "bench card", "--bench", "D", "--portrait", "--sheet", "A4"},
		{"--as", "training sheet"}, {"--as", "training sheet", "--paper", "Letter"},
		{"--as", "house book"}, {"--as", "house book", "--paper", "Letter"},
		{"--as", "grade chart"}, {"--as", "grade chart", "--paper", "A3"}, {"--as", "grade chart", "--paper", "Letter"},
	} {
		// Names do not tell papers apart.
		folder := filepath.Join(out, "set")
		Main(append([]string{"print", "--today", "2026-11-25", "--out", folder, recipes}, args...), strings.NewReader(""), &said, &said)
		files, err := os.ReadDir(folder)
		require.NoError(t, err, "%v: %s", args, said.String())
		require.NotEmpty(t, files, args)
		for _, f := range files {
			n++
			name := strings.ReplaceAll(strings.Join(args, "_"), " ", "-") + "_" + f.Name()
			require.NoError(t, os.Rename(filepath.Join(folder, f.Name()), filepath.Join(out, name)))
		}
		require.NoError(t, os.Remove(folder))
	}
	require.Greater(t, n, 40)
	found := preflight(t, out)
	require.Len(t, found, n)
	for name, verdict := range found {
		assert.Equal(t, sound, verdict, name)
	}
}

// TestThePreflightSeesFaults spoils a sound file in four ways the standard
// forbids; each is found, so that silence means something.
func TestThePreflightSeesFaults(t *testing.T) {
	out := t.TempDir()
	var said bytes.Buffer
	status := Main([]string{"print", "--today", "2026-11-25", "--out", out, filepath.Join(testkit.Root(t), "recipes", "cast-weight.md")}, strings.NewReader(""), &said, &said)
	require.Equal(t, OK, status, said.String())
	names, err := filepath.Glob(filepath.Join(out, "*.pdf"))
	require.NoError(t, err)
	require.Len(t, names, 1)
	whole := testkit.Read(t, names[0])
	for name, swap := range map[string][2]string{
		"no-intent": {"/OutputIntents", "/OutputIntentz"}, "no-xmp": {"/Metadata ", "/Metadatz "},
		"no-id": {"/ID[", "/IE["}, "other-title": {"/Title(", "/Title(x"},
	} {
		require.Contains(t, string(whole), swap[0])
		spoilt := bytes.Replace(whole, []byte(swap[0]), []byte(swap[1]), 1)
		if name == "other-title" { // one character in for another keeps all places
			at := bytes.LastIndex(whole, []byte(swap[0])) + len(swap[0])
			spoilt = bytes.Clone(whole)
			spoilt[at] ^= 1
		}
		require.NoError(t, os.WriteFile(filepath.Join(out, name+".pdf"), spoilt, 0o600))
	}
	found := preflight(t, out)
	require.Len(t, found, 5)
	for name, verdict := range found {
		if name == filepath.Base(names[0]) {
			assert.Equal(t, sound, verdict)
		} else {
			assert.True(t, strings.HasPrefix(verdict, "not a valid"), "%s: %s", name, verdict)
		}
	}
}
