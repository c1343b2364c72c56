package parse

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/prose"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// quillfen is the house of the example recipe.
var quillfen = sync.OnceValues(func() (*Parser, error) {
	name := filepath.Join("testdata", "example", "shop.yaml")
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	var list diag.List
	return New(trade.Lay(source.New("shop.yaml", text), &list)), nil
})

func exampleText(t testing.TB) []byte {
	text, err := os.ReadFile(filepath.Join("testdata", "example", "cast-weight.md"))
	require.NoError(t, err)
	return text
}

func example1(t testing.TB) (*recipe.Recipe, diag.List) {
	p, err := quillfen()
	require.NoError(t, err)
	return p.Parse(source.New("cast-weight.md", exampleText(t)))
}

func mm(v float64) quantity.Value      { return quantity.Value{Amount: v, Unit: quantity.Millimetre} }
func minutes(v float64) quantity.Value { return quantity.Value{Amount: v, Unit: quantity.Minute} }

func TestExampleFrontMatter(t *testing.T) {
	r, list := example1(t)
	require.Empty(t, said(list), "the example is sound")

	assert.Equal(t, "cast-weight", r.ID.Value)
	assert.Equal(t, "cast-weight", r.ID.Span.Text())
	assert.Equal(t, "Cast paperweight, base bright, dome left as it came", r.Title.Value)
	assert.Equal(t, 2, r.Revision.Value)
	assert.Equal(t, recipe.Date{Year: 2026, Month: 10, Day: 5}, r.Date.Value)
	assert.Equal(t, "studio lead", r.Approved.Value)
	assert.Equal(t, recipe.Date{Year: 2027, Month: 10, Day: 5}, r.Review.Value)
	require.True(t, r.Glass.OK)
	assert.Equal(t, "soda-lime", r.Glass.Value.Name)
	assert.False(t, r.GlassUnknown)
	assert.Nil(t, r.Coating)

	assert.Equal(t, "cast", r.Piece.Form.Value)
	assert.Equal(t, mm(80), r.Piece.Size.Value.Diameter)
	assert.Equal(t, mm(45), r.Piece.Size.Value.Height)
	assert.Empty(t, r.Piece.Size.Value.Sides)
	assert.Equal(t, "80 mm dia x 45 mm", r.Piece.Size.Value.Words)
	assert.Equal(t, "removed", r.Piece.Mould.Value)
	assert.False(t, r.Piece.Count.Written())
	assert.False(t, r.Piece.Mass.Written())

	require.Len(t, r.Surfaces, 3)
	base, rim, dome := r.Surfaces[0], r.Surfaces[1], r.Surfaces[2]
	assert.Equal(t, "base", base.Name.Value)
	assert.Equal(t, "flat", base.Shape.Value.Name)
	assert.Equal(t, quantity.Value{Amount: 50, Unit: quantity.SquareCentimetre}, base.Area.Value)
	assert.Equal(t, "sawn", base.From.Value.How)
	require.NotNil(t, base.From.Value.Abrasive.Family)
	assert.Equal(t, "diamond", base.From.Value.Abrasive.Family.Name)
	assert.Equal(t, "100 mesh", base.From.Value.Abrasive.Grade.Label)
	assert.Equal(t, "sawn, diamond 100 mesh", base.From.Value.Words)
	assert.Equal(t, "bright polish", base.To.Value.Name)
	assert.Equal(t, "T5", base.Tile.Value)
	assert.Equal(t, "arris", rim.Shape.Value.Name)
	assert.Equal(t, mm(250), rim.Length.Value)
	assert.Equal(t, mm(1), rim.Width.Value)
	assert.Equal(t, "new", rim.From.Value.How)
	assert.Equal(t, "seamed", rim.To.Value.Name)
	assert.Equal(t, "fire polished", dome.From.Value.How)
	assert.Nil(t, dome.From.Value.Abrasive.Family)
	assert.Equal(t, "untouched", dome.To.Value.Name)
	assert.False(t, dome.Area.Written())

	assert.Equal(t, "Bright base. The dome is never touched, not even with cerium.", r.Stop.Value)
	require.Len(t, r.Cautions, 3)
	for i, name := range []string{"keep wet", "sharp arris", "dry powder"} {
		require.NotNil(t, r.Cautions[i].Topic)
		assert.Equal(t, name, r.Cautions[i].Topic.Name)
		assert.Equal(t, name, r.Cautions[i].Span.Text())
	}
	require.Len(t, r.Changes, 1)
	assert.Equal(t, 2, r.Changes[0].Revision.Value)
	assert.Equal(t, "method", r.Changes[0].Kind.Value)
	assert.Equal(t, "Pumice put in before cerium; cerium cut from 26 to 8 min.", r.Changes[0].Note.Value)
	assert.Empty(t, r.Accepted)
	assert.Equal(t, "Takes a sawn casting to a base that is clear to read through. One piece, one person, about forty minutes at the bench.",
		prose.BlockWords(r.Purpose))
	assert.Equal(t, "Notes\nLead-bearing weights have their own recipe: own bucket, own slurry pot.", prose.BlockWords(r.Notes))
}

