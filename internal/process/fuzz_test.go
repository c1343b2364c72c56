package process_test

import (
	"strconv"
	"testing"
	"time"

	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// FuzzReckon writes any numbers at all into a recipe and its shop file: what is
// reckoned from them is a number of the bench or is not told, and it is told in
// a while.
func FuzzReckon(f *testing.F) {
	f.Add(100.0, 8.0, 120.0, 2.0, 15.0, 50.0, 1.5, 22.0, 0.2, uint8(0))
	f.Add(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, uint8(1))
	f.Add(1e9, 1e9, 1e9, 1e9, 1e9, 1e9, 1e9, 1e9, 1e9, uint8(2))
	f.Add(1e-9, 1e-9, 1e-9, 1e-9, 1e-9, 1e-9, 1e-9, 1e-9, 1e-9, uint8(3))
	f.Add(-1.0, 1e300, 5e-324, -0.5, 1e13, 1e-300, 999999999.999, 0.1+0.2, 1.0/3, uint8(4))
	grades := []string{"D60", "R325", "S220", "CE", "pumice 2F", "silicon carbide F8", "rottenstone"}
	media := []string{"iron lap", "felt pad", "BR", "pitch lap", "cork wheel"}
	machines := []string{"LAP", "LATHE", "flat lap, 400 mm"}
	f.Fuzz(func(t *testing.T, area, minutes, rpm, every, force, grain, rate, damage, uneven float64, which uint8) {
		slow := time.AfterFunc(20*time.Second, func() { panic("reckoning does not end") })
		defer slow.Stop()
		n := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
		var report diag.List
		h := trade.Lay(source.New("shop.yaml", []byte(shop+
			"measured:\n  - {stock: S220, rate: "+n(rate)+" µm/min, damage: "+n(damage)+" µm, spent after: "+n(every)+" min, area: "+n(area)+" cm², pressure: "+n(force)+" N, speed: "+n(rpm)+" rpm}\n"+
			"  - {stock: CE, rate: "+n(rate)+" µm/min, cleared after: "+n(minutes)+" min, lamp: "+n(damage)+"°}\n")), &report)
		step := func(abrasive string) string {
			return "\n## Work\n\n- Surface: top\n- Abrasive: " + abrasive + "\n- Medium: " + media[int(which)%len(media)] +
				"\n- Machine: " + machines[int(which/5)%len(machines)] + " at " + n(rpm) + " rpm\n- Water: drip\n- Charge: every " + n(every) + " min\n- Time: " + n(minutes) + " min\n- Pressure: " + n(force) + " N\n- Amount: " + n(grain) + " g " + abrasive + "\n"
		}
		text := "---\nrecipe: r\ntitle: R\nrevision: 1\ndate: 2026-10-05\nglass: soda-lime\npiece: {form: cast, size: " + n(area) + " mm dia x " + n(uneven) + " mm}\n" +
			"surfaces:\n  - {name: top, shape: flat, area: " + n(area) + " cm², from: \"sawn, damage " + n(damage) + " µm, uneven " + n(uneven) + " mm\", to: bright polish}\n---\n" +
			step(grades[int(which)%len(grades)]) + step("silicon carbide "+n(grain)+" µm") + step("S220") + step("CE")
		r, _ := parse.New(h).Parse(source.New("r.md", []byte(text)))
		plan := process.Of(r, h)
		saneAll(t, plan.Reckon())
		for i := range plan.Recipe.Steps {
			testkit.SaneNumbers(t, plan.Recipe.Steps[i].Time.Value.Usual)
		}
	})
}
