package web

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/sheet"
)

// contrast is the ratio of two colours by WCAG 2.2, "contrast ratio" and
// "relative luminance".
func contrast(t testing.TB, a, b string) float64 {
	luminance := func(hex string) float64 {
		require.Regexp(t, `^#[0-9a-f]{6}$`, hex)
		sum := 0.0
		for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
			v, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
			require.NoError(t, err)
			c := float64(v) / 255
			if c <= 0.04045 {
				c /= 12.92
			} else {
				c = math.Pow((c+0.055)/1.055, 2.4)
			}
			sum += weight * c
		}
		return sum
	}
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + .05) / (min(la, lb) + .05)
}

// The formula gives the ratios other reckoners of WCAG 2.2 give, to 0.01.
func TestContrastFormula(t *testing.T) {
	for _, c := range []struct {
		a, b  string
		ratio float64
	}{{"#9b2423", "#ffffff", 7.86}, {"#005387", "#ffffff", 8.12}, {"#767676", "#ffffff", 4.54}, {"#000000", "#ffffff", 21}} {
		assert.InDelta(t, c.ratio, contrast(t, c.a, c.b), .01)
	}
}

var (
	ruleOf  = regexp.MustCompile(`([^{}@;]+)\{([^{}]*)\}`)
	colours = regexp.MustCompile(`#[0-9a-fA-F]{3,8}\b`)
	named   = regexp.MustCompile(`(?:color|background|border[a-z-]*|outline|fill|stroke):[^;}]*`)
)

// Every colour of text stands on a ground named in the same rule, and the two
// are 7:1 apart (WCAG 2.2, 1.4.6; 4.5:1 of 1.4.3 on the signal panels). Lines
// that mean something are 3:1 off white (1.4.11).
func TestContrast(t *testing.T) {
	look := lookOf(t, &sheet.Sheet{})
	pairs := 0
	for _, rule := range ruleOf.FindAllStringSubmatch(look, -1) {
		set := map[string]string{}
		for _, line := range strings.Split(rule[2], ";") {
			name, value, _ := strings.Cut(line, ":")
			set[strings.TrimSpace(name)] = strings.TrimSpace(value)
		}
		text, ground := set["color"], set["background"]
		if ground == "transparent" {
			ground = "#ffffff"
		}
		assert.Equal(t, text == "", ground == "", "%s: a colour of text and its ground are named together", rule[1])
		if text != "" {
			least := 7.0
			if strings.Contains(rule[1], ".strip") {
				least = 4.5
			}
			assert.GreaterOrEqual(t, contrast(t, text, ground), least, "%s: %s on %s", rule[1], text, ground)
			pairs++
		}
		for name, value := range set {
			if !strings.HasPrefix(name, "border") && name != "outline" || name == "border-image" || strings.Contains(rule[1], ".noline") {
				continue
			}
			for _, ink := range colours.FindAllString(value, -1) {
				assert.GreaterOrEqual(t, contrast(t, ink, "#ffffff"), 3.0, "%s: %s", rule[1], value)
			}
		}
	}
	assert.Greater(t, pairs, 12)
	for _, one := range named.FindAllString(look, -1) {
		assert.NotRegexp(t, `\b(red|grey|gray|silver|white|black|blue|currentcolor|inherit|rgb|hsl)\b`, strings.ToLower(one), "colours are written so that they can be reckoned with")
	}
}

// lookOf is the style of a page as it stands in the file.
func lookOf(t testing.TB, s *sheet.Sheet) string {
	file, err := Page(s)
	require.NoError(t, err)
	_, rest, ok := strings.Cut(string(file), "<style>")
	require.True(t, ok)
	look, _, ok := strings.Cut(rest, "</style>")
	require.True(t, ok)
	return look
}

// The script and the style run under a policy that lets nothing else in: the
// policy knows them by the hash of what stands in the file.
func TestThePolicyKnowsScriptAndStyle(t *testing.T) {
	s := &sheet.Sheet{Blocks: []sheet.Block{sheet.StepInFull{Number: 1, Parts: []sheet.Part{{Kind: sheet.Check}}}}}
	file, err := Page(s)
	require.NoError(t, err)
	text := string(file)
	for _, name := range []string{"style", "script"} {
		_, rest, ok := strings.Cut(text, "<"+name+">")
		require.True(t, ok, name)
		inside, _, _ := strings.Cut(rest, "</"+name+">")
		assert.Contains(t, strings.NewReplacer("&#43;", "+", "&#39;", "'").Replace(text), name+"-src "+digest(inside))
	}
	assert.Contains(t, text, "default-src &#39;none&#39;; img-src data:;")
	assert.NotRegexp(t, `(?i)\son[a-z]+=|\sstyle=|javascript:|@import|url\(`, text)
}

// What stands in the margin of a printed page cannot leave its string.
func TestWordsInTheStyleStayWords(t *testing.T) {
	look := lookOf(t, &sheet.Sheet{Foot: `"} body{display:none} </style><script>alert(1)</script> \`})
	assert.NotContains(t, look, "body{display:none}")
	assert.NotContains(t, look, "<")
	assert.Equal(t, `a\22 b\3B  c`, quotedCSS(`a"b; c`))
}

// Several pages can be written at once.
func TestPagesAtOnce(t *testing.T) {
	s := &sheet.Sheet{Blocks: []sheet.Block{
		sheet.Stop{Words: "Satin."}, sheet.StepInFull{Number: 1, Parts: []sheet.Part{{Kind: sheet.MoveOn}, {Kind: sheet.Check}}},
	}}
	pages := make([][]byte, 8)
	var all sync.WaitGroup
	for i := range pages {
		all.Go(func() { pages[i], _ = Page(s) })
	}
	all.Wait()
	require.NotEmpty(t, pages[0])
	for _, page := range pages {
		assert.Equal(t, pages[0], page)
	}
}

func TestAddresses(t *testing.T) {
	for given, want := range map[string]string{
		"https://[::1]/a[b]?c=]": "https://[::1]/a%5Bb%5D?c=%5D", "https://example.org": "https://example.org", "mailto:a@b.example": "mailto:a@b.example",
	} {
		assert.Equal(t, want, escaped(given))
	}
}