func TestExampleSteps(t *testing.T) {
	r, _ := example1(t)
	titles := []string{"Seam the rim and tape the dome", "Flatten the base", "Smooth the base", "Pre-polish the base", "Polish the base", "Wash, unmask and sign"}
	require.Len(t, r.Steps, len(titles))
	for i, title := range titles {
		assert.Equal(t, title, r.Steps[i].Title)
		assert.Equal(t, title, r.Steps[i].Span.Text())
		assert.Equal(t, i+1, r.Steps[i].Number)
		assert.Equal(t, i < 5, r.Steps[i].Working())
	}

	seam := r.Steps[0]
	require.Len(t, seam.Facts, 9)
	assert.Equal(t, "Clean-down", seam.Facts[7].Name)
	assert.Equal(t, "wash piece, hands and pad", seam.Facts[7].Value)
	require.Len(t, seam.Surfaces, 1)
	assert.Same(t, &r.Surfaces[1], seam.Surfaces[0].Surface)
	assert.Equal(t, trade.Plated, seam.Abrasive.Value.Bond)
	assert.Equal(t, "120 mesh", seam.Abrasive.Value.Grade.Label)
	assert.Equal(t, "plated diamond hand pad 120 mesh", seam.Abrasive.Span.Text())
	assert.Equal(t, "by hand", seam.Machine.Value.Kind.Name)
	assert.Equal(t, "spray", seam.Water.Value.Kind.Name)
	require.Len(t, seam.Mask, 1)
	assert.Same(t, &r.Surfaces[2], seam.Mask[0].Surface)
	assert.Equal(t, recipe.Time{Low: minutes(4), Usual: minutes(4), High: minutes(4), Times: 1}, seam.Time.Value)
	assert.Equal(t, "A", seam.Bench.Value.Bench.Name)
	assert.Equal(t, recipe.Return{Title: "Seam the rim and tape the dome", Step: 1}, seam.ReturnTo.Value)
	require.Len(t, seam.Body, 3)
	assert.Equal(t, 1, seam.Body[0].Mark)
	assert.Equal(t, "Two layers of tape over the dome, pressed down to the rim.", prose.BlockWords(seam.Body[0].Blocks))
	assert.Equal(t, 2, seam.Body[1].Mark)
	assert.Equal(t, "Long strokes round the rim, one millimetre wide.", prose.BlockWords(seam.Body[1].Blocks))
	require.Len(t, seam.Body[1].KeyPoints, 1)
	assert.Equal(t, "away from the tape, never across it.", prose.Words(seam.Body[1].KeyPoints[0].Point))
	assert.Equal(t, "a lifted tape edge carries grit to every bench after this.", prose.Words(seam.Body[1].KeyPoints[0].Reason))
	assert.Equal(t, recipe.Check, seam.Body[2].Kind)
	assert.Equal(t, "Thumbnail: no edge catches it, all the way round", seam.Body[2].Check.Text)
	require.NotNil(t, seam.Body[2].Check.Test)
	assert.Equal(t, "Thumbnail", seam.Body[2].Check.Test.Name)

	flatten := r.Steps[1]
	require.NotNil(t, flatten.Abrasive.Value.Stock)
	assert.Equal(t, "S220", flatten.Abrasive.Value.Stock.Code)
	assert.Equal(t, "iron lap", flatten.Medium.Value.Kind.Name)
	assert.Equal(t, mm(300), flatten.Medium.Value.Diameter)
	assert.Equal(t, "LAP3", flatten.Machine.Value.Unit.Code)
	assert.Equal(t, quantity.Value{Amount: 150, Unit: quantity.RPM}, flatten.Machine.Value.Speed)
	assert.Equal(t, "cream", flatten.Mix.Value.Word.Name)
	assert.Equal(t, recipe.Charge{Every: minutes(1)}, flatten.Charge.Value)
	assert.Equal(t, "scrape slurry to its pot, scrub the plate, new bucket, new apron", flatten.CleanDown.Value)
	assert.Equal(t, recipe.Warn, flatten.Body[1].Kind)
	assert.Equal(t, trade.Warning, flatten.Body[1].Notice.Signal)
	assert.Equal(t, "both hands, and never a tilted landing: the plate throws the piece.", flatten.Body[1].Notice.Text)
	assert.Equal(t, "Marker twice", flatten.Body[2].Check.Test.Name)
	assert.Equal(t, "Ten-power", flatten.Body[3].Check.Test.Name)

	smooth := r.Steps[2]
	last := smooth.Body[len(smooth.Body)-1]
	require.Len(t, last.Check.Wrong, 1)
	assert.Equal(t, "no glow at all, or cloudy patches", prose.Words(last.Check.Wrong[0]))
	assert.Empty(t, last.Check.Right)
	assert.Equal(t, 2, smooth.ReturnTo.Value.Step)

	pre := r.Steps[3]
	assert.Equal(t, "FELT-P", pre.Medium.Value.Stock.Code)
	assert.Equal(t, recipe.Charge{Every: minutes(2), Last: minutes(2)}, pre.Charge.Value)
	assert.Equal(t, "mud", pre.Mix.Value.Word.Name)

	polish := r.Steps[4]
	require.Len(t, polish.Amount.Value, 1)
	assert.Equal(t, recipe.Amount{Value: quantity.Value{Amount: 8, Unit: quantity.Gram}, Of: "cerium oxide"}, polish.Amount.Value[0])
	assert.Equal(t, "T5", polish.Body[len(polish.Body)-1].Check.Tile)
	assert.False(t, polish.CleanDown.Written())

	wash := r.Steps[5]
	assert.True(t, wash.Every)
	require.Len(t, wash.Unmask, 1)
	assert.Equal(t, "dome", wash.Unmask[0].Name)
	assert.Equal(t, minutes(4), wash.Time.Value.Usual)
	assert.Equal(t, minutes(10), wash.Time.Value.Alone)
	assert.Equal(t, "T5", wash.Body[2].Check.Tile, "a tile named in the words")
	assert.False(t, wash.Abrasive.Written())
}

