package rules

import (
	"strings"

	"coldwright/internal/recipe"
)

// coatTold is a sentence of the recipe, or the name of a surface, that speaks of a
// coat on the glass.
type coatTold struct {
	// kind is the coat in words: "dichroic strip".
	kind string
	// surface is the surface that is named as bearing it; nil where none is.
	surface *recipe.Surface
	// at are the surfaces it is said to lie in, elsewhere is true where it is said to
	// lie in some other place of the piece.
	at        []*recipe.Surface
	elsewhere bool
	// covered is true where clear glass or tape is said to lie over it.
	covered bool
}

// coatsTold are all the places that speak of a coat.
func (f *safety) coatsTold() (all []coatTold) {
	for _, h := range f.scan.hits {
		if h.sign != signCoat {
			continue
		}
		raw := f.read.raw(h.at)
		if s := f.surfaceNamedAt(raw); s != nil {
			if kind, ok := coatIn(splitWords(s.Name.Value), 0); ok {
				all = append(all, coatTold{kind: kind, surface: s})
			}
			continue
		}
		if !f.told(h.at) {
			continue
		}
		start, end := sentence(f.read.Bytes, h.at)
		words := splitWords(string(f.read.Bytes[start:end]))
		for i := range words {
			if words[i].start <= h.at-start && h.at-start < words[i].end {
				if t, ok := f.coatInSentence(words, i); ok {
					all = append(all, t)
				}
				break
			}
		}
	}
	return all
}

// surfaceNamedAt is the surface whose name stands in the front matter at a byte of
// the file.
func (f *safety) surfaceNamedAt(raw int) *recipe.Surface {
	for i := range f.r.Surfaces {
		if s := &f.r.Surfaces[i]; s.Name.Span.Known() && raw >= s.Name.Span.Start && raw < s.Name.Span.End {
			return s
		}
	}
	return nil
}

// What makes a word of a coat mean one, and what undoes it.
var (
	// coatNouns are what a "coated", "painted" or "mirror" must stand before.
	coatNouns = wordSet("strip stripe band line side face area patch spot dot field motif decor star layer film coat coating back backing inlay inset bar ribbon pattern design leaf rim edge glass foot lip skin lettering letters mark logo")
	// notCoats are what an enamel, a mirror or a coating is else.
	notCoats = wordSet("of tray bowl bucket pan mug dish basin jug pot sink finish polish bright like shine lamp marker")
	// noCoat stands before a coat that is not there.
	noCoat = wordSet("no without non not any free never neither nor uncoated")
	// coverings say that something lies over it or that it goes.
	coverings = wordSet("under underneath beneath below behind capped cap clear covered covers covering encased cased between overlaid buried embedded inside tape taped mask masked masking vinyl resist removed removes remove gone sacrificed scraped")
	// lieIn are what stands between a coat and the face it lies in.
	lieIn = wordSet("in on into onto across along over at of round around")
	// besideLying are words behind which the sentence speaks of something else.
	besideLying = wordSet("then before while when after but so or until till lap disc you if unless because without hold holds keep lay rest grind grinds ground work works polish polishes cut")
	// lying are what a coat does in its face, behind an "and".
	lying = wordSet("is are runs run lies lie sits sit goes go crosses stands set fused laid")
	// ofOthers are words of a sentence that speaks of other pieces, or of what may be.
	ofOthers = wordSet("recipe recipes if where unless whenever whichever")
	// bearsIt stands between a face and the coat it bears.
	bearsIt = wordSet("has have bears bear carries carry holds with is are shows show")
)

// coatIn is the coat that opens at word i, in words; false where it is none.
func coatIn(words []noteWord, i int) (string, bool) {
	for ; i < len(words); i++ {
		w := words[i].text
		next := ""
		if i+1 < len(words) && words[i+1].gap == space {
			next = words[i+1].text
		}
		switch {
		case notCoats[next], i > 0 && noCoat[words[i-1].text]:
			return "", false
		case strings.HasPrefix(w, "dichro"), strings.HasPrefix(w, "enamel"), strings.HasPrefix(w, "gild"), strings.HasPrefix(w, "gilt"),
			strings.HasPrefix(w, "iridi"), strings.HasPrefix(w, "irised"), w == "lustred", strings.HasPrefix(w, "silver") && w != "silver", strings.HasPrefix(w, "mirrored"), strings.HasPrefix(w, "decal"):
		case w == "coating", w == "coatings":
			if i > 0 && (words[i-1].text == "mirror" || words[i-1].text == "metal") {
				return words[i-1].text + " coating", true
			}
		case w == "gold" || w == "silver" || w == "platinum":
			if next != "leaf" && next != "band" && next != "rim" && next != "line" {
				return "", false
			}
		case w == "coated" || w == "painted" || w == "mirror":
			if !coatNouns[next] {
				return "", false
			}
		default:
			continue
		}
		switch {
		case coatNouns[next]:
			return w + " " + next, true
		case strings.HasPrefix(w, "dichro"), strings.HasSuffix(w, "ed"):
			return w + " coat", true
		}
		return w, true
	}
	return "", false
}

// coatInSentence reads what a sentence says of the coat at word i.
func (f *safety) coatInSentence(words []noteWord, i int) (coatTold, bool) {
	if i > 0 && (words[i].text == "leaf" || words[i].text == "band") {
		i--
	}
	kind, ok := coatIn(words[:min(len(words), i+2)], i)
	if !ok {
		return coatTold{}, false
	}
	t := coatTold{kind: kind}
	for n, w := range words {
		if ofOthers[w.text] {
			return coatTold{}, false
		}
		if coverings[w.text] && !(w.text == "clear" && n+1 < len(words) && words[n+1].text == "of") {
			t.covered = true
			return t, true
		}
	}
	for n := range f.r.Surfaces {
		s := &f.r.Surfaces[n]
		name := splitWords(s.Name.Value)
		lies, bears := liesInNamed(words, i, name)
		switch {
		case lies, bears && !untouched(s):
			t.at = append(t.at, s)
		case t.surface == nil && hasName(words, name) >= 0:
			t.surface = s
		}
	}
	t.elsewhere = len(t.at) == 0 && liesInSome(words, i)
	return t, true
}

