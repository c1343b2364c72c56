package cli

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/testkit"
	"coldwright/internal/words"
)

// inLanguage prints what a house of testdata/languages has and gives the files.
func inLanguage(t *testing.T, tag string, args ...string) map[string][]byte {
	t.Helper()
	out := t.TempDir()
	house := filepath.Join(testkit.Root(t), "testdata", "languages", tag)
	var said bytes.Buffer
	all := append([]string{"print", "--today", "2026-10-06", "--out", out}, args...)
	status := Main(append(all, house), strings.NewReader(""), &said, &said)
	require.Zero(t, status, said.String())
	require.NotContains(t, said.String(), "print in English", "no word of the page lacks one in the language of the house")
	files := map[string][]byte{}
	for _, name := range testkit.Files(t, out, "*.pdf") {
		files[filepath.Base(name)] = testkit.Read(t, name)
	}
	require.NotEmpty(t, files)
	return files
}

// wordsOf are the words of three letters and more in some phrases, in small
// letters.
func wordsOf(phrases ...string) map[string]bool {
	all := map[string]bool{}
	for _, p := range phrases {
		for _, w := range visible(strings.NewReplacer("%s", " ", "%d", " ", "~", " ", "_", " ").Replace(p)) {
			if len([]rune(w)) >= 3 {
				all[strings.ToLower(w)] = true
			}
		}
	}
	return all
}

// written are the words of all files of a house: what its people wrote is left
// in their own words.
func written(t *testing.T, tag string) map[string]bool {
	all := map[string]bool{}
	root := filepath.Join(testkit.Root(t), "testdata", "languages", tag)
	require.NoError(t, filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			maps.Copy(all, wordsOf(string(testkit.Read(t, path))))
		}
		return err
	}))
	return all
}

// A house that writes German, or Italian, prints card and sheet without an
// English word that is not its own. The English words are those of the English
// table; what the language spells the same, and what the house's own files say,
// does not count.
func TestNoEnglishWordIsLeft(t *testing.T) {
	english := map[string]bool{}
	for _, phrase := range words.Find("en").Phrases() {
		maps.Copy(english, wordsOf(phrase))
	}
	for _, must := range []string{"clean", "bench", "steps", "wear", "gloves", "resin", "pumice", "seamed"} {
		require.True(t, english[must], "the English table says %s, or it is not read whole", must)
	}
	for _, tag := range []string{"de", "it"} {
		l := words.Find(tag)
		same := written(t, tag)
		for _, phrase := range l.Phrases() {
			word, _ := l.Word(phrase)
			maps.Copy(same, wordsOf(word))
		}
		for _, design := range []string{"bench card", "process sheet", "training sheet"} {
			for name, file := range inLanguage(t, tag, "--as", design, "--paper", "A4", "--portrait") {
				said := wordsOf(textOf(t, file))
				require.Greater(t, len(said), 60, name)
				var left []string
				for _, w := range slices.Sorted(maps.Keys(said)) {
					if english[w] && !same[w] {
						left = append(left, w)
					}
				}
				assert.Empty(t, left, "%s, %s", tag, name)
			}
		}
	}
}

