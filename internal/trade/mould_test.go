package trade_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/trade"
)

// What a bench says of a casting and what it means, from common practice:
// divested is washed clean, "out of the mould" leaves open what clings.
func TestMouldSaid(t *testing.T) {
	for words, want := range map[string]string{
		"in investment": trade.MouldOn, "still in its plaster mould": trade.MouldOn, "still invested": trade.MouldOn, "mold still on": trade.MouldOn,
		"as cast, mould skin on": trade.MouldOn, "not yet divested": trade.MouldOn, "in the investment": trade.MouldOn,
		"divested": trade.MouldOff, "Devested and clean": trade.MouldOff, "demolded": trade.MouldOff, "mould off": trade.MouldOff,
		"out of investment": "", "fresh from the mould": "", "straight out of the mold": "",
	} {
		state, spoken := trade.MouldSaid(words)
		assert.True(t, spoken, words)
		assert.Equal(t, want, state, words)
	}
	for _, words := range []string{"", "sawn, diamond 100 mesh", "as cast", "in one piece", "fused", "from the kiln"} {
		_, spoken := trade.MouldSaid(words)
		assert.False(t, spoken, words)
	}
}
