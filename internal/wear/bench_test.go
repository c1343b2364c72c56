package wear

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// recipeOf20 is a chain of twenty steps of every kind, a gloss to find among
// them.
func recipeOf20(g Glass) []Step {
	out := append(chainA(g), iron(g, bonded(Plated, 106), 5), iron(g, bonded(Resin, 45), 5), wheel(g, soft(Alumina, Felt, 1), 5))
	for i := 0; len(out) < 20; i++ {
		out = append(out, out[i])
	}
	return out
}

func reckonAll(t testing.TB, m *Model, steps []Step, recipes int) {
	for range recipes {
		var at State
		for _, s := range steps {
			r, err := m.Step(at, s)
			require.NoError(t, err)
			at = r.After
		}
	}
}

// BenchmarkThousandRecipes is 1,000 recipes of 20 steps.
func BenchmarkThousandRecipes(b *testing.B) {
	m, steps := Default(), recipeOf20(soda(b))
	for b.Loop() {
		reckonAll(b, m, steps, 1000)
	}
}

func TestAThousandRecipesTakeLessThanASecond(t *testing.T) {
	m, steps := Default(), recipeOf20(soda(t))
	// The best of a few: other work on the machine is none of the model's doing.
	best := time.Hour
	for range 5 {
		start := time.Now()
		reckonAll(t, m, steps, 1000)
		best = min(best, time.Since(start))
		if best < time.Second {
			break
		}
	}
	assert.Less(t, best, time.Second)
}
