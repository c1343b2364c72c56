package process_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/process"
	"coldwright/internal/wear"
)

// A step that says no time is taken to last until what it is handed is gone,
// and no longer than anybody stands there; one that says its time is reckoned
// as ever.
func TestAStepOfNoWrittenTimeTakesWhatItNeeds(t *testing.T) {
	steps := step("Grind", "Surface: top", "Abrasive: silicon carbide F220", "Medium: iron lap, 300 mm", "Machine: flat lap at 150 rpm", "Time: 8 min") +
		step("Smooth", "Surface: top", "Abrasive: silicon carbide F600", "Medium: iron lap, 300 mm", "Machine: flat lap at 150 rpm") +
		step("Polish", "Surface: top", "Abrasive: cerium oxide 1.5 µm", "Medium: felt pad, 300 mm", "Machine: flat lap at 150 rpm")
	plain := surface(t, reckonText(t, shop, head+steps), "top")
	needed := surface(t, reckonText(t, shop, head+steps).Plan.ReckonAsNeeded(), "top")
	require.Len(t, needed.Steps, 3)
	assert.Equal(t, plain.Steps[0].After, needed.Steps[0].After)
	assert.NotEmpty(t, plain.Steps[1].Cannot)

	smooth, polish := &needed.Steps[1], &needed.Steps[2]
	assert.True(t, smooth.Untimed)
	assert.Equal(t, process.Default, smooth.In.Minutes.Standing)
	assert.Equal(t, wear.Certain, smooth.Result.Verdict)
	assert.InDelta(t, smooth.Result.Safe.Minutes, smooth.In.Minutes.Value, 1e-9)
	// Cerium straight from loose 600 would take longer than the 20 min a step of
	// no written time is taken to last on 100 cm².
	assert.InDelta(t, 20, polish.In.Minutes.Value, 1e-9)
	assert.Less(t, polish.Result.Verdict, wear.Certain)
}

// After a 325 resin pad, pumice and cerium
// take fewer minutes together than cerium alone, and no pumice is asked for
// where nothing is handed in.
func TestPumiceBeforeAPolish(t *testing.T) {
	steps := step("Smooth", "Surface: top", "Abrasive: resin diamond pad 325 mesh, 300 mm", "Machine: flat lap at 200 rpm", "Time: 30 min") +
		step("Polish", "Surface: top", "Abrasive: cerium oxide 1.5 µm", "Medium: felt pad, 300 mm", "Machine: flat lap at 150 rpm", "Time: 8 min")
	r := reckonText(t, shop, head+steps)
	top := surface(t, r, "top")
	p, ok := r.PumiceBefore(top, 1)
	require.True(t, ok)
	require.Equal(t, wear.Reached, p.Pumice.Reach)
	assert.False(t, p.Brush)
	alone := top.Steps[1].Result.Expected
	assert.Less(t, p.Pumice.Minutes+p.Step.Minutes, 0.7*alone.Minutes)
	// Pumice of 45 µm takes glass off at 1.5e-12 against cerium's 5e-13 of the
	// same force and speed, which is three times as fast.
	assert.InDelta(t, alone.Minutes/3, p.Pumice.Minutes, 0.01*alone.Minutes)
}
