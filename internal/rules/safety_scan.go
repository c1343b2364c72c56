package rules

import "strings"

// sign is a word the safety rules look for in everything an author wrote.
type sign int

const (
	signFluor sign = iota
	signAcid
	signEtch
	signFrost
	signStrong
	signMatting
	signForeign
	signABF
	signHF
	signVinegar
	signAcetic
	signCitric
	signCleaner
	signRemover
	signDescale
	signBrighten
	signDissolver
	signGlove
	signPutty
	signLaser
	signOil
	signAnneal
	signSand
	signDivest
	signHEPA
	signDuct
	signKilnWash
	signFibrePaper
	signSlag
	signDry
	// signAct may be part of a deed that a caution forbids.
	signAct
	signs
)

// signWords are the stems of the signs in lower case. A stem may stand inside
// a word: "hydrofluoric".
var signWords = [...]struct {
	stem string
	sign sign
}{
	{"fluor", signFluor}, {"ﬂuor", signFluor}, {"acid", signAcid}, {"etch", signEtch}, {"frosting", signFrost}, {"frosted", signFrost},
	{"sulphuric", signStrong}, {"sulfuric", signStrong}, {"sulphamic", signStrong}, {"sulfamic", signStrong}, {"oxalic", signStrong},
	{"muriatic", signStrong}, {"hydrochlor", signStrong}, {"hydrobrom", signStrong}, {"nitric", signStrong}, {"phosphoric", signStrong},
	{"vitriol", signStrong}, {"h2so4", signStrong}, {"hno3", signStrong}, {"h3po4", signStrong}, {"hcl", signStrong},
	{"matting", signMatting}, {"pickling", signMatting}, {"säure", signForeign}, {"sÄure", signForeign}, {"saeure", signForeign},
	{"ätz", signForeign}, {"Ätz", signForeign}, {"aetz", signForeign},
	{"abf", signABF}, {"hf", signHF}, {"h.f", signHF}, {"vinegar", signVinegar}, {"essig", signVinegar}, {"lemon juice", signCitric}, {"acetic", signAcetic}, {"citric", signCitric},
	{"cleaner", signCleaner}, {"remover", signRemover}, {"descal", signDescale}, {"dissolver", signDissolver}, {"brighten", signBrighten}, {"derust", signDescale},
	{"glove", signGlove}, {"gauntlet", signGlove}, {"putty powder", signPutty}, {"laser", signLaser},
	{"linseed", signOil}, {"tung oil", signOil}, {"anneal", signAnneal}, {"sand", signSand}, {"divest", signDivest},
	{"hepa", signHEPA}, {"duct", signDuct}, {"kiln wash", signKilnWash},
	{"fibre paper", signFibrePaper}, {"fiber paper", signFibrePaper}, {"slag", signSlag},
	{"dry", signDry},
	{"sink", signAct}, {"drain", signAct}, {"gully", signAct}, {"sewer", signAct}, {"toilet", signAct}, {"gutter", signAct},
	{"quench", signAct}, {"dous", signAct}, {"cold water", signAct}, {"cold tap", signAct}, {"cold bucket", signAct}, {"iced water", signAct},
	{"ice water", signAct}, {"blow", signAct}, {"air line", signAct}, {"air gun", signAct}, {"air hose", signAct}, {"compressed air", signAct},
	{"sweep", signAct}, {"dust", signAct}, {"floor", signAct}, {"off the bench", signAct}, {"the bench", signAct}, {"finger", signAct},
	{" thumb", signAct}, {"ound the hand", signAct}, {"ound your hand", signAct}, {"ound a hand", signAct}, {"turning", signAct}, {"spinning", signAct},
	{"rotating", signAct}, {"as it", signAct}, {"slow", signAct},
	{"moving", signAct}, {"running disc", signAct}, {"running pad", signAct}, {"running lap", signAct}, {"running felt", signAct}, {"running wheel", signAct},
	{"running belt", signAct}, {"in motion", signAct}, {"the running", signAct}, {"a running", signAct}, {"on running", signAct}, {"against running", signAct}, {"to running", signAct}, {"while", signAct}, {"in water", signAct},
	{"in the water", signAct}, {"soak", signAct}, {"trough", signAct}, {"in the bucket", signAct}, {"guard", signAct}, {"jet", signAct},
	{"pressure wash", signAct}, {"open the", signAct}, {"rcd", signAct}, {"gfci", signAct}, {"rcbo", signAct}, {"breaker", signAct},
	{"it trip", signAct}, {"bleach", signAct}, {"chlorin", signAct},
}

// pairs holds, for the low five bits of two letters side by side, which sign
// words open so: 0 for none, else one more than an index into pairWords.
var pairs, pairWords = pairTable()

func pairTable() (table [1 << 10]uint8, words [][]int) {
	for n, w := range signWords {
		k := pairOf(w.stem[0], w.stem[1])
		if table[k] == 0 {
			words = append(words, nil)
			table[k] = uint8(len(words))
		}
		words[table[k]-1] = append(words[table[k]-1], n)
	}
	return table, words
}

