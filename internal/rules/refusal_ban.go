package rules

// Words of a ban. A ban on use passes; a ban on one way of using it does not.
var (
	banThing = wordSet("no nor neither without avoid")
	banDeed  = wordSet("never not dont cannot cant mustnt shouldnt wont")
	// banFill may stand between the negation and the acid.
	banFill = wordSet("any more other kind kinds sort sorts of the a an with even in by to for such weak strong hot cold dilute " +
		"hydrofluoric ammonium sodium potassium hydrogen acid fluoride bifluoride difluoride hf etch etching etched frosting frost cream creme paste " +
		"sulphuric sulfuric nitric oxalic muriatic hydrochloric phosphoric mineral matting salt salts " +
		"polish polishing polished dip dipping bath or nor and be glass work commercial mixed here touched be ever")
	// banVerbs may stand there once, right behind a negation of a deed.
	banVerbs = wordSet("use used using apply applied applying try put do done allow allowed bring take polish dip etch frost treat reach touch add want keep")
	// banTail may open what follows the acid in a ban.
	banTail = wordSet("and or nor on to for here ever anywhere please work works of at in inside is are must may will this at not never")
	// banBut makes a ban a rule of use.
	banBut = wordSet("except unless until till without save longer before after while when if where only but instead alone")
	// banEnd says behind the acid that there is to be none.
	banEnd = wordSet("forbidden banned prohibited barred never")
	banNot = wordSet("allowed permitted used done wanted welcome accepted made offered")
	// banMid may stand between the acid and the end of a ban.
	banMid = wordSet("is are be must may will shall can work works of any kind on this these that the a glass piece in here house shop studio " +
		"strictly always ever acid polish polishing etching cream paste fluoride or and nor to all lead crystal")
)

// onlyForbids says whether the sentence does no more with words from up to to
// than forbid them.
func onlyForbids(words []noteWord, from, to int) bool {
	for j := to; j < len(words); j++ {
		w := words[j].text
		if banBut[w] && !((w == "but" || w == "only") && words[j].gap != space) {
			return false
		}
		if (w == "other" || w == "apart") && j+1 < len(words) && (words[j+1].text == "than" || words[j+1].text == "from") {
			return false
		}
	}
	return (bannedBefore(words, from) && tailOfBan(words, to)) || bannedBehind(words, to)
}

// bannedBefore says whether a negation right before word i takes it in.
func bannedBefore(words []noteWord, i int) bool {
	verb := false
	for j := i - 1; j >= 0; j-- {
		w := words[j].text
		switch {
		case banDeed[w], banThing[w]:
			if verb && banThing[w] && w != "nor" {
				return false
			}
			for k := j - 1; (w == "without" || w == "avoid") && k >= 0 && k >= j-4 && words[k+1].gap == space; k-- {
				if banDeed[words[k].text] || words[k].text == "no" || words[k].text == "nobody" || words[k].text == "nothing" {
					return false // "never without acid"
				}
			}
			return w != "nor" || j == 0 || bannedBefore(words, j)
		case w == "do" || w == "must" || w == "should":
			// "do not": the negation stood behind it, so this is none.
			return false
		case banVerbs[w] && !banFill[w], banVerbs[w] && j > 0 && (banDeed[words[j-1].text] || words[j-1].text == "be"):
			if j == 0 || words[j].gap != space {
				return false
			}
			prev := words[j-1].text
			if !banDeed[prev] && prev != "be" && prev != "or" && prev != "nor" && prev != "to" {
				return false
			}
			verb = true
		case banFill[w]:
		default:
			return false
		}
	}
	return false
}

// tailOfBan says whether what stands behind word i leaves the ban a ban.
func tailOfBan(words []noteWord, i int) bool {
	return i >= len(words) || words[i].gap != space || banTail[words[i].text]
}

// bannedBehind says whether the words from i on say that there is to be none.
func bannedBehind(words []noteWord, i int) bool {
	for j := i; j < len(words) && j < i+9; j++ {
		w := words[j].text
		switch {
		case banEnd[w] && !(w == "never" && j+1 < len(words) && words[j+1].gap == space && !banNot[words[j+1].text]):
			return true
		case w == "not" || w == "never":
			k := j + 1
			for k < len(words) && banMid[words[k].text] {
				k++
			}
			return k == len(words) && k > j+1 || k < len(words) && banNot[words[k].text]
		case !banMid[w]:
			return false
		}
	}
	return false
}

// forbiddenAround says whether the sentence stands behind "Not allowed:" or
// before ": never".
func forbiddenAround(text []byte, start, end int, words []noteWord) bool {
	for _, w := range words {
		if banBut[w.text] {
			return false
		}
	}
	if start > 0 && text[start-1] == ':' {
		from, to := sentence(text, max(0, start-2))
		if onlyBan(splitWords(string(text[from:to]))) {
			return true
		}
	}
	if end < len(text) && text[end] == ':' && end+2 < len(text) {
		from, to := sentence(text, end+2)
		return onlyBan(splitWords(string(text[from:to])))
	}
	return false
}

// onlyBan says whether the words are a ban by themselves: "not allowed here".
func onlyBan(words []noteWord) bool {
	ban := false
	for _, w := range words {
		switch {
		case banEnd[w.text] || w.text == "not" || w.text == "no":
			ban = true
		case !banNot[w.text] && !banMid[w.text]:
			return false
		}
	}
	return ban
}
