package rules

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

func itoa(n int) string { return strconv.Itoa(n) }

// article is a word with its article: "a felt pad", "an iron lap".
func article(word string) string {
	if word != "" && strings.ContainsRune("aeiouAEIOU", rune(word[0])) && !strings.HasPrefix(word, "ure") {
		return "an " + word
	}
	return "a " + word
}

// capital is words with the first letter large.
func capital(words string) string {
	r, n := utf8.DecodeRuneInString(words)
	if n == 0 {
		return ""
	}
	return string(unicode.ToUpper(r)) + words[n:]
}

// many says whether the name of a surface speaks of several: "edges", "faces",
// but not "arris" or "glass".
func many(name string) bool {
	return strings.HasSuffix(name, "s") && !strings.HasSuffix(name, "ss") && !strings.HasSuffix(name, "is") && !strings.HasSuffix(name, "us")
}
