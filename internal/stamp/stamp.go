// Package stamp is the short mark every face of paper carries: nine characters
// that stand for what the page says, and the square code of the same. It makes
// marks, reads them back from what somebody scanned or typed, and knows neither
// recipes nor paper.
package stamp

import (
	"crypto/sha256"
	"strconv"
	"strings"
)

// letters are the characters of a mark: figures and capitals without I, L, O
// and U, which are misread as 1, 1, 0 and V.
const letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

// alphabet is the one of ISO 7064 MOD 37,36, in the order of its values.
const alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"

// length is how many characters a mark has, its check character with them.
const length = 9

// Mark is a fingerprint in short: eight characters and a check character by
// ISO 7064 MOD 37,36. Two pages that say different things have different marks
// but for one chance in 2⁴⁰.
type Mark string

// Of is the mark of a SHA-256 sum: its first 40 bits, five to a character.
// Where the check character would be one of the four that are misread, the sum
// of the sum is taken, and so on.
func Of(sum [sha256.Size]byte) Mark {
	for {
		var bits uint64
		for _, b := range sum[:5] {
			bits = bits<<8 | uint64(b)
		}
		var m [length]byte
		for i := length - 2; i >= 0; i-- {
			m[i] = letters[bits&31]
			bits >>= 5
		}
		if c := check(string(m[:length-1])); strings.IndexByte(letters, c) >= 0 {
			m[length-1] = c
			return Mark(m[:])
		}
		sum = sha256.Sum256(sum[:])
	}
}

// String is the mark as it is printed: QF37-K2M4-B.
func (m Mark) String() string {
	if len(m) != length {
		return string(m)
	}
	return string(m[:4]) + "-" + string(m[4:8]) + "-" + string(m[8:])
}

// check is the check character of ISO 7064 MOD 37,36 for figures and capitals.
func check(s string) byte {
	values := make([]int, len(s))
	for i := range s {
		values[i] = strings.IndexByte(alphabet, s[i])
	}
	return alphabet[hybrid(values, len(alphabet))]
}

// hybrid is the check value of the hybrid systems of ISO 7064, MOD m+1,m.
func hybrid(values []int, m int) int {
	p := m
	for _, v := range values {
		s := (p + v) % m
		if s == 0 {
			s = m
		}
		p = s * 2 % (m + 1)
	}
	return (m + 1 - p) % m
}

// Text is what the square code holds and what a person types: the name of the
// recipe in capitals, its revision and the mark. A page of a house that counts
// no revisions (0) has none.
func Text(id string, revision int, m Mark) string {
	if revision == 0 {
		return strings.ToUpper(id) + " " + m.String()
	}
	return strings.ToUpper(id) + " R" + strconv.Itoa(revision) + " " + m.String()
}
