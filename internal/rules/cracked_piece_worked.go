package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
)

var crackedWorked = check.Rule{
	ID: "cracked-piece-worked", Severity: diag.Error, Concern: diag.People, Trade: true,
	Title: "No sentence tells the reader to work a cracked piece on.",
	Why: "A crack has no length that is safe to grind: the press of the hand, the warmth of a dry spot and the shake of the machine drive it on, " +
		"and the piece comes apart in the hands. Chips and bruises are ground out; a crack is shown to somebody who decides.",
	Source: "common practice",
	Quiet: "the sentence forbids it, stops there, or names who decides; it speaks of the cracks a grain or a saw leaves under a ground face, " +
		"or of a crack in something that is no glass",
	Bad:  "1. A small crack may be ground out.",
	Good: "- [ ] Stop: a crack shows; the studio lead decides",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		if !f.scan.has(signAct) {
			return
		}
		text := f.read.Bytes
		last := -1
		for _, h := range f.scan.hits {
			if h.at < last || h.sign != signAct || signWords[h.word].stem != "crack" || !f.told(h.at) {
				continue
			}
			start, end := sentence(text, h.at)
			last = end
			if badLabels[labelBefore(text, start)] || underBan(text, start) || end < len(text) && text[end] == '?' {
				continue
			}
			f.words = addWords(f.words[:0], string(text[start:end]))
			from, to, ok := worksACrack(f.words)
			if !ok {
				continue
			}
			span := f.read.span(start+f.words[from].start, start+f.words[to].end)
			step := f.stepAt(span)
			where := ""
			if step > 0 {
				where = " in step " + itoa(step)
			}
			found(check.Finding{
				Span: span, Step: step,
				Message: "\"" + oneLine(span.Text()) + "\"" + where + " has a cracked piece worked on. A crack runs on under the work, and the piece breaks in the hands.",
				Help: "Write where the work stops and who decides: `Stop: a crack shows; the studio lead decides`. " +
					"Chips and bruises may be ground out, a crack only when somebody named has said so.",
			})
		}
	},
}

// worksACrack says whether a sentence has a cracked piece worked on, and in which
// words.
func worksACrack(words []noteWord) (from, to int, ok bool) {
	markMoods(words)
	for i := range words {
		w := &words[i]
		next := ""
		if i+1 < len(words) {
			next = words[i+1].stem
		}
		switch {
		case w.text == "never":
			if next != "mind" && next != "stop" {
				return 0, 0, false
			}
		case crackDeciders[w.text] && w.mood == plain:
			if w.text != "lead" || next != "glass" && next != "crystal" {
				return 0, 0, false
			}
		}
		if damageWords[w.text] && !(w.text == "saw" && imperative(words, i)) {
			return 0, 0, false
		}
	}
	for i := range words {
		if words[i].stem != "crack" || words[i].text == "cracking" || ofOtherThing(words, i) {
			continue
		}
		open, close := clauseAround(words, i)
		if words[i].mood == plain && (namedSmall(words, i) && letPass(words, i, close) || crackWorkedOut(words, i, open, close) || permittedOut(words, i, close)) {
			return open, close - 1, true
		}
		if n, ok := goesOn(words, i, open, close); ok {
			return min(open, n), max(close-1, n), true
		}
	}
	return 0, 0, false
}

// ofOtherThing says whether what cracks at word i is no glass: "cracked belts", "the
// wax cracks", "a crack in the wheel".
func ofOtherThing(words []noteWord, i int) bool {
	if i > 0 && words[i].gap == space && cracksToo[words[i-1].stem] {
		return true
	}
	for j := i + 1; j < len(words) && j <= i+4 && words[j].gap == space; j++ {
		if cracksToo[words[j].stem] {
			return words[i].text == "cracked" || words[i+1].text == "in" || words[i+1].text == "of"
		}
	}
	return false
}

