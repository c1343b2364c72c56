package wear

import (
	"fmt"
	"math"
	"strings"
	"sync"
)

// Model reckons with one set of constants. It is never changed once made and
// may be shared by goroutines.
type Model struct {
	table Table

	bandLow, bandLowExp, bandHigh, bandHighExp float64
	looseAt                                    [families]float64 // position in the band
	bondAt                                     [bonds]float64
	actsAt, looseSpread, bondSpread            float64

	cushion                                 [laps]float64
	cushionDivisor, cushionLow, cushionHigh float64
	loadExp, loadLeast, loadMost            float64
	loadFacePa, loadPatchN                  float64

	reference                              Glass
	damageE, damageH                       float64
	rateE, rateH, rateKc                   float64
	glasses                                map[string]Glass
	grindK, grindSize, grindExp, grindSoft float64
	grindFamily                            [families]float64
	grindBondedDiamond                     float64
	grindBond                              [bonds]float64
	pumice, cerium                         [laps]float64 // 1/Pa; 0 where it may not run
	pumiceSize, pumiceExp                  float64

	left      [families]float64 // share of the size a charge wears down to; 0 where it does not
	breakdown [families]float64 // J/m²
	spent     float64

	kappaLoose, kappaBonded, kappaSoft, rtOverRq      float64
	floorPumice, floorHard, floorFine, floorCerium    float64 // Rq in µm
	fineSize                                          float64
	level                                             [laps]float64
	wavelength, hazeDry, hazeWet, glossSmooth, smooth float64
	matte, fineMatte, satin, optical                  float64

	saw, cast, blastAt, blastLow, blastHigh, writtenLow, writtenHigh float64
	stockSawn, stockCast, stockFused                                 float64
}

var defaultModel = sync.OnceValue(func() *Model {
	m, err := New(Constants())
	if err != nil {
		panic("constants.csv: " + err.Error())
	}
	return m
})

// Default is the model with the built-in constants.
func Default() *Model { return defaultModel() }

// Table is the constants the model reckons with.
func (m *Model) Table() Table { return m.table }

// New makes a model of a table. Constants that contradict each other are an
// *InputError.
func New(t Table) (*Model, error) {
	var missing []string
	c := func(name string) float64 {
		row, ok := t.Get(name)
		if !ok {
			missing = append(missing, name)
		}
		return row.Value
	}
	m := &Model{
		table:   t,
		bandLow: c("band.low.factor"), bandLowExp: c("band.low.exponent"),
		bandHigh: c("band.high.factor"), bandHighExp: c("band.high.exponent"),
		actsAt: c("position.acts-like"), looseSpread: c("spread.loose"), bondSpread: c("spread.bonded"),
		cushionDivisor: c("cushion.divisor"), cushionLow: c("cushion.low"), cushionHigh: c("cushion.high"),
		loadExp: c("load.exponent"), loadLeast: c("load.least"), loadMost: c("load.most"),
		loadFacePa: c("load.face"), loadPatchN: c("load.patch"),
		reference: Glass{EGPa: c("glass.reference.e"), HGPa: c("glass.reference.h"), KcMPaSqrtM: c("glass.reference.kc"), PolishFactor: 1},
		damageE:   c("glass.damage.e"), damageH: c("glass.damage.h"),
		rateE: c("glass.rate.e"), rateH: c("glass.rate.h"), rateKc: c("glass.rate.kc"),
		glasses: map[string]Glass{},
		grindK:  c("grind.k"), grindSize: c("grind.size"), grindExp: c("grind.exponent"), grindSoft: c("grind.compliant"),
		grindBondedDiamond: c("grind.family.bonded-diamond"),
		pumiceSize:         c("pumice.size"), pumiceExp: c("pumice.exponent"),
		spent:      c("breakdown.spent"),
		kappaLoose: c("roughness.loose"), kappaBonded: c("roughness.bonded"),
		kappaSoft: c("roughness.compliant"), rtOverRq: c("roughness.rt-over-rq"),
		floorPumice: c("floor.pumice"), floorHard: c("floor.hard"), floorFine: c("floor.hard.fine"),
		floorCerium: c("floor.cerium"), fineSize: c("floor.fine-size"),
		wavelength: c("optics.wavelength"), hazeDry: c("optics.haze.dry"), hazeWet: c("optics.haze.wet"),
		glossSmooth: c("optics.gloss.smooth"), smooth: c("optics.smooth"),
		matte: c("finish.matte"), fineMatte: c("finish.fine-matte"), satin: c("finish.satin"), optical: c("finish.optical"),
		saw: c("start.saw"), cast: c("start.cast"),
		blastAt: c("start.blast"), blastLow: c("start.blast.low"), blastHigh: c("start.blast.high"),
		writtenLow: c("start.written.low"), writtenHigh: c("start.written.high"),
		stockSawn: c("stock.sawn"), stockCast: c("stock.cast"), stockFused: c("stock.fused"),
	}
	for f := Diamond; f <= Garnet; f++ {
		m.looseAt[f] = c("position.loose." + slug(f))
		m.grindFamily[f] = c("grind.family." + slug(f))
	}
	for _, f := range []Family{SiliconCarbide, Alumina, Garnet, Pumice} {
		m.breakdown[f], m.left[f] = c("breakdown."+slug(f)), c("breakdown.left")
	}
	m.left[Pumice] = c("breakdown.left.pumice")
	for b := Plated; b <= Urethane; b++ {
		m.bondAt[b], m.grindBond[b] = c("position.bonded."+slug(b)), c("grind.bond."+slug(b))
	}
	for l := Pitch; l <= Brush; l++ {
		m.cushion[l], m.level[l], m.cerium[l] = c("cushion."+slug(l)), c("level."+slug(l)), c("cerium."+slug(l))
		if l != Pitch {
			m.pumice[l] = c("pumice." + slug(l))
		}
	}
	for _, name := range []string{"soda-lime", "lead-crystal", "borosilicate", "fused-silica"} {
		at := "glass." + name
		m.glasses[name] = Glass{EGPa: c(at + ".e"), HGPa: c(at + ".h"), KcMPaSqrtM: c(at + ".kc"), PolishFactor: c(at + ".polish")}
	}
	if missing != nil {
		return nil, &InputError{Field: strings.Join(missing, ", "), Why: "is missing from the table"}
	}
	if err := m.coherent(); err != nil {
		return nil, err
	}
	return m, nil
}

