package cli

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"strconv"

	"coldwright/internal/process"
	"coldwright/internal/wear"
)

// figure is a number with the six significant figures that files carry; one
// that is none is null.
type figure float64

func (f figure) text() string {
	if math.IsNaN(float64(f)) || math.IsInf(float64(f), 0) {
		return ""
	}
	short, _ := strconv.ParseFloat(strconv.FormatFloat(float64(f), 'e', 5, 64), 64)
	return strconv.FormatFloat(short, 'f', -1, 64)
}

// MarshalJSON writes the figure as a number.
func (f figure) MarshalJSON() ([]byte, error) {
	if t := f.text(); t != "" {
		return []byte(t), nil
	}
	return []byte("null"), nil
}

type jsonReckoning struct {
	Recipe   string        `json:"recipe"`
	Revision int           `json:"revision"`
	Surfaces []jsonSurface `json:"surfaces"`
	Totals   jsonTotals    `json:"totals"`
	Mixes    []jsonMix     `json:"mixes,omitempty"`
}

type jsonSurface struct {
	Name    string     `json:"name"`
	From    string     `json:"from"`
	To      string     `json:"to"`
	Reached bool       `json:"reached"`
	Finish  string     `json:"finish"`
	Steps   []jsonStep `json:"steps"`
	Cannot  string     `json:"cannot,omitempty"`
}

type jsonStep struct {
	Step       string  `json:"step"`
	Number     int     `json:"number"`
	Abrasive   string  `json:"abrasive"`
	Grain      figure  `json:"grain_um"`
	GrainEnd   figure  `json:"grain_end_um"`
	Minutes    figure  `json:"minutes"`
	Pressure   figure  `json:"pressure_pa"`
	Speed      figure  `json:"speed_ms"`
	Rate       figure  `json:"rate_um_min"`
	Removed    figure  `json:"removed_um"`
	DamageLow  figure  `json:"damage_low_um"`
	Damage     figure  `json:"damage_um"`
	DamageHigh figure  `json:"damage_high_um"`
	Rt         figure  `json:"rt_um"`
	Rq         figure  `json:"rq_um"`
	Lamp       figure  `json:"lamp_deg"`
	HazeDry    figure  `json:"haze_dry"`
	HazeWet    figure  `json:"haze_wet"`
	Clears     string  `json:"clears"`
	Expected   *figure `json:"minutes_expected"`
	Safe       *figure `json:"minutes_safe"`
	Finish     string  `json:"finish"`
	Basis      string  `json:"basis"`
	Cannot     string  `json:"cannot,omitempty"`
}

type jsonTotals struct {
	Attended figure            `json:"attended_min"`
	Alone    figure            `json:"alone_min"`
	Abrasive map[string]figure `json:"abrasive_g"`
	Water    figure            `json:"water_l"`
	Cost     map[string]figure `json:"cost"`
}

type jsonWhatIf struct {
	Change     string        `json:"change"`
	Difference string        `json:"difference"`
	Original   jsonReckoning `json:"original"`
	Changed    jsonReckoning `json:"changed"`
}

// minutesOf is a number of minutes; null where nothing is asked or they never
// come.
func minutesOf(n wear.Needed) *figure {
	if n.Reach != wear.Reached {
		return nil
	}
	f := figure(n.Minutes)
	return &f
}

func finishWord(f wear.Finish) string {
	if f == 0 {
		return ""
	}
	return f.String()
}

func asJSON(r *process.Reckoning) jsonReckoning {
	rec := r.Plan.Recipe
	out := jsonReckoning{Recipe: rec.ID.Value, Revision: rec.Revision.Value, Surfaces: make([]jsonSurface, 0, len(r.Surfaces))}
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		one := jsonSurface{
			Name: s.Surface.Name.Value, From: s.Surface.From.Value.Words, Reached: s.Reached, Finish: finishWord(s.Finish),
			Steps: make([]jsonStep, 0, len(s.Steps)), Cannot: s.Cannot,
		}
		if s.Surface.To.Value != nil {
			one.To = s.Surface.To.Value.Name
		}
		for n := range s.Steps {
			one.Steps = append(one.Steps, stepJSON(&s.Steps[n]))
		}
		out.Surfaces = append(out.Surfaces, one)
	}
	t := r.Totals
	out.Totals = jsonTotals{figure(t.Attended), figure(t.Alone), map[string]figure{}, figure(t.WaterL), map[string]figure{}}
	for _, a := range t.Amounts {
		out.Totals.Abrasive[a.What] = figure(a.Grams)
	}
	for currency, cost := range t.Cost {
		out.Totals.Cost[currency] = figure(cost)
	}
	return out
}

