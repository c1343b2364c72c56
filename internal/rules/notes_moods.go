package rules

import "strings"

// negator is a way in which a sentence turns words round. Its words are looked
// for as they stand.
type negator struct {
	words []string
	does  does
}

// does says how a negator works.
type does int

const (
	// ignores: it only looks like a negation ("never mind", "no more than").
	ignores does = iota
	// forbidsThing: "no gloves, rings, loose cuffs".
	forbidsThing
	// forbidsDeed: "never dry sweep, brush or blow".
	forbidsDeed
	// denies: "it does not slip" says what is, and orders nothing.
	denies
	// waives: "no need for".
	waives
)

// negators by their first word; the longest that fits holds. All of it is the
// English of the bench: common practice.
var negators = readNegators(map[does]string{
	ignores: "never mind | no matter | no doubt | not only | no more than | not more than | never more than | no wider than | " +
		"no further than | no farther than | not over | no over | no later than | no longer than | no sooner | no worries | no less | no matter how",
	forbidsThing: "no | nor | neither | nothing | avoid | without | instead of | rather than | free of | no one | nobody",
	forbidsDeed: "never | dont | do not | must not | mustnt | should not | shouldnt | shall not | not to | cannot | cant | can not | " +
		"not | may never | must never | is never | are never | refuse to | not even",
	denies: "does not | doesnt | did not | didnt | is not | isnt | are not | arent | was not | were not | will not | wont | " +
		"may not | might not | would not | has not | have not | it not",
	waives: "no need | not need | dont need | do not need | does not need | doesnt need | neednt | need not | no reason | " +
		"not necessary to | unnecessary to | not required to | do not have to | dont have to | dont bother | do not bother | " +
		"never bother | wont need | will not need | you can skip | not needed to | never need | no call for | no use for | optional | without needing",
})

func readNegators(table map[does]string) map[string][]negator {
	byFirst := map[string][]negator{}
	for d, list := range table {
		for _, phrase := range strings.Split(list, "|") {
			words := strings.Fields(phrase)
			byFirst[words[0]] = append(byFirst[words[0]], negator{words, d})
		}
	}
	return byFirst
}

// turners are deeds that, forbidden, ask for their object: "never forget your
// mask", "do not take off the guard".
var turners = stemSet("without forget skip omit remove miss neglect lower lift unless")

// offVerbs are deeds that turn the sense only with an "off": "never switch the
// extraction off".
var offVerbs = stemSet("take leave switch turn")

// breakers are words that end what a negation reaches.
var breakers = wordSet("but so then because if when while whilst before after until till unless since only else yet though although where")

// commands are verbs that open an order of their own.
var commands = stemSet("wear keep tie tuck roll wipe wash rinse press wet check look inspect clean mop let seam bevel unplug isolate " +
	"call ask tell follow label collect scrub make always please hold switch set wait take dispose settle use put you we it they " +
	"pour hand stop shut close open turn lift lay spoon add")

// states are words that say how a thing is to be, and so end a list of things
// that are not to be.
var states = wordSet("on off in out up shut closed first whole tied tucked buttoned rolled running ready dry wet back clear is are must")

// worn are things of which "off" says that they are not to be worn, set or run.
var worn = stemSet("glove ring jewellery watch lanyard scarf mask guard goggles glasses respirator specs extraction extractor fan hood")

// markMoods marks what every sentence forbids and waives.
func markMoods(words []noteWord) {
	for i := 0; i < len(words); {
		n, d := negatorAt(words, i)
		if n == 0 {
			i++
			continue
		}
		if end := noneNoWork(words, i); end > 0 {
			// "No goggles, no grinding" asks for the goggles.
			markTurned(words, i, end)
			i = end
			continue
		}
		i += n
		switch d {
		case forbidsThing, forbidsDeed, denies:
			forbid(words, i, d)
		case waives:
			for j := i; j < negationEnd(words, i, waives); j++ {
				words[j].mood = waived
			}
			if i < len(words) && words[i].gap == space && pronouns[words[i].text] {
				markSentenceBack(words, i, waived) // "glasses are there, you won't need them"
			}
		}
	}
	for i := range words {
		markBehind(words, i)
		markAllowed(words, i)
	}
	keepOutOf(words)
	for i := range words {
		words[i].mood = max(words[i].mood, plain)
	}
}

