package words_test

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"coldwright/internal/grade"
	"coldwright/internal/parse"
	"coldwright/internal/quantity"
	"coldwright/internal/sheet"
	"coldwright/internal/signs"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
	"coldwright/internal/words"
)

// set is a set of phrases.
type set map[string]bool

func (s set) add(phrases ...string) {
	for _, p := range phrases {
		if p = strings.ReplaceAll(p, "\u00a0", "~"); p != "" {
			s[p] = true
		}
	}
}

// tableOf is a table of the trade as plain maps.
func tableOf(t testing.TB, name string) map[string][]map[string]any {
	var top map[string]any
	require.NoError(t, yaml.Unmarshal(testkit.Read(t, filepath.Join(testkit.Root(t), "internal", "trade", "tables", name)), &top))
	out := map[string][]map[string]any{}
	for part, rows := range top {
		list, _ := rows.([]any)
		for _, row := range list {
			if m, ok := row.(map[string]any); ok {
				out[part] = append(out[part], m)
			}
		}
	}
	return out
}

// english are all fixed words of the product by the part of a table they stand
// in, gathered from the code and the tables of the trade.
func english(t testing.TB) map[string]set {
	all := map[string]set{"pages": {}, "cautions": {}, "learning": {}, "glossary": {}, "trade": {}}
	pages, cautions, learning, names := all["pages"], all["cautions"], all["learning"], all["trade"]
	glossary := all["glossary"]
	for _, pkg := range []string{"sheet", "layout", "web"} {
		for phrase := range saidIn(t, pkg) {
			pages.add(phrase)
		}
	}
	for phrase := range saidOnPages(t) {
		pages.add(phrase)
	}
	for s := trade.Notice; s <= trade.Danger; s++ {
		pages.add(s.String())
	}
	for v := wear.No; v <= wear.Certain; v++ {
		pages.add(v.String())
	}
	for _, d := range sheet.Designs() {
		pages.add(d.Name)
	}
	for _, code := range signs.Codes() {
		pages.add(signs.Meaning(code))
	}
	h := trade.BuiltIn()
	for _, topic := range h.Topics {
		cautions.add(topic.Title, topic.Full, topic.Short)
		for _, w := range topic.Wordings {
			cautions.add(w.Full, w.Short)
		}
		learning.add(topic.Why)
	}
	for _, f := range h.Finishes {
		learning.add(strings.ToLower(f.Means[:min(1, len(f.Means))]) + strings.TrimSuffix(f.Means[min(1, len(f.Means)):], "."))
	}
	for _, test := range h.Tests {
		learning.add(test.Name, test.Method, strings.TrimRight(test.Shows, "."))
	}
	for _, info := range grade.Scales() {
		learning.add(info.Short)
	}
	taught := tableOf(t, "words.yaml")
	for _, f := range taught["faults"] {
		learning.add(f["seen"].(string))
	}
	for _, w := range taught["glossary"] {
		word := w["word"].(string)
		glossary.add(word, w["means"].(string))
		if h.FindMix(word) != nil {
			learning.add(w["means"].(string))
		}
	}
	for file, parts := range map[string][]string{
		"abrasives.yaml": {"abrasives"}, "machines.yaml": {"machines", "drives"}, "media.yaml": {"media"},
		"glasses.yaml": {"glasses"}, "words.yaml": {"finishes", "shapes", "mixes", "waters"},
	} {
		table := tableOf(t, file)
		for _, part := range parts {
			require.NotEmpty(t, table[part], "%s of %s", part, file)
			for _, row := range table[part] {
				names.add(fmt.Sprint(row["name"]))
				if also, ok := row["variants"].([]any); ok {
					for _, v := range also {
						names.add(fmt.Sprint(v))
					}
				}
			}
		}
	}
	for _, tool := range h.Tools {
		names.add("tool: " + tool.Name)
	}
	for _, bond := range []trade.Bond{trade.Plated, trade.Metal, trade.Resin, trade.Vitrified, trade.Rubber, trade.Urethane} {
		names.add("bond: " + string(bond))
	}
	names.add(quantity.RPM.Symbol, "light", "medium", "firm", "own weight") // the words a pressure may have
	names.add(parse.Words()...)
	names.add("works", "checks", "approves", "first aid", "eye wash", "stop switch") // roles and places a house starts with
	for _, part := range []set{pages, cautions, learning, names} {
		for phrase := range part {
			delete(glossary, phrase)
		}
	}
	for _, part := range []set{pages, cautions, learning} {
		for phrase := range part {
			// What is said on a page too stands once.
			delete(names, phrase)
		}
	}
	for phrase := range learning {
		if pages[phrase] || cautions[phrase] {
			delete(learning, phrase)
		}
	}
	for phrase := range cautions {
		if pages[phrase] {
			delete(cautions, phrase)
		}
	}
	return all
}

