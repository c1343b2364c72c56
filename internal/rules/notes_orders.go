package rules

// imperative says whether word i is an order: it opens a clause, alone or behind
// "then", "and" and the like, and the sentence does not make it a condition.
func imperative(words []noteWord, i int) bool {
	if words[i].mood != plain {
		return false
	}
	j := i
	for j > 0 && words[j].gap == space && i-j < 3 && mayOpen[words[j-1].text] {
		j--
	}
	if words[j].gap == space && j > 0 {
		return false
	}
	return !conditions[words[j].text] || j == i
}

// mayOpen are words that may stand before an order in its clause.
var mayOpen = wordSet("then and or now next finally first last always just please so you may can must should simply only also again carefully quickly slowly gently afterwards dry")

// conditions are words that make what follows no order.
var conditions = wordSet("if when whenever should unless before after while because since")

// orderedWhen says whether word i is an order behind a condition without a
// comma: "if it overheats drop it into cold water".
func orderedWhen(words []noteWord, i int) bool {
	if i == 0 || words[i].gap != space || words[i].mood != plain || subjects[words[i-1].text] {
		return false
	}
	for j := i - 1; j >= 0; j-- {
		if words[j].gap != space {
			return i-j >= 2 && (words[j].text == "if" || words[j].text == "when" || words[j].text == "once" || atTimes[words[j].text] && timeNouns[words[i-1].text])
		}
	}
	return false
}

// atTimes open a clause that says when, and timeNouns end it: "for the last minute
// run it dry", "at the end tip it out".
var (
	atTimes   = wordSet("for at in towards near during after")
	timeNouns = wordSet("end minute minutes second seconds finish strokes passes shift day")
)

// subjects are words behind which a verb is no order.
var subjects = wordSet("you we they i one it that which who people somebody anybody to not never dont would may might must could can will should the a")

// secondOrder says whether word i is an order that an "and" joins to another:
// "lift it and quench it", "stop, unplug and leave it".
func secondOrder(words []noteWord, i int) bool {
	if i < 2 || words[i].gap != space || words[i].mood != plain {
		return false
	}
	and := i - 1
	for and > 0 && i-and < 3 && words[and].gap == space && words[and].text != "and" && words[and].text != "or" && words[and].text != "then" && mayOpen[words[and].text] {
		and--
	}
	if and == 0 || words[and].text != "and" && words[and].text != "or" && words[and].text != "then" {
		return false
	}
	open := and
	for open > 0 && words[open].gap == space {
		open--
	}
	for open < and && mayOpen[words[open].text] {
		open++
	}
	return open < and && (benchVerbs[words[open].text] || commands[words[open].stem] && !subjects[words[open].text]) && words[open].mood == plain
}

// benchVerbs are verbs that open an order at the bench and are seldom nouns.
var benchVerbs = wordSet("take lift bring hold put lay set dip rinse wash wipe pour tip shake dry drop press push pull move turn start stop switch open close remove " +
	"leave keep let run work grind polish smooth saw drill blast seam bevel sand rub brush wet soak fill empty mix stir add spoon spread load charge feed slide stand check look " +
	"feel test mark mask peel unplug plug change swap mount fit tighten loosen clean clear hose flush scrub mop sweep blow use wear go come reach warm heat cool chuck raise lower")

// permitted says whether word i is what the reader is told they may do or let be:
// "the plug can stay in", "sleeves may hang".
func permitted(words []noteWord, i int) bool {
	if i == 0 || words[i].gap != space || words[i].mood != plain || words[i-1].text != "can" && words[i-1].text != "may" {
		return false
	}
	switch words[i].text {
	case "stay", "hang", "go", "stand", "leave", "keep", "use", "eat", "drink", "smoke", "run":
	default:
		return false
	}
	for j := i; j >= 0; j-- {
		if conditions[words[j].text] || relatives[words[j].text] {
			return false
		}
		if words[j].gap != space {
			break
		}
	}
	return true
}