// noneNoWork is where "no goggles" ends in "no goggles, no grinding"; 0 where
// the words from i on are no such pair.
func noneNoWork(words []noteWord, i int) int {
	if words[i].text != "no" {
		return 0
	}
	for j := i + 1; j < len(words) && j <= i+5 && words[j].gap != fullStop; j++ {
		if words[j].gap == comma {
			if j > i+1 && words[j].text == "no" && j+1 < len(words) && jobs[words[j+1].stem] {
				return j
			}
			return 0
		}
	}
	return 0
}

// jobs are what is not done without the thing named before.
var jobs = stemSet("work grind polish cut start go entry run machine lathe job saw blast")

// negatorAt is the negator that begins at word i and how many words it takes.
func negatorAt(words []noteWord, i int) (n int, d does) {
	for _, neg := range negators[words[i].text] {
		if len(neg.words) > n && follows(words, i, neg.words) {
			n, d = len(neg.words), neg.does
		}
	}
	return n, d
}

// follows says whether the words stand from i on, with nothing between them.
func follows(words []noteWord, i int, want []string) bool {
	if i+len(want) > len(words) {
		return false
	}
	for n, w := range want {
		if words[i+n].text != w || n > 0 && words[i+n].gap != space {
			return false
		}
	}
	return true
}

// forbid marks what a negation reaches from word i on as forbidden, up to a
// turner, from which on the sense is back.
func forbid(words []noteWord, i int, d does) {
	for j, end := i, negationEnd(words, i, d); j < end; j++ {
		w := &words[j]
		if turners[w.stem] || offVerbs[w.stem] && offClose(words, j, end) {
			markTurned(words, j, end)
			return
		}
		if w.mood == plain {
			w.mood = forbidden
		}
	}
}

// offClose says whether an "off" stands within the next five words.
func offClose(words []noteWord, i, end int) bool {
	for j := i + 1; j < end && j <= i+5; j++ {
		if words[j].text == "off" {
			return true
		}
	}
	return false
}

// turned is a mood in passing: the words are asked for by a double negation,
// so that no later mark may forbid them.
const turned mood = -1

func markTurned(words []noteWord, from, end int) {
	for j := from; j < end; j++ {
		words[j].mood = turned
	}
}

// negationEnd is where what a negation before word i speaks of ends.
func negationEnd(words []noteWord, i int, d does) int {
	const most = 12
	for j := i; j < len(words); j++ {
		w := &words[j]
		switch {
		case j > i && w.gap == fullStop, j-i >= most:
			return j
		case breakers[w.text]:
			return j
		case j > i && w.gap == comma && !listRunsOn(words, j, d):
			return j
		case w.text == "and" && j+1 < len(words) && (commands[words[j+1].stem] || d == denies || d == waives):
			return j
		}
	}
	return len(words)
}

// listRunsOn says whether the clause that begins at word i, behind a comma,
// goes on with the list that a negation opened.
func listRunsOn(words []noteWord, i int, d does) bool {
	if d == denies || d == waives || commands[words[i].stem] {
		return false
	}
	end := i
	for end < len(words) && (end == i || words[end].gap == space) {
		end++
	}
	length := end - i
	for _, w := range words[i:end] {
		if w.text == "or" || w.text == "nor" {
			return true
		}
	}
	if d == forbidsThing {
		return length <= 2 && unwanted[words[end-1].stem]
	}
	return length <= 4 && end < len(words) && words[end].gap == comma && listRunsOn(words, end, d)
}

// unwanted are things that go on a list behind "no" without an "or": "no
// gloves, rings, loose cuffs".
var unwanted = stemSet("glove ring jewellery watch lanyard scarf sleeve cuff hair cord string apron eat drink smoke food vape " +
	"drain sink sewer broom air sweep brush blow jet")

// waiving and barring are what may stand behind "not" at the end of a clause.
var (
	waiving = wordSet("needed required necessary compulsory mandatory essential obligatory")
	barring = wordSet("allowed permitted worn used welcome wanted poured tipped enough acceptable ok okay quenched doused chilled blown swept")
	barred  = wordSet("forbidden banned prohibited barred")
	between = wordSet("be to always really strictly ever even usually it")
)

