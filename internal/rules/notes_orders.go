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
			return i-j >= 2 && (words[j].text == "if" || words[j].text == "when" || words[j].text == "once")
		}
	}
	return false
}

// subjects are words behind which a verb is no order.
var subjects = wordSet("you we they i one it that which who people somebody anybody to not never dont would may might must could can will should the a")