// triples says, for the low five bits of three letters in a row, whether any
// sign word opens so: nearly all of a text is passed over by it.
var triples = func() (table [1 << 15]bool) {
	open := func(c byte) []byte {
		if c == ' ' {
			return []byte{' ', '\n', '\t', '-'} // what openFold takes for a space
		}
		return []byte{c}
	}
	for _, w := range signWords {
		for _, b := range open(w.stem[1]) {
			pair := pairOf(w.stem[0], b) << 5
			if len(w.stem) == 2 {
				for c := range 32 {
					table[pair|c] = true
				}
				continue
			}
			for _, c := range open(w.stem[2]) {
				table[pair|int(c&31)] = true
			}
		}
	}
	return table
}()

func pairOf(a, b byte) int { return int(a&31)<<5 | int(b&31) }

// hit is a sign found at a byte of the text.
type hit struct {
	sign sign
	at   int
}

// scan is what one pass over a text found.
type scan struct {
	// acid are the hits of acid work, hits all others in the order of the text.
	acid, hits []hit
	count      [signs]int
}

// mostHits is how many hits of one sign are kept: a text that says "sand" ten
// thousand times is judged by the first of them.
const mostHits = 500

// has says whether any of the signs was found.
func (s *scan) has(any ...sign) bool {
	for _, w := range any {
		if s.count[w] > 0 {
			return true
		}
	}
	return false
}

// scanText looks for every sign in one pass over the text, whatever its case.
func scanText(text []byte) scan {
	var s scan
	for i := 0; i+1 < len(text); i++ {
		pair, third := pairOf(text[i], text[i+1]), 0
		if i+2 < len(text) {
			third = int(text[i+2] & 31)
		}
		if !triples[pair<<5|third] {
			continue
		}
		k := pairs[pair]
		if k == 0 {
			continue
		}
		for _, n := range pairWords[k-1] {
			w := &signWords[n]
			if !openFold(text[i:], w.stem) || (w.sign == signHF || w.sign == signABF) && !wholeWord(text, i, len(w.stem)) {
				continue
			}
			s.count[w.sign]++
			switch {
			case w.sign <= signHF:
				s.acid = append(s.acid, hit{w.sign, i})
			case s.count[w.sign] <= mostHits:
				s.hits = append(s.hits, hit{w.sign, i})
			}
		}
	}
	return s
}

// openFold says whether text opens with the lower-case stem, whatever its
// case; any white space stands for a space.
func openFold(text []byte, stem string) bool {
	if len(text) < len(stem) {
		return false
	}
	for i := range len(stem) {
		c := text[i]
		if c >= 'A' && c <= 'Z' {
			c |= 0x20
		}
		if c != stem[i] && !(stem[i] == ' ' && (c == '\n' || c == '\t' || c == '-')) {
			return false
		}
	}
	return true
}

// wholeWord says whether n bytes from i on are a word by themselves.
func wholeWord(text []byte, i, n int) bool {
	before := i == 0 || !isLetter(text[i-1]) && !isDigit(text[i-1]) && text[i-1] < 0x80
	behind := i+n >= len(text) || !isLetter(text[i+n]) && !isDigit(text[i+n]) && text[i+n] < 0x80
	return before && behind
}

// sentence is the stretch of text around byte at that is read as one thought:
// up to a full stop, a colon, an empty line or the line of a new item.
func sentence(text []byte, at int) (start, end int) {
	// No thought of a bench is longer to either side.
	const longest = 500
	start = at
	for start > 0 && start > at-longest && !endsThought(text, start-1) {
		start--
	}
	end = at
	for end < len(text) && end < at+longest && !endsThought(text, end) {
		end++
	}
	return start, end
}

// endsThought says whether byte i ends a sentence.
func endsThought(text []byte, i int) bool {
	switch text[i] {
	case '.', '!', '?', ':', ';':
		return i+1 == len(text) || strings.IndexByte(" \t\r\n\"'*_)", text[i+1]) >= 0
	case '|', '{', '}':
		return true
	case '\n':
		rest := text[i+1:]
		n := 0
		for n < len(rest) && (rest[n] == ' ' || rest[n] == '\t') {
			n++
		}
		if n == len(rest) {
			return true
		}
		switch c := rest[n]; {
		case c == '\n' || c == '\r' || c == '#' || c == '-' || c == '*' || c == '+':
			return true
		case isDigit(c):
			for n < len(rest) && isDigit(rest[n]) {
				n++
			}
			return n < len(rest) && (rest[n] == '.' || rest[n] == ')')
		}
		return opensKey(rest[n:])
	}
	return false
}

// opensKey says whether a line opens with a key and a colon.
func opensKey(line []byte) bool {
	for i := 0; i < len(line) && i < 24; i++ {
		switch c := line[i]; {
		case c == ':':
			return i > 0
		case !isLetter(c) && c != ' ' && c != '-':
			return false
		}
	}
	return false
}