func stepJSON(st *process.StepReckoning) jsonStep {
	a := &st.Steps[0].Abrasive.Value
	words := a.Words
	if a.Grade.Written() {
		words += " " + a.Grade.Label
	}
	clears := ""
	if v := st.Verdict; v != wear.NothingHanded {
		clears = v.String()
	}
	return jsonStep{
		Step: title(st), Number: st.Steps[0].Number, Abrasive: words,
		Grain: figure(st.In.Grain.Value), GrainEnd: figure(st.Result.GrainEndUM), Minutes: figure(st.In.Minutes.Value),
		Pressure: figure(st.Result.PressurePa), Speed: figure(st.In.SpeedMS.Value), Rate: figure(st.Result.RateUMMin),
		Removed: figure(st.Result.RemovedUM), DamageLow: figure(st.After.DLowUM), Damage: figure(st.After.DUM), DamageHigh: figure(st.After.DHighUM),
		Rt: figure(st.After.RtUM), Rq: figure(st.RqUM), Lamp: figure(st.LampDeg), HazeDry: figure(st.HazeDry), HazeWet: figure(st.HazeWet),
		Clears: clears, Expected: minutesOf(st.Result.Expected), Safe: minutesOf(st.Result.Safe),
		Finish: finishWord(st.Finish), Basis: st.Basis.String(), Cannot: st.Cannot,
	}
}

// reckonJSON writes one recipe as one object and several as a list. Minutes,
// pressures and depths are those of one face.
func reckonJSON(w io.Writer, list []reckoned) error {
	var all []any
	for _, one := range list {
		as := asJSON(one.as)
		as.Mixes = mixJSON(one.as.Plan, one.mixL)
		if one.changed == nil {
			all = append(all, as)
			continue
		}
		changed := asJSON(one.changed)
		changed.Mixes = mixJSON(one.changed.Plan, one.mixL)
		all = append(all, jsonWhatIf{one.change, difference(one), as, changed})
	}
	var value any = all
	switch len(all) {
	case 0:
		value = []any{}
	case 1:
		value = all[0]
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(value)
}

var csvHeads = []string{
	"recipe", "revision", "version", "surface", "from", "to", "reached", "surface_finish", "step", "number", "abrasive", "grain_um", "grain_end_um",
	"minutes", "pressure_pa", "speed_ms", "rate_um_min", "removed_um", "damage_low_um", "damage_um", "damage_high_um", "rt_um", "rq_um", "lamp_deg",
	"haze_dry", "haze_wet", "clears", "minutes_expected", "minutes_safe", "finish", "basis", "cannot",
}

// reckonCSV writes one line for each step of each surface.
func reckonCSV(w io.Writer, list []reckoned) error {
	out := csv.NewWriter(w)
	if err := out.Write(csvHeads); err != nil {
		return err
	}
	for _, one := range list {
		if err := csvLines(out, one.as, "as written"); err != nil {
			return err
		}
		if one.changed != nil {
			if err := csvLines(out, one.changed, one.change); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

func csvLines(out *csv.Writer, r *process.Reckoning, version string) error {
	j := asJSON(r)
	for _, s := range j.Surfaces {
		head := []string{j.Recipe, strconv.Itoa(j.Revision), version, s.Name, s.From, s.To, strconv.FormatBool(s.Reached), s.Finish}
		for _, st := range s.Steps {
			line := append(head[:len(head):len(head)], st.Step, strconv.Itoa(st.Number), st.Abrasive)
			for _, f := range []figure{
				st.Grain, st.GrainEnd, st.Minutes, st.Pressure, st.Speed, st.Rate, st.Removed, st.DamageLow, st.Damage, st.DamageHigh,
				st.Rt, st.Rq, st.Lamp, st.HazeDry, st.HazeWet,
			} {
				line = append(line, f.text())
			}
			line = append(line, st.Clears)
			for _, f := range []*figure{st.Expected, st.Safe} {
				text := ""
				if f != nil {
					text = f.text()
				}
				line = append(line, text)
			}
			if err := out.Write(append(line, st.Finish, st.Basis, st.Cannot)); err != nil {
				return err
			}
		}
	}
	return nil
}