// coherent holds constants against each other: what the order of low, expected
// and high rests on, and what the closed form divides by.
func (m *Model) coherent() error {
	for _, b := range []struct {
		holds bool
		field string
		why   string
	}{
		{m.lowOf(smallest) <= m.highOf(smallest) && m.lowOf(MostGrainUM) <= m.highOf(MostGrainUM), "band.low.factor", "puts the low damage above the high"},
		{m.cushionLow <= 1 && 1 <= m.cushionHigh, "cushion.low", "and cushion.high must stand on both sides of 1"},
		{m.loadLeast <= m.loadMost, "load.least", "is above load.most"},
		{m.left[Garnet] >= 0.01 && m.left[Garnet] <= 0.99, "breakdown.left", "must be between 0.01 and 0.99"},
		{m.left[Pumice] >= 0.01 && m.left[Pumice] <= 0.99, "breakdown.left.pumice", "must be between 0.01 and 0.99"},
		{m.matte > m.fineMatte && m.fineMatte > m.satin && m.satin > m.SmoothRqUM(), "finish.matte", "and the thresholds after it must fall, and stay above what a lamp calls smooth"},
		{m.blastLow <= m.blastAt && m.blastAt <= m.blastHigh, "start.blast", "must stand between its low and its high"},
		{m.writtenLow <= 1 && 1 <= m.writtenHigh, "start.written.low", "and start.written.high must stand on both sides of 1"},
		{m.floorCerium < m.SmoothRqUM(), "floor.cerium", "must be below what a lamp calls smooth"},
	} {
		if !b.holds {
			row, _ := m.table.Get(b.field)
			return &InputError{Field: b.field, Value: row.Value, Why: b.why}
		}
	}
	return nil
}

// smallest is the finest a grain gets: the least size after breaking down.
const smallest = LeastGrainUM * 0.01

// slug is a name as constants.csv writes it.
func slug(n fmt.Stringer) string { return strings.ReplaceAll(n.String(), " ", "-") }

// Glass is one of the model's glasses: "soda-lime", "lead-crystal",
// "borosilicate", "fused-silica".
func (m *Model) Glass(name string) (Glass, bool) {
	g, ok := m.glasses[name]
	return g, ok
}

// UnknownGlass is what a glass nobody can name counts as: the first for
// damage, the second for rates.
func (m *Model) UnknownGlass() (damage, rates Glass) {
	return m.glasses["lead-crystal"], m.glasses["soda-lime"]
}

// DamageFactor is how much deeper damage goes than in soda-lime.
func (m *Model) DamageFactor(g Glass) float64 {
	return math.Pow(g.EGPa/m.reference.EGPa, m.damageE) * math.Pow(m.reference.HGPa/g.HGPa, m.damageH)
}

// RateFactor is how much faster the glass is ground than soda-lime.
func (m *Model) RateFactor(g Glass) float64 {
	return math.Pow(g.EGPa/m.reference.EGPa, m.rateE) * math.Pow(m.reference.HGPa/g.HGPa, m.rateH) *
		math.Pow(m.reference.KcMPaSqrtM/g.KcMPaSqrtM, m.rateKc)
}

// LoadOnLap is the load where the face itself lies on the lap.
func (m *Model) LoadOnLap(forceN, areaM2 float64) float64 { return forceN / areaM2 / m.loadFacePa }

// LoadOnPatch is the load where a wheel, belt, brush or pad touches a patch.
func (m *Model) LoadOnPatch(forceN float64) float64 { return forceN / m.loadPatchN }

// loadFactor is how much deeper loose grain bites under a load.
func (m *Model) loadFactor(load float64) float64 {
	return min(max(math.Pow(load, m.loadExp), m.loadLeast), m.loadMost)
}
