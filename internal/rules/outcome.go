package rules

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"sync"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/process"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

//go:embed outcome.yaml
var outcomeText []byte

// leaves is what a last step of one kind leaves.
type leaves struct {
	work               trade.Work
	laps               []trade.LapClass
	bonds              []trade.Bond // nil for every bond
	upTo               float64      // µm; 0 without a limit
	brightest, dullest string
	source             trade.Source
}

// betterVariant says which of two variants of a medium suits a powder.
type betterVariant struct {
	family, medium, better, than, because string
	source                                trade.Source
}

// outcome is the table of what steps leave and of how grains are told apart.
type outcome struct {
	leaves    []leaves
	reachedBy map[string]string
	gives     map[trade.Bond]float64
	// sameSize is a share of the size, largeFace an area in cm², across how
	// many times coarser a grain of another lap class must be, wide how many
	// times finer one of the same may be.
	sameSize, largeFace, across, wide float64
	// cerium are the coarsest grains cerium may follow; only laps, bonds and upTo
	// are set.
	cerium []leaves
	// pumiceOn is what pumice runs on by the kind of machine.
	pumiceOn map[string]string
	variants []betterVariant
	// mohs is how hard a glass is, "" for every other; softer how much harder a
	// grain must be.
	mohs   map[string]float64
	softer float64
}

// outcomes reads the table once.
var outcomes = sync.OnceValue(func() *outcome {
	o, report := readOutcome(source.New("outcome.yaml", outcomeText))
	if len(report) > 0 {
		panic(fmt.Sprintf("outcome.yaml: %s %s", report[0].Message, report[0].Span.Text()))
	}
	return o
})

func readOutcome(f *source.File) (*outcome, diag.List) {
	r := tableReader{}
	o := &outcome{
		reachedBy: map[string]string{}, gives: map[trade.Bond]float64{}, mohs: map[string]float64{}, pumiceOn: map[string]string{},
	}
	top := keys.Read(f, 0, len(f.Text), &r.report).Fields("the table", []string{
		"leaves", "reached by", "soft bonds", "coarser across", "same size", "large face", "better variant", "glass hardness", "softer grain",
		"before cerium", "wide step", "pumice on",
	}, &r.report)
	for _, row := range r.rows(top.Get("leaves"), "work", "laps", "bonds", "up to", "brightest", "dullest", "source") {
		l := leaves{
			work: trade.Work(r.text(row, "work")), laps: namesIn[trade.LapClass](row.Get("laps")), upTo: r.number(row, "up to"),
			brightest: r.text(row, "brightest"), dullest: r.text(row, "dullest"), source: trade.Source(r.text(row, "source")),
		}
		l.bonds = namesIn[trade.Bond](row.Get("bonds"))
		o.leaves = append(o.leaves, l)
	}
	for _, row := range r.rows(top.Get("before cerium"), "laps", "bonds", "up to", "source") {
		o.cerium = append(o.cerium, leaves{laps: namesIn[trade.LapClass](row.Get("laps")), bonds: namesIn[trade.Bond](row.Get("bonds")), upTo: r.number(row, "up to"), source: trade.Source(r.text(row, "source"))})
	}
	for _, row := range r.rows(top.Get("wide step"), "times", "source") {
		o.wide = r.number(row, "times")
	}
	for _, row := range r.rows(top.Get("pumice on"), "machine", "medium", "source") {
		o.pumiceOn[r.text(row, "machine")] = r.text(row, "medium")
	}
	for _, row := range r.rows(top.Get("reached by"), "finish", "by", "source") {
		o.reachedBy[r.text(row, "finish")] = r.text(row, "by")
	}
	for _, row := range r.rows(top.Get("coarser across"), "times", "source") {
		o.across = r.number(row, "times")
	}
	for _, row := range r.rows(top.Get("soft bonds"), "bond", "gives", "source") {
		o.gives[trade.Bond(r.text(row, "bond"))] = r.number(row, "gives")
	}
	for _, row := range r.rows(top.Get("same size"), "share", "source") {
		o.sameSize = r.number(row, "share")
	}
	for _, row := range r.rows(top.Get("large face"), "area", "source") {
		o.largeFace = r.number(row, "area")
	}
	for _, row := range r.rows(top.Get("better variant"), "family", "medium", "better", "than", "because", "source") {
		o.variants = append(o.variants, betterVariant{
			family: r.text(row, "family"), medium: r.text(row, "medium"), better: r.text(row, "better"),
			than: r.text(row, "than"), because: r.text(row, "because"), source: trade.Source(r.text(row, "source")),
		})
	}
	for _, row := range r.rows(top.Get("glass hardness"), "glass", "mohs", "source") {
		o.mohs[row.Get("glass").Text()] = r.number(row, "mohs")
	}
	for _, row := range r.rows(top.Get("softer grain"), "margin", "source") {
		o.softer = r.number(row, "margin")
	}
	return o, r.report
}

