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
var mayOpen = wordSet("then and or now next finally first last always just please so you may can must should simply only also again carefully quickly slowly gently afterwards")

// conditions are words that make what follows no order.
var conditions = wordSet("if when whenever should unless before after while because since")
