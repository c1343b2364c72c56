package grade

import (
	"embed"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// The tables are plain text that a glassworker could correct: one line a
// grade, with the source of its figures at the end.
//
//go:embed tables/*.csv
var files embed.FS

// ScaleInfo says what a scale is and how far its figures can be trusted.
type ScaleInfo struct {
	Scale Scale
	// Name is what the scale grades, Short the same in few words.
	Name, Short string
	// Standard cites where it comes from; Method says how its sizes are
	// measured, Limits what low and high mean, Standing what they rest on.
	Standard, Method, Limits, Standing string
	// Note is what a reader must know before comparing.
	Note string

	label   string
	written []pattern
}

// pattern is a way to write a grade of a scale, in canonical letters: what
// stands before and after the number.
type pattern struct{ before, after string }

// table is one scale with its grades, coarse to fine.
type table struct {
	info   ScaleInfo
	grades []Grade
	// number finds a grade by its number alone.
	number map[string]int
}

// book is every scale, and every writing of every grade in canonical letters.
type book struct {
	scales  []*table
	byScale map[Scale]*table
	written map[string]Grade
	longest int
}

var all = mustLoad()

// mustLoad reads the embedded tables, which a test reads first: a broken one
// stops the program at once.
func mustLoad() *book {
	b, err := load()
	if err != nil {
		panic("grade tables: " + err.Error())
	}
	return b
}

func load() (*book, error) {
	b := &book{byScale: map[Scale]*table{}, written: map[string]Grade{}}
	err := eachRow("scales.csv", func(row map[string]string) error {
		t := &table{number: map[string]int{}, info: ScaleInfo{
			Scale: Scale(row["scale"]), Name: row["name"], Short: row["short"], Standard: row["standard"], Method: row["method"],
			Limits: row["limits"], Standing: row["standing"], Note: row["note"], label: row["label"],
		}}
		for _, w := range split(row["written"]) {
			before, after, _ := strings.Cut(w, "%")
			t.info.written = append(t.info.written, pattern{key(before), key(after)})
		}
		b.scales = append(b.scales, t)
		b.byScale[t.info.Scale] = t
		if row["file"] == "" {
			return nil
		}
		if err := eachRow(row["file"], func(r map[string]string) error { return b.add(t, r) }); err != nil {
			return err
		}
		t.sort()
		return nil
	})
	if err != nil {
		return nil, err
	}
	return b, b.pairs()
}

// add puts one line of a table into it.
func (b *book) add(t *table, row map[string]string) error {
	n := row["grade"]
	g := Grade{
		Scale: t.info.Scale, Label: strings.Replace(t.info.label, "%", n, 1),
		Method: row["method"], Basis: row["basis"], Source: row["source"], Standing: row["standing"],
	}
	var err error
	if g.Size, err = strconv.ParseFloat(row["size"], 64); err != nil || g.Size <= 0 {
		return fmt.Errorf("%s has no size", g.Label)
	}
	for _, limit := range []struct {
		to   *float64
		from string
	}{{&g.Low, row["low"]}, {&g.High, row["high"]}} {
		if limit.from == "" {
			continue
		}
		if *limit.to, err = strconv.ParseFloat(limit.from, 64); err != nil {
			return fmt.Errorf("the limits of %s are no numbers", g.Label)
		}
	}
	if g.Scale == Pumice {
		g.Order = len(t.grades) + 1
	}
	t.grades = append(t.grades, g)
	numbers := append([]string{n}, split(row["also"])...)
	for _, n := range numbers {
		if _, twice := t.number[key(n)]; twice {
			return fmt.Errorf("%s stands twice on %s", n, g.Scale)
		}
		t.number[key(n)] = len(t.grades) - 1
		for _, p := range t.info.written {
			if err := b.write(key(p.before+key(n)+p.after), g); err != nil {
				return err
			}
		}
	}
	return nil
}

// write makes a writing known. A number alone is none.
func (b *book) write(as string, g Grade) error {
	if figures(as) {
		return nil
	}
	if other, twice := b.written[as]; twice {
		return fmt.Errorf("%s is written as %s already", g.Label, other.Label)
	}
	b.written[as] = g
	b.longest = max(b.longest, len(as))
	return nil
}

// pairs makes the pairs of sieves known that diamond lies between, as in
// 325/400 mesh: the upper and the lower opening of each D size, looked up
// among the sieves.
func (b *book) pairs() error {
	sieve := map[float64]string{}
	for n, i := range b.byScale[Sieve].number {
		sieve[b.byScale[Sieve].grades[i].Size] = n
	}
	for _, g := range b.byScale[FEPAD].grades {
		upper, lower := sieve[g.High], sieve[g.Low]
		if upper == "" || lower == "" {
			return fmt.Errorf("%s lies between no two sieves", g.Label)
		}
		g.Label = upper + "/" + lower + " mesh"
		if err := b.write(key(g.Label), g); err != nil {
			return err
		}
	}
	return nil
}

// sort puts the grades coarse to fine.
func (t *table) sort() {
	was := slices.Clone(t.grades)
	slices.SortStableFunc(t.grades, func(a, b Grade) int {
		switch {
		case a.Order != b.Order:
			return b.Order - a.Order
		case a.Size > b.Size:
			return -1
		case a.Size < b.Size:
			return 1
		}
		return 0
	})
	at := map[string]int{}
	for i, g := range t.grades {
		at[g.Label] = i
	}
	for n, i := range t.number {
		t.number[n] = at[was[i].Label]
	}
}

// eachRow reads a table line by line, by the names in its first line.
func eachRow(file string, do func(row map[string]string) error) error {
	f, err := files.Open("tables/" + file)
	if err != nil {
		return err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	head, err := r.Read()
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	for {
		cells, err := r.Read()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
		row := make(map[string]string, len(head))
		for i, name := range head {
			row[name] = cells[i]
		}
		if err := do(row); err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
	}
}

// split parts a cell that holds several values.
func split(cell string) []string {
	if cell == "" {
		return nil
	}
	return strings.Split(cell, "|")
}

// Scales are all scales, in the order they are shown.
func Scales() []ScaleInfo {
	list := make([]ScaleInfo, len(all.scales))
	for i, t := range all.scales {
		list[i] = t.info
	}
	return list
}

// Info says what a scale is.
func Info(s Scale) (ScaleInfo, bool) {
	if t := all.byScale[s]; t != nil {
		return t.info, true
	}
	return ScaleInfo{}, false
}

// All are the grades of a scale, coarse to fine; none of Micron, which is not
// a table.
func All(s Scale) []Grade {
	if t := all.byScale[s]; t != nil {
		return slices.Clone(t.grades)
	}
	return nil
}