// tableReader reads rows of a table and keeps what is wrong with them.
type tableReader struct{ report diag.List }

func (r *tableReader) rows(v keys.Value, known ...string) []keys.Fields {
	var rows []keys.Fields
	for _, one := range v.List() {
		rows = append(rows, one.Fields("the row", known, &r.report))
	}
	return rows
}

func (r *tableReader) text(row keys.Fields, key string) string {
	v := row.Get(key)
	if v.Text() == "" {
		r.report.Add(diag.Diagnostic{Message: "The row has no " + key + ".", Span: row.Span()})
	}
	return v.Text()
}

func (r *tableReader) number(row keys.Fields, key string) float64 {
	v := row.Get(key)
	if v.Kind() == keys.Missing {
		return 0
	}
	n, err := strconv.ParseFloat(v.Text(), 64)
	if err != nil {
		r.report.Add(diag.Diagnostic{Message: "This is no number.", Span: v.Span()})
	}
	return n
}

// namesIn are the members of a list of the table, nil where it has none.
func namesIn[T ~string](v keys.Value) []T {
	var all []T
	for _, one := range v.List() {
		all = append(all, T(one.Text()))
	}
	return all
}

// of is the row for a work on a surface; nil where the table has none.
func (o *outcome) of(w *process.Work) *leaves {
	if w.Abrasive.Family == nil {
		return nil
	}
	// A saw or a core drill may have no grade; it leaves what coarse grain does.
	coarse := w.Grain == 0 && w.Abrasive.Tool != nil && w.Abrasive.Tool.Cutting
	for i := range o.leaves {
		l := &o.leaves[i]
		if l.work != w.Abrasive.Family.Work || !slices.Contains(l.laps, w.Class) || l.bonds != nil && !slices.Contains(l.bonds, w.Abrasive.Bond) {
			continue
		}
		if l.upTo == 0 || w.Grain <= l.upTo && !coarse {
			return l
		}
	}
	return nil
}

// ranks are the ranks of the brightest and the dullest finish a work leaves;
// false where nothing is known of it.
func (o *outcome) ranks(h *trade.House, w *process.Work) (brightest, dullest *trade.Finish, ok bool) {
	l := o.of(w)
	if l == nil {
		return nil, nil, false
	}
	brightest, dullest = h.FindFinish(l.brightest), h.FindFinish(l.dullest)
	return brightest, dullest, brightest != nil && dullest != nil
}

// forCerium says whether cerium may follow a grain held in a bond on a lap
// without pumice between.
func (o *outcome) forCerium(lap trade.LapClass, bond trade.Bond, grain float64) bool {
	for i := range o.cerium {
		if l := &o.cerium[i]; slices.Contains(l.laps, lap) && (l.bonds == nil || slices.Contains(l.bonds, bond)) {
			return grain <= l.upTo
		}
	}
	return true
}

// pumiceMedium is what pumice runs on at a kind of machine.
func (o *outcome) pumiceMedium(kind *trade.MachineKind) string {
	if kind != nil && o.pumiceOn[kind.Name] != "" {
		return o.pumiceOn[kind.Name]
	}
	return "felt pad"
}
