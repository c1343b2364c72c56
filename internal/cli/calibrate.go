package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"coldwright/internal/quantity"
	"coldwright/internal/report"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// benchNote is what was measured at the bench, as it was written behind the
// options.
type benchNote struct {
	stock, medium, machine, glass string
	area, pressure, speed         string
	before, after, time           string
	lamp, damage, spent, cleared  string
	by                            string
	write                         bool
}

// weighExample is the worked example that help and a wrong line show.
const weighExample = `coldwright calibrate --stock S220 --medium "iron lap" --machine IRON --glass soda-lime --speed "75 rpm" --pressure "40 N" --area "50 cm²" --before "1520.42 g" --after "1519.20 g" --time "8 min" recipes`

func (e *env) calibrateCommand() *cobra.Command {
	var n benchNote
	cmd := &cobra.Command{
		Use:   "calibrate [PATH]",
		Short: "Turn a bench measurement into the shop-file lines that carry it",
		Long: `Calibrate takes what was measured at the bench (the piece weighed before and
after a timed step, the angle up to which a lamp shows in the dry face, the depth
of damage, the minutes until a charge is spent or until cerium has taken the last
grey away), says what it means, prints the line that carries it in the shop file,
and shows what it changes in the house's recipes.

Where two measurements say the same of how they were made, the later one counts;
both stay in the file. Nothing is written without --write.

PATH is the house or a recipe in it; without one it is the house around this
folder.`,
		Example: example(
			`coldwright calibrate --stock S220 --medium "iron lap" --machine IRON \`,
			`  --glass soda-lime --speed "75 rpm" --pressure "40 N" --area "50 cm²" \`,
			`  --before "1520.42 g" --after "1519.20 g" --time "8 min" recipes`,
			`coldwright calibrate --stock R325 --machine LAP4 --lamp 18° recipes`),
		RunE: func(_ *cobra.Command, args []string) error { return e.calibrate(args, n) },
	}
	flags := cmd.Flags()
	flags.SortFlags = false
	flags.StringVar(&n.stock, "stock", "", "the `CODE` of the abrasive in the shop file")
	flags.StringVar(&n.medium, "medium", "", "the `MEDIUM` that carried it, a code or words")
	flags.StringVar(&n.machine, "machine", "", "the `MACHINE`, a code or words")
	flags.StringVar(&n.glass, "glass", "", "the `GLASS`, such as soda-lime")
	flags.StringVar(&n.speed, "speed", "", "the `SPEED` it ran at, such as \"75 rpm\"")
	flags.StringVar(&n.pressure, "pressure", "", "the `FORCE` on the face, such as \"40 N\", or a pressure")
	flags.StringVar(&n.area, "area", "", "the `AREA` of all the glass that was worked, such as \"50 cm²\"")
	flags.StringVar(&n.before, "before", "", "the `WEIGHT` of the dry piece before, such as \"1520.42 g\"")
	flags.StringVar(&n.after, "after", "", "its `WEIGHT` afterwards")
	flags.StringVar(&n.time, "time", "", "the `TIME` it was worked, such as \"8 min\"")
	flags.StringVar(&n.lamp, "lamp", "", "the `ANGLE` up to which a lamp's outline shows in the dry face, such as 18°")
	flags.StringVar(&n.damage, "damage", "", "the `DEPTH` of the damage it leaves, such as \"40 µm\"")
	flags.StringVar(&n.spent, "spent-after", "", "the `TIME` after which a charge goes quiet, such as \"4 min\"")
	flags.StringVar(&n.cleared, "cleared-after", "", "the `TIME` on cerium until the last grey of it was gone, such as \"9 min\"")
	flags.StringVar(&n.by, "by", "", "the `ROLE` of who measured, such as \"bench hand\"")
	flags.BoolVar(&n.write, "write", false, "write the line into the shop file")
	flags.StringVar(&e.today, "today", "", "the day it was measured, `YYYY-MM-DD` (default: today)")
	return cmd
}

// missing is what a bench note lacks before it can mean anything.
func (n *benchNote) missing() string {
	var lacks []string
	want := func(option, value string) {
		if strings.TrimSpace(value) == "" {
			lacks = append(lacks, option)
		}
	}
	want("--stock", n.stock)
	want("--machine", n.machine)
	weighs := n.before+n.after != ""
	if weighs || n.lamp+n.damage+n.spent+n.cleared == "" {
		if !weighs && len(lacks) == 0 {
			return "calibrate needs something that was measured: --before and --after with --time, --area and --glass, or --lamp, --damage, --spent-after or --cleared-after"
		}
		if weighs {
			for _, o := range [][2]string{{"--before", n.before}, {"--after", n.after}, {"--time", n.time}, {"--area", n.area}, {"--glass", n.glass}} {
				want(o[0], o[1])
			}
		}
	}
	if len(lacks) == 0 {
		return ""
	}
	last := lacks[len(lacks)-1]
	if len(lacks) > 1 {
		last = strings.Join(lacks[:len(lacks)-1], ", ") + " and " + last
	}
	return "calibrate needs " + last
}

// bench is a bench note read: the measurement, and what was weighed.
type bench struct {
	trade.Measured
	stock *trade.Stock
	glass *trade.Glass
	// lossG in g and minutes where the piece was weighed, removedUM what that is.
	lossG, minutes, removedUM float64
}

// read turns the words behind the options into a measurement, by the rules the
// shop file itself is read by.
func (n *benchNote) read(h *trade.House, day string) (*bench, error) {
	if lack := n.missing(); lack != "" {
		return nil, usagef("%s; for example\n  %s", lack, weighExample)
	}
	b := &bench{stock: h.FindStock(n.stock)}
	if b.stock == nil {
		return nil, usagef("--stock: %q is no line of the house's stock; coldwright calibrate takes a code the shop file has", n.stock)
	}
	m := &b.Measured
	m.Stock, m.Dated, m.By = b.stock.Code, day, strings.TrimSpace(n.by)
	if strings.ContainsAny(n.by, "\r\n") {
		return nil, usagef("--by takes a few words on one line, such as \"bench hand\"")
	}
	medium, machine := strings.TrimSpace(n.medium), strings.TrimSpace(n.machine)
	if m.Medium = h.MediumCited(medium); m.Medium == "" && medium != "" {
		return nil, usagef("--medium: %q is no medium of the house nor one that is known", n.medium)
	}
	if medium == "" && b.stock.Abrasive.Bond == trade.Loose {
		return nil, usagef("calibrate needs --medium: %s is loose grain, and what it does hangs on what carries it; for example\n  %s", b.stock.Code, weighExample)
	}
	if m.Machine = h.MachineCited(machine); m.Machine == "" {
		return nil, usagef("--machine: %q is no machine of the house nor a kind that is known", n.machine)
	}
	if g := strings.TrimSpace(n.glass); g != "" {
		if b.glass = h.FindGlass(g); b.glass == nil {
			help, known := h.GlassHelp(g)
			if !known {
				help = "Write a glass that is known, such as soda-lime."
			}
			return nil, usagef("--glass: %q is no glass that is known. %s", n.glass, help)
		}
		m.Glass = b.glass.Name
	}
	var before, after, minutes quantity.Value
	for _, one := range []struct {
		option, text string
		into         *quantity.Value
		kinds        []quantity.Kind
	}{
		{"--area", n.area, &m.Area, []quantity.Kind{quantity.Area}},
		{"--pressure", n.pressure, &m.Pressure, []quantity.Kind{quantity.Force, quantity.Pressure}},
		{"--speed", n.speed, &m.Speed, []quantity.Kind{quantity.Rotation, quantity.Speed}},
		{"--before", n.before, &before, []quantity.Kind{quantity.Mass}},
		{"--after", n.after, &after, []quantity.Kind{quantity.Mass}},
		{"--time", n.time, &minutes, []quantity.Kind{quantity.Time}},
		{"--lamp", n.lamp, &m.Lamp, []quantity.Kind{quantity.Angle}},
		{"--damage", n.damage, &m.Damage, []quantity.Kind{quantity.Length}},
		{"--spent-after", n.spent, &m.SpentAfter, []quantity.Kind{quantity.Time}},
		{"--cleared-after", n.cleared, &m.ClearedAfter, []quantity.Kind{quantity.Time}},
	} {
		if one.text == "" {
			continue
		}
		v, err := quantity.Parse(one.text, h.Numbers, one.kinds...)
		if err != nil {
			return nil, usagef("%s: %s", one.option, strings.TrimSpace(err.Message+" "+err.Help))
		}
		if !(v.Amount > 0) {
			return nil, usagef("%s: %s is nothing that can be measured.", one.option, v)
		}
		*one.into = v
	}
	if m.Lamp.Written() && m.Lamp.In(quantity.Degree) >= 90 {
		return nil, usagef("--lamp: A lamp that shows head-on says that the face is smooth, not how smooth; nothing can be learnt from it.")
	}
	if m.Damage.Written() && m.Lamp.Written() || m.Damage.Written() && m.ClearedAfter.Written() || m.Lamp.Written() && m.ClearedAfter.Written() {
		return nil, usagef("--lamp, --damage and --cleared-after each say how deep the damage goes; write one of them in one note.")
	}
	b.minutes = minutes.In(quantity.Minute)
	if before.Written() {
		return b, b.weigh(before, after, minutes)
	}
	return b, nil
}

// weigh is the rate that a loss of weight means.
func (b *bench) weigh(before, after, minutes quantity.Value) error {
	b.lossG = before.In(quantity.Gram) - after.In(quantity.Gram)
	switch {
	case b.lossG < 0:
		return usagef("The piece weighs more after (%s) than before (%s): no step puts glass on. Are the two swapped, or was it weighed wet?", after, before)
	case b.lossG == 0:
		return usagef("The piece weighs as much after as before (%s): nothing came off that the scale can see. Work longer, or weigh finer.", before)
	}
	um, err := wear.RemovedByWeightUM(b.lossG, b.Area.In(quantity.SquareMetre), b.glass.Density)
	if err == nil && (um > wear.MostDepthUM/10 || b.minutes > wear.MostMinutes || b.minutes < 1e-3) {
		err = errors.New("out of bounds")
	}
	if err != nil {
		return usagef("%s g off %s in %s cannot be: look at the weights, the area and the time.", quantity.Format(b.lossG, 3), b.Area, minutes)
	}
	b.removedUM = um
	// Three figures: no scale and no clock at a bench are better.
	text := quantity.Format(um/b.minutes, 3)
	v, problem := quantity.Parse(text+" µm/min", quantity.Options{}, quantity.Rate)
	if problem != nil {
		return usagef("%s", problem.Message)
	}
	b.Rate = v
	return nil
}

func (e *env) calibrate(args []string, n benchNote) error {
	path := "."
	switch {
	case len(args) == 1:
		path = args[0]
	case len(args) > 1:
		return usagef("calibrate takes one house; %d were named", len(args))
	}
	if path == "-" {
		return usagef("calibrate takes a house, not standard input")
	}
	day, err := e.day()
	if err != nil {
		return err
	}
	if _, err := os.Stat(path); err != nil {
		return readError(path, err)
	}
	h, err := e.openHouse(path)
	if err != nil {
		return err
	}
	if h.File == nil {
		if e.status == Unreadable {
			return nil // a shop file by another name: said already
		}
		return fmt.Errorf("there is no %s in %s or above it: a measurement is kept in the shop file of a house", shopFile, filepath.ToSlash(path))
	}
	note, err := n.read(h.House, day.String())
	if err != nil {
		return err
	}
	means, err := note.meaning(h.House)
	if err != nil {
		return err
	}
	var page strings.Builder
	for _, line := range means {
		page.WriteString(report.Paragraph(line, ""))
	}
	fmt.Fprintf(&page, "\nFor %s:\n\nmeasured:\n  - %s\n\n", h.File.Name, note.Line(h.Numbers))
	text, addErr := []byte(nil), error(nil)
	again := h.holds(note.Measured)
	if !again {
		if text, addErr = trade.AddMeasured(h.File, note.Measured); addErr != nil {
			addErr = notAdded(h.File.Name, addErr)
		}
	}
	changes, err := e.changes(h, note.Measured)
	if err != nil {
		return err
	}
	page.WriteString(changes)
	page.WriteByte('\n')
	switch {
	case again:
		page.WriteString(report.Paragraph("The shop file has this measurement already, so there is nothing to write.", ""))
	case addErr != nil:
		if !n.write {
			page.WriteString(report.Paragraph(capitalised(addErr.Error())+".", ""))
		}
	case !n.write:
		page.WriteString(report.Paragraph("Nothing was written; --write adds the line to the shop file.", ""))
	}
	if !e.quiet {
		if _, err := fmt.Fprint(e.out, page.String()); err != nil {
			return fmt.Errorf("the measurement could not be written out: %s", because(err))
		}
	}
	if !n.write || again {
		return nil
	}
	if addErr != nil {
		return addErr
	}
	if err := rewrite(h.File.Name, h.File.Text, text); err != nil {
		return err
	}
	if !e.quiet {
		fmt.Fprintf(e.out, "Written to %s.\n", h.File.Name)
	}
	return nil
}

// rewrite writes a file whole over the one that was read, unless somebody else
// has changed it meanwhile. A link stays a link, and the file keeps its mode.
func rewrite(name string, had, text []byte) error {
	if real, err := filepath.EvalSymlinks(name); err == nil {
		name = real
	}
	now, err := readText(name)
	if err != nil {
		return err
	}
	if !bytes.Equal(now, had) {
		return fmt.Errorf("%s was changed while it was read; nothing was written", filepath.ToSlash(name))
	}
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(name); err == nil {
		mode = info.Mode().Perm()
		if mode&0o200 == 0 {
			return writeError(name, fs.ErrPermission)
		}
	}
	if err := writeWhole(name, text); err != nil {
		return err
	}
	if err := os.Chmod(name, mode); err != nil {
		return writeError(name, err)
	}
	return nil
}

// notAdded says why a line cannot be added, and what to do instead.
func notAdded(name string, err error) error {
	if errors.Is(err, trade.ErrByHand) {
		return fmt.Errorf("%s was left as it is: %w. Add the line by hand", name, err)
	}
	return fmt.Errorf("%s was left as it is: %s", name, strings.TrimRight(err.Error(), "."))
}

// holds says whether the house has the very measurement already.
func (h *house) holds(m trade.Measured) bool {
	for _, have := range h.Measured {
		if have.Same(m) {
			return true
		}
	}
	return false
}
