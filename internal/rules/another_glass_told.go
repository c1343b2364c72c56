package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
)

var anotherGlassTold = check.Rule{
	ID: "another-glass-told", Severity: diag.Error, Concern: diag.People,
	Title: "A piece that its words call lead crystal is not written down as glass without lead.",
	Why: "What is asked of lead glass (wet work, its own bucket, washed hands) hangs on `glass:` alone. Where the title or the purpose calls the piece lead crystal, " +
		"whoever works it is owed those notes, and they do not print.",
	Source: "common practice",
	Quiet: "the glass is written as lead glass or as unknown, or the words speak of other pieces, of what may be, or of a recipe of its own for lead glass; " +
		"only the title, the stop and what stands before the first step are read",
	Bad:  "Takes a tumbler of lead crystal to a bright rim.   (glass: soda-lime)",
	Good: "glass: lead crystal",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := c.Recipe
		f := safetyOf(c)
		if f.lead || !r.Glass.OK || !f.scan.has(signLead) {
			return
		}
		for _, h := range f.scan.hits {
			if h.sign != signLead || !f.told(h.at) {
				continue
			}
			if raw := f.read.raw(h.at); len(r.Steps) > 0 && r.Steps[0].All.Known() && raw >= r.Steps[0].All.Start {
				return
			}
			start, end := sentence(f.read.Bytes, h.at)
			words := splitWords(string(f.read.Bytes[start:end]))
			if ofOtherGlass(words) {
				continue
			}
			span := f.read.span(h.at, h.at+len(signWords[h.word].stem))
			found(check.Finding{
				Span:    span,
				Message: "The words call the glass “" + span.Text() + "”, and `glass:` calls it " + r.Glass.Value.Name + ".",
				Help:    "If it holds lead, write `glass: lead crystal`, or the glass by its name in the shop file; the notes on lead then print. Else mend the words.",
			})
			return
		}
	},
}

// otherGlass are words of a sentence that does not say what this piece is made of.
var otherGlass = wordSet("not no never without free other others own recipe recipes if unless any than like likes also same may might can or except only apart separate whether unlike bearing both neither nor instead replaces where when nothing " +
	"came father mother grandfather ago formerly learnt learned mistaken")

// otherPairs are two words beside each other that say so: "we used to make it in lead
// crystal", "those who come from lead crystal", "people take it for lead crystal".
var otherPairs = map[string]string{"used": "to", "come": "from", "next": "door", "take": "it", "took": "it", "taken": "for"}

func ofOtherGlass(words []noteWord) bool {
	for i, w := range words {
		if otherGlass[w.text] || i+1 < len(words) && otherPairs[w.text] == words[i+1].text && words[i+1].gap == space {
			return true
		}
	}
	return false
}