// markBehind marks what word i says of the words before it.
func markBehind(words []noteWord, i int) {
	w := &words[i]
	switch {
	case w.text == "optional" || w.text == "unnecessary" || w.text == "needless":
		markBack(words, i, waived)
	case barred[w.text] && (i == 0 || words[i-1].text != "not"):
		markBack(words, i, forbidden)
	case w.text == "not" || w.text == "never" || w.text == "isnt" || w.text == "arent" || w.text == "neednt":
		j := i + 1
		for j < len(words) && words[j].gap == space && between[words[j].text] {
			j++
		}
		if j == len(words) || words[j].gap != space {
			if w.text == "never" && j == i+1 && i > 0 && w.gap == space {
				markBack(words, i, forbidden) // "gloves never"
			}
			return
		}
		if words[j].text == "for" && j == i+1 {
			markBack(words, i, forbidden) // "the drain is not for slurry"
		} else if waiving[words[j].text] || w.text == "neednt" {
			markBack(words, i, waived)
		} else if barring[words[j].text] {
			markBack(words, i, forbidden)
		}
	case w.text == "waste" && i+2 < len(words) && words[i+1].text == "of" && words[i+2].text == "time":
		markBack(words, i, waived) // "a mask is a waste of time"
	case w.text == "limits" && i > 0 && words[i-1].text == "off":
		markSentenceBack(words, i, forbidden) // "sink and drain are off limits"
	case w.text == "place" && i > 0 && words[i-1].text == "no" && w.gap == space:
		markSentenceBack(words, i-1, forbidden) // "gloves and rings have no place here"
	case w.text == "off":
		markOff(words, i)
	case w.stem == "remov" && w.mood == plain:
		markAhead(words, i)
	}
}

// permits are words that let the reader have a thing, behind an "is" or "are".
var permits = wordSet("fine ok okay allowed permitted welcome acceptable alright best good right recommended advised")

// markAllowed marks what word i lets the reader do as they like with: "loose
// sleeves and long hair are fine".
func markAllowed(words []noteWord, i int) {
	if !permits[words[i].text] || i == 0 || words[i].gap != space {
		return
	}
	switch words[i-1].text {
	case "is", "are", "be", "perfectly", "quite":
	default:
		return
	}
	for j := i - 1; j >= 0 && i-j <= farBack; j-- {
		w := &words[j]
		if breakers[w.text] || w.mood != plain || commands[w.stem] && j > 0 && w.gap != space {
			return
		}
		w.allowed = true
		if w.gap == fullStop {
			return
		}
	}
}

// farBack is how many words back a sentence may turn what it has said.
const farBack = 30

// markBack marks the words before word i in its clause.
func markBack(words []noteWord, i int, m mood) {
	for j := i - 1; j >= 0 && i-j <= farBack; j-- {
		if breakers[words[j].text] || words[j].text == "and" {
			return
		}
		words[j].mood = m
		if words[j].gap != space {
			return
		}
	}
}

// pronouns stand for what the sentence named before.
var pronouns = wordSet("it them these those one any")

// markSentenceBack marks the words before word i back to the full stop.
func markSentenceBack(words []noteWord, i int, m mood) {
	for j := i - 1; j >= 0 && i-j <= farBack && words[j+1].gap != fullStop; j-- {
		words[j].mood = m
	}
}

// markOff marks what is to be off: "rings off", "gloves and rings off", "take
// off rings", "take your gloves off".
func markOff(words []noteWord, i int) {
	if words[i].mood != plain {
		return
	}
	for j := i - 1; j >= 0 && i-j <= 5 && words[j+1].gap != fullStop; j-- {
		if worn[words[j].stem] && words[j].mood == plain {
			words[j].mood = forbidden
		}
		if states[words[j].text] || commands[words[j].stem] {
			break
		}
	}
	if i > 0 && words[i-1].stem == "tak" {
		markAhead(words, i)
	}
	if i > 1 && words[i-2].stem == "leav" && pronouns[words[i-1].text] {
		for j := i - 3; j >= 0 && i-j <= farBack && words[j+1].gap != fullStop; j-- {
			if worn[words[j].stem] {
				words[j].mood = forbidden // "the extractor is noisy, leave it off"
			}
		}
	}
}