// Every place given says what it is the place of.
func TestExamplePlaces(t *testing.T) {
	r, _ := example1(t)
	assert.Equal(t, "---\nrecipe", r.Head.Text()[:10])
	assert.Equal(t, "\n---", r.Head.Text()[len(r.Head.Text())-4:])
	for i := range r.Steps {
		s := &r.Steps[i]
		assert.Equal(t, "## "+s.Title, s.All.Text()[:len(s.Title)+3])
		for _, f := range s.Facts {
			assert.Equal(t, f.Name, f.NameSpan.Text())
			assert.Equal(t, f.Value, f.Span.Text())
		}
		for _, e := range s.Body {
			assert.True(t, e.Span.Start >= s.All.Start && e.Span.End <= s.All.End)
			holds(t, e.Blocks, e.Span)
			if e.Kind == recipe.Check {
				assert.Equal(t, e.Check.Text, prose.Words(e.Check.Words))
				assert.Equal(t, "[ ] "+e.Check.Text, e.Check.Span.Text())
			}
		}
	}
	place := r.Steps[1].Machine.Span.Place()
	assert.Equal(t, 46, place.Line)
	assert.Equal(t, 12, place.Column)
	assert.Equal(t, "LAP3 at 150 rpm", r.Steps[1].Machine.Span.Text())
}

// Recipes are read by several hands at a time and come out the same.
func TestParserIsShared(t *testing.T) {
	p, err := quillfen()
	require.NoError(t, err)
	text := exampleText(t)
	want, _ := p.Parse(source.New("a.md", text))
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for range 20 {
				got, list := p.Parse(source.New("a.md", text))
				if len(list) > 0 || len(got.Steps) != len(want.Steps) || got.Steps[3].Title != want.Steps[3].Title {
					t.Error("read otherwise")
				}
			}
		})
	}
	wait.Wait()
}