// parts are those of a table of words, in order.
var parts = []string{"pages", "cautions", "learning", "glossary", "trade"}

// The English table is the list a translator works from: it holds every fixed
// word of the code and of the tables of the trade, and none besides.
func TestTheEnglishTableIsWhole(t *testing.T) {
	all := english(t)
	for _, part := range parts {
		var text bytes.Buffer
		fmt.Fprintf(&text, "# Made from the code and the tables of the trade: go test ./internal/words -update.\n%s:\n", part)
		for _, phrase := range slices.Sorted(maps.Keys(all[part])) {
			fmt.Fprintf(&text, "  - %s\n", strconv.Quote(phrase))
		}
		path := filepath.Join(testkit.Root(t), "internal", "words", "tables", "en", part+".yaml")
		if testkit.Updating() {
			require.NoError(t, os.WriteFile(path, text.Bytes(), 0o644))
		}
		assert.Equal(t, text.String(), string(testkit.Read(t, path)))
	}
}

// A table that says it is complete in a part has a word for every English one of
// that part; none holds words for what is no longer said.
func TestTablesHoldWhatTheyClaim(t *testing.T) {
	all := english(t)
	known := set{}
	for _, part := range parts {
		for phrase := range all[part] {
			known[phrase] = true
		}
	}
	for _, tag := range words.Tags() {
		l := words.Find(tag)
		if l.English() {
			continue
		}
		assert.NotEmpty(t, l.Complete, tag)
		for _, part := range l.Complete {
			require.Contains(t, parts, part, tag)
			for _, phrase := range slices.Sorted(maps.Keys(all[part])) {
				_, has := l.Word(phrase)
				assert.Truef(t, has, "%s lacks, in %s: %q", tag, part, phrase)
			}
		}
		for _, phrase := range l.Phrases() {
			assert.Truef(t, known[phrase], "%s has a word for what nobody says: %q", tag, phrase)
		}
	}
}

// holes are the places a phrase leaves for words, in the order they are filled.
func holes(phrase string) []string {
	var out []string
	for i := 0; i+1 < len(phrase); i++ {
		if phrase[i] != '%' {
			continue
		}
		end := i + 1
		for phrase[end] != 's' && phrase[end] != 'd' && phrase[end] != '%' {
			end++
		}
		out = append(out, phrase[i:end+1])
		i = end
	}
	return out
}

// Every word fills the same holes as its English one.
func TestHolesStay(t *testing.T) {
	for _, tag := range words.Tags() {
		l := words.Find(tag)
		for _, phrase := range l.Phrases() {
			word, _ := l.Word(phrase)
			var fill []any
			for i, hole := range holes(phrase) {
				if hole == "%d" {
					fill = append(fill, 1000+i)
				} else {
					fill = append(fill, fmt.Sprint("hole", i))
				}
			}
			said := fmt.Sprintf(strings.ReplaceAll(word, "%%", ""), fill...)
			assert.NotContains(t, said, "%!", "%s: %q", tag, phrase)
			for _, one := range fill {
				assert.Contains(t, said, fmt.Sprint(one), "%s: %q", tag, phrase)
			}
		}
	}
}