// clauseAround is the stretch between full stops around word i.
func clauseAround(words []noteWord, i int) (open, close int) {
	open, close = i, i+1
	for open > 0 && words[open].gap != fullStop {
		open--
	}
	for close < len(words) && words[close].gap != fullStop {
		close++
	}
	return open, close
}

var (
	// crackDeciders are who decides, and what is right to do with a crack.
	crackDeciders = wordSet("lead master foreman supervisor boss decide decides decided decision ask asked tell told call show shown report stop stops stopped stopping " +
		"put aside reject scrap scrapped discard discarded bin binned look looks lamp check inspect whether wait next another other others replacement new")
	// damageWords are beside the cracks that a grain leaves in a ground face.
	damageWords = wordSet("grade grades grain grains grit grits saw sawn blade pit pits pitted damage micro microcracks subsurface surface beneath depth deep " +
		"deeper leaves left layer lines line scratch scratches skin crackle craquele crazed crazing")
	// cracksToo are things of the shop that crack too.
	cracksToo = stemSet("wax pitch tape mask paint hand finger wheel stone disc disk belt pad felt plaster mould investment kiln hose cable cord plug glove gauntlet " +
		"goggles varnish lacquer glue cement solder door lid window whip joke nut dawn code knuckle lip")
	// crackWork are the verbs that work glass, crackAway what takes a crack out.
	crackWork = wordSet("grind sand work polish smooth saw cut lap linish blast drill mill dress take bring rub feather lean remove chase run follow")
	crackAway = wordSet("out away off past through round around over down back beyond along gone below disappeared vanished")
	crackDone = wordSet("ground sanded worked polished sawn cut lapped removed linished taken smoothed")
	// otherThought are words behind which the crack is not what the order works.
	otherThought = wordSet("or so that lest if when where because as else otherwise which")
	// crackGone are what a crack is when it is no more.
	crackGone = wordSet("gone out cleared away off")
	// crackSmall are words by which a crack is called too small to matter.
	crackSmall = wordSet("small tiny short little minor hairline slight single shallow shorter smaller mm millimetre millimetres edge a the this any one old closed")
	// carryOn are verbs that go on, with what stands behind them.
	carryOn = map[string]map[string]bool{
		"carry": wordSet("on"), "go": wordSet("on ahead"), "grind": wordSet("on anyway"), "work": wordSet("on anyway"), "polish": wordSet("on anyway"), "press": wordSet("on"),
		"keep": wordSet("going grinding working polishing on pressing sawing"), "continue": nil, "ignore": nil, "disregard": nil, "finish": wordSet("it anyway"), "push": wordSet("on"),
	}
	// noMatter, behind a "no", says that a crack is nothing; staysThere, behind a "may",
	// that it is left, and comesOut that the work takes it out by itself.
	noMatter   = wordSet("reason problem harm fault defect concern matter trouble")
	staysThere = wordSet("stay remain left ignored")
	comesOut   = wordSet("grinds polishes sands works comes laps")
	// harmless are words that let a crack pass.
	harmless = wordSet("fine ok okay allowed acceptable accepted tolerated tolerable unimportant alright permissible")
)

// namedSmall says whether the crack at word i is one crack of a piece, or called
// small: "cracks" alone are what every grain leaves.
func namedSmall(words []noteWord, i int) bool {
	if words[i].text == "crack" || words[i].text == "cracked" {
		return true
	}
	for j := max(0, i-3); j < len(words) && j < i+6; j++ {
		if j != i && crackSmall[words[j].text] && words[j].text != "the" && words[j].text != "a" {
			return true
		}
	}
	return false
}