// TestSoundWays writes the example's words in other sound ways: nothing is said
// of any of them.
func TestSoundWays(t *testing.T) {
	p, err := quillfen()
	require.NoError(t, err)
	sound := string(exampleText(t))
	for _, c := range [][2]string{
		{"- Charge: every 1 min", "- Charge: once"},
		{"- Charge: every 1 min", "- charge: Every 90 s, Last 3 min without"},
		{"- Time: 4 min\n- Bench: A", "- Time: 6 x 3 min\n- Bench: A"},
		{"- Time: 4 min\n- Bench: A", "- Time: 10–15–20 min + 3 h alone\n- Bench: A"},
		{"- Time: 4 min\n- Bench: A", "- Time: 3 h alone\n- Bench: A, back because the edges are masked"},
		{"- Mix: mud", "- Mix: 1 : 0.6 by volume"},
		{"- Mix: mud", "- Pressure: own weight\n- Depth: ½ mm"},
		{"- Mix: mud", "- Pressure: 40 N\n- Only if: the lamp shows a line"},
		{"- Water: drip", "- Water: flood, recirculated"},
		{"- Water: drip", "- Water: Drip, bucket"},
		{"- Surface: rim", "- **Surface**: rim and base"},
		{"- Surface: rim", "- **Surface:** `rim`"},
		{"- Surface: rim", "- Surface: Rim (rework: a chip from the saw)"},
		{"- Surface: rim", "* Surface: all"},
		{"- Mask: dome", "- Mask: base, rim, and dome"},
		{"- Mask: dome", "- Mask: all"},
		{"- Unmask: dome", "- Unmask: all"},
		{"- Clean-down: wash piece, hands and pad", "- clean down: wash piece,\n  *hands* and pad"},
		{"- Return to: Seam the rim and tape the dome", "- Return to: seam the rim"},
		{"- Amount: 8 g cerium oxide", "- Amount: 8 g cerium oxide, 20 ml water and 2 g of pumice"},
		{"all the way round", "all the way round -> Flatten"},
		{"all the way round", "all the way round\n  - Right: a soft edge\n  - Wrong: a white line"},
		{"- [ ] Thumbnail: no edge", "- [ ] Stop: a chip over 1 mm: the lead decides\n- [ ] no edge"},
		{"> Warning: both hands", "> **WARNING:** both hands"},
		{"> Warning: both hands", "> A plain word.\n\n> Warning: both hands"},
		{"1. Light hand, brush", "- Light hand, brush"},
		{"1. Light hand, brush", "- Water: never off while the pad turns, and brush"},
		{"Takes a sawn", "# Cast paperweight, base bright, dome left as it came\n\nTakes a sawn"},
		{"Takes a sawn", "> Notice: read it to the end.\n\nTakes a sawn"},
		{"# Notes", "Notes\n====="},
		{"from: \"sawn, diamond 100 mesh\"", "from: \"sawn with diamond 100 mesh, damage 40 µm, uneven 0.4 mm\""},
		{"from: fire polished", "from: fire-polished"},
		{"glass: soda-lime", "glass: unknown"},
		{"glass: soda-lime", "glass: soda-lime\ncoating: {kind: gilding, on: dome, capped: 3 mm}"},
		{"mould: removed", "count: 2, mass: 1.2 kg, hollow: true, wall: 6 mm, mould: still on"},
		{"size: 80 mm dia x 45 mm", "mass: 500 g"},
		{"stop: Bright", "accepted:\n  - {finding: grade-jump @ Smooth the base, reason: tried for a year, until: 2027-01-31}\nstop: Bright"},
	} {
		require.GreaterOrEqual(t, 1, strings.Count(sound, c[0]), c[0])
		require.Contains(t, sound, c[0])
		r, list := p.Parse(source.New("a.md", []byte(strings.Replace(sound, c[0], c[1], 1))))
		if c[1] == "- Water: never off while the pad turns, and brush" {
			// The name of a fact makes a fact of it: this one stands there twice.
			assert.Equal(t, []string{FactTwice}, rules(list), c[1])
			continue
		}
		assert.Empty(t, said(list), c[1])
		assert.Len(t, r.Steps, 6)
	}
}

