package rules

// waivedIn says whether the sentence tells the reader that there is no need of
// what the act names, or to leave it off: "no need for a mask", "blast without
// the extraction", "leave your goggles off". That it may come off at the end, or
// where nothing asks for it, is no waiver.
func (a *act) waivedIn(words []noteWord) (from, to int, ok bool) {
	for i := range words {
		if excuses[words[i].text] || a.unless[words[i].text] {
			return 0, 0, false
		}
	}
	for i := range a.as {
		for at := range words {
			m, end, ok := a.as[i].matchAt(words, at, 0)
			if !ok {
				continue
			}
			switch {
			case m == waived:
			case m == forbidden && leftOff(words, at, end):
			default:
				continue
			}
			from = at
			for from > 0 && words[from].gap == space && at-from < 5 {
				from--
			}
			return from, end, true
		}
	}
	return 0, 0, false
}

// leftOff says whether what stands from word at up to end is done without, or is
// to be off: an order stands before a "without", or a "leave" beside an "off".
func leftOff(words []noteWord, at, end int) bool {
	for j := at - 1; j >= 0 && j >= at-3; j-- {
		if words[j].gap == fullStop {
			break
		}
		if words[j].text != "without" {
			continue
		}
		for k := j - 1; k >= 0 && words[k+1].gap != fullStop; k-- {
			if benchVerbs[words[k].text] && words[k].mood == plain && (imperative(words, k) || secondOrder(words, k) || k > 0 && words[k-1].text == "can") {
				return true
			}
		}
	}
	leave := false
	for j := range words {
		switch words[j].text {
		case "leave", "take":
			leave = true
		case "off":
			if leave && j-at < farBack && j >= at-4 {
				return true
			}
		}
	}
	return false
}

// excuses are words beside which what is asked for may be left off.
var excuses = wordSet("once when after until till outside away finished done stopped still end afterwards later before unless never nobody only if clean wet washed over " +
	"paint marker dry tape peel vinyl resist")