// crackWorkedOut says whether an order before the crack at word i works it: "grind past
// the crack", "saw round the crack".
func crackWorkedOut(words []noteWord, i, open, close int) bool {
	if !namedSmall(words, i) {
		return false
	}
	for j := i - 1; j >= open && i-j <= 7; j-- {
		if !crackWork[words[j].text] || words[j].mood != plain || !(imperative(words, j) || secondOrder(words, j) || orderedWhen(words, j) || rightTo(words, j)) {
			continue
		}
		if words[i].text == "cracked" {
			return words[j].text != "saw" && words[j].text != "cut" && words[j].text != "take" && i-j <= 3
		}
		away := words[j].text == "remove" || words[j].text == "chase" || words[j].text == "follow"
		for k := j + 1; k < close && k <= i+3 && words[k].gap != comma; k++ {
			if k < i && otherThought[words[k].text] {
				break
			}
			away = away || crackAway[words[k].text]
			if k >= i && away {
				return true
			}
		}
	}
	return false
}

// permittedOut says whether what follows the crack at word i lets it be worked:
// "may be ground out", "can still be polished", "is ground away".
func permittedOut(words []noteWord, i, close int) bool {
	let, small := false, namedSmall(words, i)
	for j := i + 1; j < close && j <= i+9; j++ {
		w := &words[j]
		switch {
		case w.mood != plain, relatives[w.text]:
			return false
		case w.text == "may" || w.text == "can" || w.text == "could":
			let = true
		case w.text == "is" || w.text == "are" || w.text == "gets" || w.text == "get":
			let = let || small
		case let && crackDone[w.text]:
			return true
		}
	}
	return false
}

// letPass says whether the crack at word i is said to be of no account.
func letPass(words []noteWord, i, close int) bool {
	for j := i + 1; j < close && j <= i+10; j++ {
		w, before := &words[j], words[j-1].text
		switch {
		case harmless[w.text] && w.mood == plain && (before == "is" || before == "are" || before == "be" || before == "perfectly" || before == "quite" || before == "still"):
			return true
		case (w.stem == "matter" || w.stem == "hurt") && (before == "not" || before == "dont" || before == "doesnt"):
			return true
		case noMatter[w.text] && (before == "no" || before == "not" || before == "a" && (words[j-2].text == "not" || words[j-2].text == "no")):
			return true
		case staysThere[w.text] && (before == "may" || before == "can" || before == "be" && (words[j-2].text == "may" || words[j-2].text == "can")):
			return true
		case comesOut[w.text] && w.mood == plain && j+1 < close && (words[j+1].text == "out" || words[j+1].text == "away"):
			return true
		case w.text == "live" && j+1 < close && words[j+1].text == "with":
			return true
		}
	}
	return false
}

// goesOn says whether the sentence tells the reader to go on in spite of the crack
// at word i, and with which word.
func goesOn(words []noteWord, i, open, close int) (int, bool) {
	for j := open; j < close; j++ {
		behind, known := carryOn[words[j].text]
		if (words[j].text == "stop" || words[j].text == "stopping") && words[j].mood != plain || words[j].text == "mind" && j > 0 && words[j-1].text == "never" ||
			(words[j].text == "bother" || words[j].text == "worry") && words[i].mood == waived {
			return j, true
		}
		if words[j].text == "work" && words[i].mood == plain && j+2 < close && crackAway[words[j+1].text] && words[j+2].text == "it" && imperative(words, j) {
			return j, true
		}
		if !known || words[j].mood != plain || words[i].mood != plain || goneBy(words, i, close) || !(imperative(words, j) || secondOrder(words, j) || orderedWhen(words, j)) {
			continue
		}
		if behind == nil || j+1 < close && behind[words[j+1].text] {
			return j, true
		}
	}
	return 0, false
}

// goneBy says whether the crack at word i is said to be gone: "once the cracks are
// out".
func goneBy(words []noteWord, i, close int) bool {
	for j := i + 1; j < close && j <= i+4 && words[j].gap == space; j++ {
		if crackGone[words[j].text] {
			return true
		}
	}
	return false
}

// rightTo says whether word i is what the sentence calls right to do: "it is all
// right to grind".
func rightTo(words []noteWord, i int) bool {
	return i > 1 && words[i-1].text == "to" && (harmless[words[i-2].text] || words[i-2].text == "right" || words[i-2].text == "safe") && words[i-2].mood == plain
}