// With another language beside it a card says every fixed word in both, and the
// author's once; each line keeps clear of the next.
func TestBilingualCard(t *testing.T) {
	files := inLanguage(t, "de", "--as", "bench card", "--paper", "A4", "--portrait", "--with-language", "en")
	for name, file := range files {
		text := squeezed(textOf(t, file))
		for _, both := range [][2]string{
			{"WARNUNG", "WARNING"}, {"VORSICHT", "CAUTION"}, {"HINWEIS", "NOTICE"}, {"STOPP", "STOP"},
			{"Maske FFP3 oder P100 auf.", "P100 or FFP3 mask on."}, {"Siliziumkarbid", "silicon carbide"},
			{"Reinigen", "Clean down"}, {"zurück zu", "back to"}, {"U/min", "rpm"}, {"gültig ab", "effective"},
		} {
			assert.Contains(t, text, squeezed(both[0]), name)
			assert.Contains(t, text, squeezed(both[1]), name)
		}
		assert.Equal(t, 1, strings.Count(text, squeezed("Streiflicht: kein grauer Punkt der Platte mehr")), "the author's words stand once")
		assert.Equal(t, 1, strings.Count(text, "05102026"), "a day stands once")
		assert.NotContains(t, text, "20261005", "one page has one way to write a day")
		// No two words overlap by more than a tenth of their height.
		inks := byPoppler(t, file)
		require.NotEmpty(t, inks)
		for i, a := range inks {
			for _, b := range inks[i+1:] {
				if a.page != b.page || a.base != b.base {
					continue
				}
				over := min(a.right, b.right) - max(a.left, b.left)
				assert.LessOrEqual(t, over, .1*a.size, "%q over %q", a.text, b.text)
			}
		}
	}
}

// What is misspelt in the language of the house is told with the word meant,
// and mended to it: the file is then as it was.
func TestWordsOfTheHouseAreMended(t *testing.T) {
	house := filepath.Join(testkit.Root(t), "testdata", "languages", "de")
	sound := string(testkit.Read(t, filepath.Join(house, "rezepte", "briefbeschwerer.md")))
	for _, slip := range [][2]string{
		{"werkstück:", "werkstuck:"}, {"titel:", "tittel:"}, {"flächeninhalt:", "flächeninhallt:"},
		{"- Schleifmittel: H200", "- Schleifmitel: H200"}, {"- Reinigen: Stück, Hände und Pad", "- Reinigenn: Stück, Hände und Pad"},
		{"> Warnung: beide", "> Warnungg: beide"}, {"form: gegossen", "form: gegosen"}, {"bis: gesäumt", "bis: gesäummt"},
		{"Wasser: Sprühwasser", "Wasser: Sprühwaser"}, {"Abdecken: Kuppel", "Abdeken: Kuppel"},
		{"glas: Kalknatronglas", "glas: Kalknatrongls"}, {"von: feuerpoliert", "von: feuerpolirt"}, {"Ansatz: breiig", "Ansatz: breig"},
	} {
		require.Equal(t, 1, strings.Count(sound, slip[0]), slip[0])
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "shop.yaml"), testkit.Read(t, filepath.Join(house, "shop.yaml")), 0o600))
		file := filepath.Join(dir, "briefbeschwerer.md")
		require.NoError(t, os.WriteFile(file, []byte(strings.Replace(sound, slip[0], slip[1], 1)), 0o600))
		var said bytes.Buffer
		assert.NotZero(t, Main([]string{"check", "--strict", "--today", "2026-10-06", file}, strings.NewReader(""), &said, &said), slip[1])
		Main([]string{"mend", "--write", "--today", "2026-10-06", file}, strings.NewReader(""), &said, &said)
		assert.Equal(t, sound, string(testkit.Read(t, file)), "%s\n%s", slip[1], said.String())
	}
}

// A language there are no words for, and one beside anything but a card, are
// told of before anything is printed.
func TestWithLanguageIsForCards(t *testing.T) {
	recipe := filepath.Join(testkit.Root(t), "recipes", "cast-weight.md")
	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"--as", "bench card", "--with-language", "xx"}, "takes de, en or it"},
		{[]string{"--with-language", "de"}, "bench card"},
	} {
		var said bytes.Buffer
		out := t.TempDir()
		status := Main(append([]string{"print", "--today", "2026-10-06", "--out", out, recipe}, c.args...), strings.NewReader(""), &said, &said)
		assert.Equal(t, 2, status)
		assert.Contains(t, said.String(), c.says)
		left, err := os.ReadDir(out)
		require.NoError(t, err)
		assert.Empty(t, left)
	}
}