// liesInSome says whether what stands at word i is said to lie in any face.
func liesInSome(words []noteWord, i int) bool {
	for n := i + 1; n < len(words); n++ {
		if faceWords[words[n].stem] && lies(words, i, n) {
			return true
		}
	}
	return false
}

// partTold are the sentences that name a part which bears a coat and say where it
// lies, or that something lies over it.
func (f *safety) partTold(part *recipe.Surface, kind string) (all []coatTold) {
	name := splitWords(part.Name.Value)
	text := f.read.Bytes
	for at := 0; at < len(text) && len(name) > 0; at++ {
		if !openFold(text[at:], name[0].text) || at > 0 && isLetter(text[at-1]) || !f.told(at) {
			continue
		}
		start, end := sentence(text, at)
		words := splitWords(string(text[start:end]))
		at = max(at, end-1)
		i := hasName(words, name)
		if i < 0 {
			continue
		}
		t := coatTold{kind: kind, surface: part}
		for n, w := range words {
			if ofOthers[w.text] {
				t.kind = ""
			}
			t.covered = t.covered || coverings[w.text] && !(w.text == "clear" && n+1 < len(words) && words[n+1].text == "of")
		}
		if t.kind == "" {
			continue
		}
		for n := range f.r.Surfaces {
			s := &f.r.Surfaces[n]
			if lies, bears := liesInNamed(words, i, splitWords(s.Name.Value)); s != part && (lies || bears) {
				t.at = append(t.at, s)
			}
		}
		t.elsewhere = len(t.at) == 0 && liesInSome(words, i)
		all = append(all, t)
	}
	return all
}

// liesInNamed says whether what stands at word i is said to lie in the face of a
// name, or the face to bear it.
func liesInNamed(words []noteWord, i int, name []noteWord) (within, borne bool) {
	for from := 0; ; from++ {
		at := hasName(words[from:], name)
		if at < 0 {
			return within, borne
		}
		from += at
		within = within || lies(words, i, from)
		borne = borne || bears(words, from+len(name), i)
	}
}

// hasName is where words hold a name, -1 where they do not. A plural is the same.
func hasName(words, name []noteWord) int {
	for i := 0; len(name) > 0 && i+len(name) <= len(words); i++ {
		n := 0
		for n < len(name) && words[i+n].stem == name[n].stem {
			n++
		}
		if n == len(name) {
			return i
		}
	}
	return -1
}

// lies says whether the coat at word i is said to lie in what is named at word at.
func lies(words []noteWord, i, at int) bool {
	const farthest = 9
	if at <= i || at-i > farthest {
		return false
	}
	in := false
	for n := i + 1; n < at; n++ {
		w := words[n].text
		switch {
		case besideLying[w] && !in, words[n].gap == fullStop, w == "and" && !in && !lying[words[n+1].text]:
			return false
		case lieIn[w]:
			in = true
		case in && w != "the" && w != "its" && w != "this" && w != "a" && w != "each" && w != "both" && w != "one" && w != "top" && w != "upper" && w != "and" && !coatNouns[w]:
			in = false
		}
	}
	return in
}

// bears says whether a face that is named before word from is said to bear the coat
// at word i.
func bears(words []noteWord, from, i int) bool {
	const farthest = 5
	if from >= i || i-from > farthest {
		return false
	}
	bearing := false
	for n := from; n < i; n++ {
		if besideLying[words[n].text] || words[n].gap == fullStop {
			return false
		}
		bearing = bearing || bearsIt[words[n].text]
	}
	return bearing
}

// firstWord is the first word of a coat.
func firstWord(kind string) string {
	first, _, _ := strings.Cut(kind, " ")
	return first
}

// coatedWord is a coat as what a thing is: "dichroic", "gilded", "coated".
func coatedWord(kind string) string {
	first := firstWord(kind)
	switch {
	case strings.HasPrefix(first, "dichro"), strings.HasSuffix(first, "ed"):
		return first
	case strings.HasPrefix(first, "enamel"):
		return "enamelled"
	case strings.HasPrefix(first, "gild"), strings.HasPrefix(first, "gold"), strings.HasPrefix(first, "gilt"):
		return "gilded"
	case strings.HasPrefix(first, "paint"):
		return "painted"
	}
	return "coated"
}

// coatKind is a coat as the front matter calls it, "" where it has no word for it.
func coatKind(kind string) string {
	first := firstWord(kind)
	switch {
	case strings.HasPrefix(first, "dichro"):
		return "dichroic"
	case strings.HasPrefix(first, "enamel"), strings.HasPrefix(first, "decal"):
		return "enamel"
	case strings.HasPrefix(first, "gil"), strings.HasPrefix(first, "gold"), strings.HasPrefix(first, "platinum"), strings.HasSuffix(kind, " leaf"):
		return "gilding"
	case strings.HasPrefix(first, "iri"):
		return "iridised"
	case strings.HasPrefix(first, "lustre"):
		return "lustre"
	case strings.HasPrefix(first, "paint"):
		return "paint"
	case strings.HasPrefix(first, "flash"):
		return "flashed"
	}
	return ""
}