// A sheet arrives as it was drawn on its faces and as it was cut on its edges.
func TestSheetArrives(t *testing.T) {
	p, err := quillfen()
	require.NoError(t, err)
	sound := string(exampleText(t))
	for _, c := range [][3]string{
		{"shape: arris, length: 250 mm, width: 1 mm, from: new", "from: new", "from: cut"},
		{"shape: arris, length: 250 mm, width: 1 mm, from: new", "from: new", "from: as cut"},
		{"shape: arris, length: 250 mm, width: 1 mm, from: new", "from: new", "from: scored"},
		{"shape: arris, length: 250 mm, width: 1 mm, from: new", "from: new", "from: float"},
		{"shape: arris, length: 250 mm, width: 1 mm, from: new", "from: new", "from: cut sheet"},
		{"shape: convex, from: fire polished", "from: fire polished", "from: float"},
		{"shape: convex, from: fire polished", "from: fire polished", "from: cut sheet"},
	} {
		require.Contains(t, sound, c[0])
		text := strings.Replace(sound, c[0], strings.Replace(c[0], c[1], c[2], 1), 1)
		r, list := p.Parse(source.New("a.md", []byte(text)))
		require.Empty(t, said(list), c[2])
		s, how := r.Surfaces[1], "cut"
		if strings.Contains(c[0], "convex") {
			s, how = r.Surfaces[2], "fire polished"
		}
		assert.Equal(t, how, s.From.Value.How, c[2])
		assert.Equal(t, strings.TrimPrefix(c[2], "from: "), s.From.Value.Words)
		assert.Nil(t, s.From.Value.Abrasive.Family)
		assert.False(t, s.From.Value.Damage.Written(), "no figure is made up for it")
	}
}

// What the other ways mean.
func TestOtherWaysMean(t *testing.T) {
	p, err := quillfen()
	require.NoError(t, err)
	text := strings.NewReplacer(
		"- Time: 4 min\n- Bench: A", "- Time: 6 x 3 min + 2 h alone\n- Bench: C, back because the rim is seamed",
		"- Surface: rim", "- Surface: base and rim (rework: a chip)",
		"- Mask: dome", "- Mask: all",
		"- Mix: mud", "- Mix: 1 : ½ by volume",
		"- Water: drip", "- Water: flood, recirculated, bucket",
		"- Unmask: dome", "- Unmask: all",
		"- Charge: every 1 min", "- Charge: once\n- Pressure: 4 kgf",
		"all the way round", "all the way round -> Polish\n  - Right: a soft edge",
		"from: \"sawn, diamond 100 mesh\"", "from: \"sawn with diamond 100 mesh, damage 40 µm, uneven 0.4 mm\"",
		"> Warning: both hands, and", "> Warning: both hands.\n> Caution: wet floor, and",
		"glass: soda-lime", "glass: Unknown",
	).Replace(string(exampleText(t)))
	r, list := p.Parse(source.New("a.md", []byte(text)))
	require.Empty(t, said(list))
	seam := r.Steps[0]
	assert.Equal(t, recipe.Time{Low: minutes(18), Usual: minutes(18), High: minutes(18), Times: 6, Alone: quantity.Value{Amount: 2, Unit: quantity.Hour}}, seam.Time.Value)
	assert.Equal(t, "the rim is seamed", seam.Bench.Value.Because)
	assert.Equal(t, "C", seam.Bench.Value.Bench.Name)
	require.Len(t, seam.Surfaces, 2)
	assert.Equal(t, "base", seam.Surfaces[0].Span.Text())
	assert.Equal(t, "rim", seam.Surfaces[1].Span.Text())
	assert.Equal(t, "a chip", seam.Rework)
	assert.Len(t, seam.Mask, 3)
	check := seam.Body[len(seam.Body)-1].Check
	assert.Equal(t, "Thumbnail: no edge catches it, all the way round", check.Text)
	assert.Equal(t, recipe.Return{Title: "Polish", Step: 5}, check.Return.Value)
	assert.Equal(t, "Polish", check.Return.Span.Text())
	assert.Equal(t, "a soft edge", prose.Words(check.Right[0]))
	flatten := r.Steps[1]
	assert.True(t, flatten.Water.Value.Recirculated)
	assert.True(t, flatten.Water.Value.Bucket)
	assert.True(t, flatten.Charge.Value.Once)
	assert.Equal(t, quantity.Value{Amount: 4, Unit: quantity.KilogramForce}, flatten.Pressure.Value.Value)
	assert.Equal(t, "both hands.", flatten.Body[1].Notice.Text)
	assert.Equal(t, trade.Caution, flatten.Body[2].Notice.Signal)
	assert.Equal(t, "wet floor, and never a tilted landing: the plate throws the piece.", flatten.Body[2].Notice.Text)
	assert.Equal(t, recipe.Mix{Powder: 1, Water: 0.5}, r.Steps[3].Mix.Value)
	assert.True(t, r.Steps[5].UnmaskAll)
	from := r.Surfaces[0].From.Value
	assert.Equal(t, quantity.Value{Amount: 40, Unit: quantity.Micrometre}, from.Damage)
	assert.Equal(t, mm(0.4), from.Uneven)
	assert.Equal(t, "100 mesh", from.Abrasive.Grade.Label)
	assert.True(t, r.GlassUnknown)
	assert.True(t, r.Glass.Written())
}
