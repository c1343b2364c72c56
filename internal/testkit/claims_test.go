package testkit

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// forbiddenClaims are what no sheet, card, finding or page of this project may
// say, each with a sentence that says it and one that comes near and may stand:
// common practice of those who write safety notices.
var forbiddenClaims = []struct {
	what       string
	words      *regexp.Regexp
	says, near string
}{
	{"that something is safe", regexp.MustCompile(`(?i)\bsafe(ly|r)?\b`), "Wet work is safe.", "Wear safety glasses."},
	{"that risks were assessed, or rules kept", regexp.MustCompile(`(?i)risks? assess|\bcompliant with\b|\b(is|are|be|fully) compliant\b|\bcomplies with\b|\bcompliance\b|\bmeets? (the )?(OSHA|HSE|ANSI|legal)`), "This sheet is compliant with OSHA.", "A compliant lap gives."},
	{"that exposure, noise, vibration or lead is below a limit", regexp.MustCompile(`(?i)\b(below|under|within|inside) (the|its|all|every|any|an?)? ?(legal |exposure |action |daily |noise |dust |lead )*(limit|limits|PEL|WEL|action level|threshold)\b`), "The dust stays below the limit.", "Above the limit of the house."},
	{"that glass dust is harmless, or causes silicosis", regexp.MustCompile(`(?i)\bharmless\b|\bsilicosis\b|\b(does|do|can|will) ?not (hurt|harm)\b|\bno (danger|hazard|risk)\b`), "Glass dust is harmless.", "Dust harms lungs."},
	{"that a mask, an RCD, water or a glove takes a hazard away", regexp.MustCompile(`(?i)\b(mask|respirator|RCD|GFCI|water|wet work|gloves?|goggles|extraction|guard)s? (removes?|prevents?|eliminates?|rules? out|takes? away|fully protects?|protects? (you|against|from)|makes? it impossible)\b`), "A mask protects against dust.", "A mask is the last line."},
	{"that a signature proves competence", regexp.MustCompile(`(?i)\bcompeten(t|ce|cy)\b|\bcertif(y|ies|ied|icate|ication)\b|\bproves? that\b|\bguarantees?\b`), "The signature proves that she is competent.", "The signature says what was seen."},
	{"that the notes are all the hazards", regexp.MustCompile(`(?i)\ball (the )?(hazards|dangers|risks|safety notes)\b|\bevery (hazard|danger|risk)\b|\bcomplete (list|set) of (hazards|notes|cautions)\b`), "These are all the hazards.", "All the cautions of the house."},
	{"that glass is without lead or strain", regexp.MustCompile(`(?i)\b(is|are|be) (known to be )?(lead[- ]free|strain[- ]free|free of (lead|strain|stress))\b`), "The glass is lead-free.", "A lead-free crystal, by its name."},
	{"that slurry or water may go to a drain", regexp.MustCompile(`(?i)\b(slurry|mud|sludge|water)\b[^.;:,]{0,40}\b(may|can)\b (go|be (poured|tipped|let|washed))[^.;:]{0,20}\b(drain|sink|sewer|gully)`), "Clear water may go down the drain.", "Slurry never goes down the drain."},
	{"a heat at which glass does not crack", regexp.MustCompile(`(?i)\b(will not|cannot|can not|does not|never) (crack|burst|shatter)s?\b`), "Below 40 °C it will not crack.", "It cracks."},
	{"that minutes, loads or speeds are limits to trust", regexp.MustCompile(`(?i)\b(permissible|permitted|allowable|harmless|secure) (minutes|load|loads|speed|speeds|time|dose)\b`), "The permissible speed is 50 m/s.", "The marked maximum."},
}

// denies are words beside which a claim is only spoken of to say that it is not
// made, or to ask for what is missing.
var denies = regexp.MustCompile(`(?i)\b(no|not|never|nobody|nothing|neither|nor|without|whether|cannot|unless|if|before)\b|n't\b`)

// sentencesOf cuts a text roughly into sentences.
func sentencesOf(text string) []string {
	return regexp.MustCompile(`[.!?;:|]\s|\n\s*\n|\n\s*[-*#]`).Split(text, -1)
}

// claimsIn are the claims a text makes, each with its sentence.
func claimsIn(text string) (made []string) {
	for _, s := range sentencesOf(text) {
		for _, c := range forbiddenClaims {
			at := c.words.FindStringIndex(s)
			if at == nil {
				continue
			}
			// "No danger" and "will not crack" deny nothing: look at the rest.
			if denies.MatchString(s[:at[0]]) || denies.MatchString(s[at[1]:]) {
				continue
			}
			made = append(made, c.what+": "+strings.Join(strings.Fields(s), " "))
		}
	}
	return made
}

func TestTheClaimsAreFound(t *testing.T) {
	for _, c := range forbiddenClaims {
		assert.NotEmpty(t, claimsIn(c.says), c.what)
		assert.Empty(t, claimsIn(c.near), c.what)
		assert.Empty(t, claimsIn("Nobody says whether "+strings.ToLower(c.says[:1])+c.says[1:]), c.what)
	}
}

// Nothing the program can print reassures: the strings of its code, the tables,
// the designs and starters, the demo house and the README.
func TestNothingReassures(t *testing.T) {
	root := Root(t)
	files := 0
	for _, top := range []string{"cmd", "internal", "templates", "recipes", "README.md", "docs"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				if top == "docs" {
					return nil
				}
				return err
			}
			rel, _ := filepath.Rel(root, path)
			rel = filepath.ToSlash(rel)
			switch {
			case d.IsDir() && d.Name() == "testdata":
				return filepath.SkipDir
			case d.IsDir(), strings.HasSuffix(path, "_test.go"), strings.HasPrefix(rel, "internal/testkit/"):
				return nil
			}
			files++
			switch filepath.Ext(path) {
			case ".go":
				for _, s := range stringsOf(t, path) {
					for _, claim := range claimsIn(s) {
						assert.Fail(t, claim, rel)
					}
				}
			case ".yaml", ".csv", ".md", ".txt":
				text := string(Read(t, path))
				if filepath.Ext(path) == ".yaml" {
					text = tableWords(text)
				}
				for _, claim := range claimsIn(text) {
					assert.Fail(t, claim, rel)
				}
			}
			return nil
		})
		require.NoError(t, err)
	}
	assert.Greater(t, files, 100)
}

// tableWords is a table without its remarks and without the phrases a caution of
// an author is held against: neither is printed.
func tableWords(text string) string {
	var b strings.Builder
	for _, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "#") || strings.HasPrefix(line, "- {tell:") {
			tell, _, _ := strings.Cut(strings.TrimPrefix(line, "- {tell:"), "\",")
			if !strings.HasPrefix(line, "#") {
				b.WriteString(tell + ".\n\n")
			}
			continue
		}
		b.WriteString(line + "\n\n")
	}
	return b.String()
}

// stringsOf are the string literals of a Go file that hold more than one word.
func stringsOf(t *testing.T, path string) (list []string) {
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
	require.NoError(t, err)
	ast.Inspect(file, func(n ast.Node) bool {
		if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			if s, err := strconv.Unquote(lit.Value); err == nil && strings.Contains(s, " ") {
				list = append(list, s)
			}
		}
		return true
	})
	return list
}
