package trade

import (
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

// ReadMachine reads "flat lap, 300 mm at 150 rpm" or "LAP3 at 150 rpm". Byte n
// of text is byte n of at. What is wrong is reported; false where nothing
// usable is left.
func (h *House) ReadMachine(at source.Span, text string, report *diag.List) (MachineUse, bool) {
	if known, ok := h.look.machines.Load(text); ok {
		return known.(MachineUse), true
	}
	before := len(*report)
	m, ok := h.readMachine(at, text, report)
	if ok && len(*report) == before {
		h.look.machines.Store(strings.Clone(text), m)
	}
	return m, ok
}

// machineReading is a Machine fact while it is read.
type machineReading struct {
	h      *House
	at     source.Span
	text   string
	report *diag.List

	MachineUse
	good bool
}

func (h *House) readMachine(at source.Span, text string, report *diag.List) (MachineUse, bool) {
	m := machineReading{h: h, at: at, text: text, report: report, good: true}
	name, speed := len(text), len(text)
	if i := lastAt(text); i >= 0 && h.FindKind(text) == nil {
		name, speed = i, i+len(" at ")
	}
	for n, in := range parts(text[:name]) {
		if n == 0 {
			m.name(in.start, in.end)
		} else {
			m.more(in.start, in.end)
		}
	}
	if name < len(text) {
		for n, in := range parts(text[speed:]) {
			if n == 0 {
				m.speedAt(speed, speed+in.end)
			} else {
				m.more(speed+in.start, speed+in.end)
			}
		}
	}
	if m.Drive == "" && m.Unit != nil {
		m.Drive = m.Unit.Drive
	}
	return m.MachineUse, m.good && m.Kind != nil
}

// find takes a code or a kind of machine, if text is one.
func (m *machineReading) find(text string) bool {
	if u := m.h.machineLine(text); u != nil {
		m.Unit, m.Kind = u, u.Kind
		if !m.Diameter.Written() {
			m.Diameter = u.Diameter
		}
		return true
	}
	if k := m.h.FindKind(text); k != nil {
		m.Kind = k
		m.Drive = m.h.look.driven[norm(text)]
		return true
	}
	return false
}

// name reads the machine itself, and what stands behind it without a comma: a
// diameter, a speed or a drive.
func (m *machineReading) name(start, end int) {
	if m.find(m.text[start:end]) {
		return
	}
	ends := ends(m.text, start, end)
	for n := len(ends) - 2; n >= 0; n-- {
		rest := ends[n]
		for m.text[rest] == ' ' || m.text[rest] == '\t' {
			rest++
		}
		if m.known(rest, end) && m.find(m.text[start:ends[n]]) {
			m.more(rest, end)
			return
		}
	}
	// What drives it may stand in front.
	if len(ends) > 1 {
		for n := min(m.h.look.drives.longest, len(ends)-1); n > 0; n-- {
			d := find(&m.h.look.drives, m.text[start:ends[n-1]])
			rest := strings.TrimSpace(m.text[ends[n-1]:end])
			if k := m.h.FindKind(rest); d != "" && k != nil && k.Handheld {
				m.Kind, m.Drive = k, d
				return
			}
		}
	}
	piece := m.text[start:end]
	say(m.report, UnknownMachine, stretch(m.at, m.text, start, max(end, start+1)), m.h.noMachine(piece), m.h.machineHelp(piece))
	near := spacedCode(piece, sortedCodes(m.h.Machines))
	if !strings.Contains(piece, " ") {
		near = sureCode(nearCode(piece, sortedCodes(m.h.Machines), m.h.machineWords))
	}
	if near == "" && !codeLike(piece) {
		near = keys.Clear(piece, m.h.look.kinds.names)
	}
	if near != "" {
		slipOf(m.report, m.at, m.text, start, end, near)
	}
	m.good = false
}

// ends are the bytes at which the words of a stretch end.
func ends(text string, start, end int) []int {
	var all []int
	for i := start; i < end; i++ {
		if (text[i] != ' ' && text[i] != '\t') && (i+1 == end || text[i+1] == ' ' || text[i+1] == '\t') {
			all = append(all, i+1)
		}
	}
	return all
}

// known says whether a stretch can be what stands behind a machine.
func (m *machineReading) known(start, end int) bool {
	return figure(m.text[start]) || find(&m.h.look.drives, m.text[start:end]) != ""
}

// more reads what follows the machine: a drive, a diameter, a speed, or amounts
// one behind the other.
func (m *machineReading) more(start, end int) {
	if start == end {
		return
	}
	if d := find(&m.h.look.drives, m.text[start:end]); d != "" {
		if m.Drive != "" && m.Drive != d {
			m.twice("drive", start, end)
			return
		}
		m.Drive = d
		return
	}
	if figure(m.text[start]) {
		// 400 mm 150 rpm: the next amount begins at the next figure.
		ends := ends(m.text, start, end)
		for _, stop := range ends[:len(ends)-1] {
			next := stop
			for m.text[next] == ' ' || m.text[next] == '\t' {
				next++
			}
			if _, err := quantity.Parse(withoutDia(m.text[start:stop]), m.h.Numbers, quantity.Length, quantity.Rotation, quantity.Speed); err == nil && m.known(next, end) {
				m.amount(start, stop)
				m.more(next, end)
				return
			}
		}
	}
	m.amount(start, end)
}

// amount is a diameter or a speed.
func (m *machineReading) amount(start, end int) {
	v, err := quantity.Parse(withoutDia(m.text[start:end]), m.h.Numbers, quantity.Length, quantity.Rotation, quantity.Speed)
	switch {
	case err == nil && v.Unit.Kind == quantity.Length:
		m.Diameter = v
	default:
		m.speedAt(start, end)
	}
}

// speedAt is a speed, or a range of speeds.
func (m *machineReading) speedAt(start, end int) {
	text := m.text[start:end]
	v, err := quantity.Parse(text, m.h.Numbers, quantity.Rotation, quantity.Speed)
	low := v
	if err != nil && strings.ContainsAny(text, "-–—−") {
		var wrong *quantity.Error
		if low, _, v, wrong = quantity.ParseRange(text, m.h.Numbers, quantity.Rotation, quantity.Speed); wrong == nil || strings.ContainsAny(text[1:], "-–—−") {
			err = wrong
		}
	}
	switch {
	case err != nil:
		sayAmount(m.report, m.at, m.text, start, err)
		m.good = false
	case m.Speed.Written():
		m.twice("speed", start, end)
	default:
		m.Speed = v
		if low.In(v.Unit) < v.Amount {
			m.SpeedLow = quantity.Value{Amount: low.In(v.Unit), Unit: v.Unit}
		}
	}
}

func (m *machineReading) twice(what string, start, end int) {
	say(m.report, SaidTwice, stretch(m.at, m.text, start, end), "A second "+what+" is written here: "+m.text[start:end]+".", "Keep the one that is meant.")
	m.good = false
}

func (h *House) noMachine(piece string) string {
	if strings.TrimSpace(piece) == "" {
		return "No machine is written."
	}
	return quote(piece) + " is no machine of the house and no kind of machine."
}

func (h *House) machineHelp(piece string) string {
	if !strings.Contains(piece, " ") {
		if near := nearCode(piece, sortedCodes(h.Machines), h.machineWords); near != "" {
			return near
		}
	}
	if code := spacedCode(piece, sortedCodes(h.Machines)); code != "" {
		return "Write " + code + "."
	}
	if codeLike(piece) {
		return "Write the code of a machine of the house, or its kind, as flat lap, 300 mm at 150 rpm."
	}
	if near := keys.Nearest(piece, h.look.kinds.names); near != "" {
		return "Write " + near + "."
	}
	var kinds []string
	for _, k := range h.Kinds {
		kinds = append(kinds, k.Name)
	}
	return "Write the code of a machine, or its kind: " + listed(kinds, "or") + "."
}

// lastAt is where the last " at " of a machine stands, -1 where none does.
func lastAt(text string) int {
	for i := len(text) - len(" at "); i >= 0; i-- {
		if text[i] == ' ' && text[i+3] == ' ' && strings.EqualFold(text[i+1:i+3], "at") {
			return i
		}
	}
	return -1
}
