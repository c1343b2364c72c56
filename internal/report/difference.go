package report

import (
	"strings"
)

// Difference is a unified difference as it is shown. For a terminal its lines
// lose what would do something to it instead of standing on it, and colour adds
// to the signs before them; elsewhere it is left byte for byte, so that other
// programs can take it.
func Difference(diff string, terminal, colour bool) string {
	if !terminal {
		return diff
	}
	var b strings.Builder
	for line := range strings.Lines(diff) {
		line = strings.TrimRight(line, "\r\n")
		words := strings.ReplaceAll(line, "\t", "    ")
		words = clean(words)
		code := ""
		switch {
		case !colour || words == "":
		case strings.HasPrefix(words, "+"):
			code = "32"
		case strings.HasPrefix(words, "-"):
			code = "31"
		case strings.HasPrefix(words, "@"):
			code = "36"
		}
		if code != "" {
			words = "\x1b[" + code + "m" + words + "\x1b[0m"
		}
		b.WriteString(words + "\n")
	}
	return b.String()
}
