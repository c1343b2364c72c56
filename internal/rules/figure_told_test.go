package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/check"
)

// Speeds, depths and pressures told beside the facts, and sentences that come near
// them and are sound: a limit, what was before, a wheel that is dressed. Common
// practice.
func TestFiguresTold(t *testing.T) {
	const (
		lapped = "Abrasive: cerium oxide|Medium: felt pad, 400 mm|Machine: flat lap, 400 mm at 120 rpm|Water: damp|Mix: cream"
		blown  = "Abrasive: silicon carbide F220|Machine: blast cabinet|Water: dry|Pressure: 1.5 bar"
		cut    = "Abrasive: metal diamond wheel 120 mesh, 200 mm|Machine: lathe at 500 rpm|Water: flood|Depth: 1 mm"
	)
	for _, c := range []struct {
		facts, sentence string
		found           bool
	}{
		{lapped, "Run it at 200 rpm for the last minute.", true},
		{lapped, "Then go up to 180 rpm.", true},
		{lapped, "If it drags, raise it to 150rpm.", true},
		{lapped, "The felt turns at 240 rpm here.", true},
		{blown, "Open to 3 bar for the low places.", true},
		{blown, "Blast at 40 psi.", true},
		{cut, "Cut two millimetres deep.", true},
		{cut, "Sink the wheel 3 mm deep.", true},
		{lapped, "Start at 60 rpm and go up to 120 rpm.", false},
		{lapped, "Never run it above 200 rpm.", false},
		{lapped, "No more than 200 rpm here.", false},
		{lapped, "Do not run it at 200 rpm.", false},
		{lapped, "At 400 rpm the felt throws the cerium.", false},
		{lapped, "The old felt ran at 200 rpm before.", false},
		{lapped, "Keep it under 200 rpm.", false},
		{lapped, "If it squeals, drop to 80 rpm.", false},
		{lapped, "Spin the felt dry afterwards at 300 rpm.", false},
		{lapped, "Dress the felt at 300 rpm.", false},
		{blown, "The main runs at 7 bar: turn it down to 1.5.", false},
		{blown, "Set the regulator to 1.5 bar.", false},
		{cut, "A flaw 3 mm deep is not ground out.", false},
		{cut, "The wheel stands 20 mm deep in its tray.", false},
		{cut, "Half a millimetre deep is enough.", false},
	} {
		p := piece{}
		if c.facts == cut {
			p.shape = "groove"
		}
		list := check.Run(contextOf(t, "", ordering(p, c.facts, c.sentence)), []check.Rule{anotherFigureTold})
		assert.Equal(t, c.found, len(list) == 1, "%s: %v", c.sentence, list)
	}
}