// markAhead marks the worn things that stand close behind word i.
func markAhead(words []noteWord, i int) {
	for j := i + 1; j < len(words) && j <= i+4 && words[j].gap != fullStop; j++ {
		if worn[words[j].stem] && words[j].mood == plain {
			words[j].mood = forbidden
		}
	}
}

// keepOutOf marks what something is kept out of or away from: "keep slurry out
// of the drain" forbids without a no.
func keepOutOf(words []noteWord) {
	for i := range words {
		if w := words[i].stem; w != "keep" && w != "stay" {
			continue
		}
		for j := i + 1; j+1 < len(words) && j <= i+6 && words[j].gap == space; j++ {
			if words[j].text == "out" && words[j+1].text == "of" || words[j].text == "away" && words[j+1].text == "from" {
				for k := j + 2; k < len(words) && k < j+8 && words[k].gap != fullStop && !breakers[words[k].text]; k++ {
					if words[k].gap == comma && commands[words[k].stem] {
						break
					}
					words[k].mood = flip(words[k].mood, words[i].mood)
				}
				break
			}
		}
	}
}

// flip is the mood of what a thing is kept out of: forbidden, unless the
// keeping itself is forbidden.
func flip(own, keeping mood) mood {
	if keeping == forbidden || own == waived {
		return own
	}
	return forbidden
}

// decoys are words that mean something else where they stand so. The words in
// brackets are lost for every idea. Common practice.
var decoys = readDecoys(`
cold water [on]
[test] piece
[test] cut
[test] tile
[test] strip
[test] patch
[test] face
[test] run
[test] plate
[test] the water
[test] the ph
[test] the glass
[test] the piece
[test] the edge
[test] the mix
[test] the wheel
block the [drain]
block [drain]
clog the [drain]
clog [drain]
clear the [drain]
[lead] the
[lead] pencil
[lead] by
[lead] in to
[lead] it
[lead] them
[lead] line
[lead] came
[ring] finger
wet and [dry]
[wet] and dry
[mask] the
[mask] off
[mask] each
[mask] every
[mask] all
cut a [mask]
vinyl [mask]
resist [mask]
rubber [mask]
blast [mask]
wine [glasses]
drinking [glasses]
magnifying [glasses]
[glasses] on the
[drain] the
[drain] it
[drain] and
[drain] off
studio [lead]
the [lead] decides
the [lead] says
ask the [lead]
tell the [lead]
[lead] hand
[lead] time
half a [minute]
half [minute]
quarter of a [minute]
more than [3] mm
over [3] mm
at least [3] mm
[3] mm or more
[2] mm or more
more than [1/8]
[extract] the piece
[extract] the glass
[extract] the casting
[hair] crack
[hair] line
tree [ring]
splash [ring]
drip [ring]
key [ring]
o [ring]
finger [guard] off
door [stop]
[stop] watch
[clear] water
[hand] pad
[hand] held
[hand] lamp
[hand] polisher
second [hand]
[block] the
optic [block]
glass [block]
cool [edge]
cutting [edge]
leading [edge]
`)

// decoy is a stretch of words with those that are lost.
type decoy struct {
	stems []string
	lost  []bool
}

func readDecoys(table string) map[string][]decoy {
	byFirst := map[string][]decoy{}
	for _, line := range strings.Split(strings.TrimSpace(table), "\n") {
		var d decoy
		for _, f := range strings.Fields(line) {
			w := strings.Trim(f, "[]")
			d.stems = append(d.stems, stem(w))
			d.lost = append(d.lost, w != f)
		}
		byFirst[d.stems[0]] = append(byFirst[d.stems[0]], d)
	}
	return byFirst
}

// markDecoys marks the words that mean something else.
func markDecoys(words []noteWord) {
	for i := range words {
		for _, d := range decoys[words[i].stem] {
			// "no more than 3 mm" is the limit itself.
			limit := words[i].text == "more" && i > 0 && (words[i-1].text == "no" || words[i-1].text == "not" || words[i-1].text == "never")
			if limit || !standsAt(words, i, d.stems) {
				continue
			}
			for n, lost := range d.lost {
				words[i+n].lost = words[i+n].lost || lost
			}
		}
	}
}

func standsAt(words []noteWord, i int, want []string) bool {
	if i+len(want) > len(words) {
		return false
	}
	for n, s := range want {
		if words[i+n].stem != s || n > 0 && words[i+n].gap != space {
			return false
		}
	}
	return true
}
