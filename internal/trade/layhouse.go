package trade

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

func (l *laying) bareNumbers(v keys.Value) {
	for _, e := range v.Entries(l.report) {
		p := phrase{h: l.h, at: e.KeySpan, text: e.Key, report: l.report}
		known := p.sort(split(nil, e.Key, 0, len(e.Key))) && p.complete()
		text := l.text(e.Value)
		if text == "" {
			continue
		}
		scale, ok := findScale(text)
		if !ok {
			l.say(UnknownWord, e.Value.Span(), fmt.Sprintf("%s is no scale of grades.", quote(text)), nearest(text, scaleNames(), "Write "+listed(scaleNames(), "or")+"."))
			l.slip(e.Value.Span(), text, scaleNames())
			continue
		}
		if !known {
			continue
		}
		if !slices.Contains(p.Family.Scales[p.Bond], scale) {
			var names []string
			for _, s := range p.Family.Scales[p.Bond] {
				names = append(names, scaleName(s))
			}
			l.say(GradeNotSold, e.Value.Span(), fmt.Sprintf("%s is not sold in grades of %s.", capital(p.words()), scaleName(scale)), "Write "+listed(names, "or")+".")
			continue
		}
		l.h.look.bare[bareKey{p.Family, p.Bond, p.Tool}] = scale
	}
}

// lineKeys are the keys of each kind of line.
var (
	stockKeys   = []string{"abrasive", "grade", "acts like", "bench", "diameter", "maximum", "pack", "price", "dated", "worn", "retired", "ready mixed", "free silica", "fluoride free"}
	mediaKeys   = []string{"medium", "lap", "reach", "kept for", "diameter", "maximum"}
	machineKeys = []string{"kind", "diameter", "maximum", "reach", "drive", "water", "force", "noise", "vibration"}
)

func (l *laying) stock(v keys.Value) {
	for _, e := range v.Entries(l.report) {
		ok := l.code(e)
		f := e.Value.Fields("a line of stock", stockKeys, l.report)
		s := &Stock{Code: e.Key, Span: e.KeySpan, FreeSilica: -1}
		l.stockAbrasive(s, e, f)
		s.Bench = l.bench(f.Get("bench"))
		s.Diameter = l.amount(f.Get("diameter"), quantity.Length)
		s.Maximum = l.amount(f.Get("maximum"), quantity.Rotation, quantity.Speed)
		s.Pack = l.amount(f.Get("pack"), quantity.Mass, quantity.Volume)
		s.Price = l.amount(f.Get("price"), quantity.Money)
		s.Dated = l.date(f.Get("dated"))
		s.Worn, s.Retired = l.yes(f.Get("worn")), l.yes(f.Get("retired"))
		s.ReadyMixed, s.FluorideFree = l.yes(f.Get("ready mixed")), l.yes(f.Get("fluoride free"))
		if p := f.Get("free silica"); p.Kind() != keys.Missing {
			if share := l.amount(p, quantity.Share); share.Written() {
				s.FreeSilica = share.In(quantity.Percent)
			}
		}
		if price := f.Get("price"); s.Price.Written() && f.Get("dated").Kind() == keys.Missing {
			l.report.Add(diag.Diagnostic{
				Rule: PriceUndated, Severity: diag.Warning, Concern: diag.Card, Span: price.Span(),
				Message: fmt.Sprintf("The price of %s has no date.", e.Key), Help: "Write dated: and the day the price was paid, as 2026-09-01.",
			})
		}
		if s.Diameter.Written() {
			if s.Abrasive.Diameter.Written() {
				_, at := f.Get("diameter").Key()
				l.say(SaidTwice, at, fmt.Sprintf("The diameter of %s is written twice.", e.Key), "Keep it at one place.")
			}
			s.Abrasive.Diameter = s.Diameter
		}
		s.Diameter = s.Abrasive.Diameter
		s.ReadyMixed = s.ReadyMixed || s.Abrasive.ReadyMixed
		if ok {
			addCode(l.h.Stock, l.h.look.stock, e.Key, s)
		}
	}
}

// stockAbrasive reads what a line of stock is and its grade.
func (l *laying) stockAbrasive(s *Stock, e keys.Entry, f keys.Fields) {
	v := f.Get("abrasive")
	if v.Kind() == keys.Missing {
		// A cleaner is no abrasive, but may be a line of stock.
		if f.Get("fluoride free").Kind() == keys.Missing && e.Value.Kind() != keys.Unread {
			l.say(StockMissing, e.KeySpan, fmt.Sprintf("The line %s does not say what it is.", e.Key), "Write abrasive: and what it is, as resin diamond pad.")
		}
		return
	}
	text := l.text(v)
	if text == "" {
		return
	}
	a, ok := l.h.readWords(v.Part(0, len(v.Text())), v.Text(), false, l.report)
	if !ok {
		// Known to be there, but of no use: a recipe that cites it has nothing
		// of its own to be told.
		if g := f.Get("grade"); g.Kind() == keys.Scalar && a.Family == nil {
			return
		}
	}
	g := f.Get("grade")
	if g.Kind() != keys.Missing {
		text := l.text(g)
		switch {
		case a.Grade.Written():
			_, at := g.Key()
			l.say(SaidTwice, at, fmt.Sprintf("The grade of %s is written twice.", e.Key), "Keep it at one place.")
		case text != "" && a.Family != nil:
			a.Grade, _ = l.h.gradeOf(g.Part(0, len(g.Text())), g.Text(), a.Family, a.Bond, a.Tool, l.report)
		}
	}
	if like := f.Get("acts like"); like.Kind() != keys.Missing {
		if text := l.text(like); text != "" {
			read := grade.Reading{Loose: true, DecimalComma: l.h.Numbers.DecimalComma}
			acts, ok := read.Parse(text)
			if !ok {
				message, help, _ := grade.Advice(text)
				rule := UnknownGrade
				if grade.Bare(text) {
					rule = BareGrade
				}
				l.say(rule, like.Span(), message, help)
			}
			s.ActsLike, a.ActsLike = acts, acts
		}
	}
	if a.Family != nil && ok && !a.Grade.Written() && g.Kind() == keys.Missing && f.Get("acts like").Kind() == keys.Missing &&
		a.Family.Size == 0 && (a.Tool == nil || !a.Tool.Cutting) {
		l.say(GradeMissing, e.KeySpan, fmt.Sprintf("The line %s has no grade.", e.Key), "Write grade: with its scale, or acts like: and the grade it works like.")
	}
	s.Abrasive = a
}

// bench is a bench the house has named; any, where it has named none.
func (l *laying) bench(v keys.Value) string {
	text := l.text(v)
	if text == "" || len(l.h.Benches) == 0 {
		return text
	}
	if b := l.h.FindBench(text); b != nil {
		return b.Name
	}
	l.say(UnknownBench, v.Span(), fmt.Sprintf("%s is no bench of the house.", quote(text)),
		nearest(text, l.h.look.benches.names, "The benches are "+listed(l.h.look.benches.names, "and")+"."))
	l.slip(v.Span(), text, l.h.look.benches.names)
	return ""
}

// keptFor is the compound, or one grade of it, that a medium is kept for, as
// it prints: "pumice 2F".
func (l *laying) keptFor(v keys.Value) string {
	text := l.text(v)
	if text == "" {
		return ""
	}
	if f := l.h.FindFamily(text); f != nil {
		return f.Name
	}
	if s := l.h.stockLine(text); s != nil && s.Abrasive.Family != nil {
		return strings.TrimSpace(s.Abrasive.Family.Name + " " + s.Abrasive.Grade.Label)
	}
	a, ok := l.h.readAbrasive(v.Part(0, len(v.Text())), v.Text(), false, l.report)
	if !ok {
		return ""
	}
	return strings.TrimSpace(a.Words + " " + a.Grade.Label)
}

func (l *laying) machines(v keys.Value) {
	for _, e := range v.Entries(l.report) {
		ok := l.code(e)
		f := e.Value.Fields("a machine", machineKeys, l.report)
		m := &Machine{Code: e.Key, Span: e.KeySpan}
		switch kind := f.Get("kind"); kind.Kind() {
		case keys.Missing:
			if e.Value.Kind() != keys.Unread {
				l.say(StockMissing, e.KeySpan, fmt.Sprintf("The machine %s does not say its kind.", e.Key), "Write kind: and one of "+l.kinds()+".")
			}
		default:
			if text := l.text(kind); text != "" {
				m.Kind, m.Drive = l.h.FindKind(text), l.h.look.driven[norm(text)]
				if m.Kind == nil {
					l.say(UnknownMachine, kind.Span(), fmt.Sprintf("%s is no kind of machine that is known.", quote(text)), nearest(text, l.h.look.kinds.names, "Write "+l.kinds()+"."))
					l.slip(kind.Span(), text, l.h.look.kinds.names)
				}
			}
		}
		m.Diameter = l.amount(f.Get("diameter"), quantity.Length)
		m.Maximum = l.amount(f.Get("maximum"), quantity.Rotation, quantity.Speed)
		if drive := l.drive(f.Get("drive")); drive != "" {
			m.Drive = drive
		}
		m.Water = l.text(f.Get("water"))
		m.Force = l.amount(f.Get("force"), quantity.Force)
		m.Noise = l.amount(f.Get("noise"), quantity.Sound)
		m.Vibration = l.amount(f.Get("vibration"), quantity.Vibration)
		if reach := f.Get("reach"); reach.Kind() != keys.Missing {
			m.Reach = l.reach(reach)
		}
		if ok {
			addCode(l.h.Machines, l.h.look.machine, e.Key, m)
		}
	}
}

// drive is what turns a machine that is held in the hand.
func (l *laying) drive(v keys.Value) string {
	text := l.text(v)
	if text == "" {
		return ""
	}
	if d := find(&l.h.look.drives, text); d != "" {
		return d
	}
	var names []string
	for _, d := range builtIn().drives {
		names = append(names, d.name)
	}
	l.say(UnknownWord, v.Span(), fmt.Sprintf("%s does not say what drives the machine.", quote(text)), nearest(text, l.h.look.drives.names, "Write "+listed(names, "or")+"."))
	l.slip(v.Span(), text, l.h.look.drives.names)
	return ""
}

func (l *laying) kinds() string {
	var names []string
	for _, k := range l.h.Kinds {
		names = append(names, k.Name)
	}
	return listed(names, "or")
}

func (l *laying) reach(v keys.Value) []string {
	reach := []string{}
	names := append(slices.Clone(l.h.look.shapes.names), "any")
	for _, one := range v.Members(func(s string) bool { return l.h.FindShape(s) != nil }, l.report) {
		text := l.text(one)
		switch s := l.h.FindShape(text); {
		case s != nil:
			reach = append(reach, s.Name)
		case norm(text) == "any":
			reach = append(reach, "any")
		case text != "":
			l.say(UnknownShape, one.Span(), fmt.Sprintf("%s is no shape of a surface.", quote(text)), nearest(text, names, "Write "+listed(names, "or")+"."))
			l.slip(one.Span(), text, names)
		}
	}
	if len(reach) == 0 {
		return nil
	}
	return reach
}

func (l *laying) always(v keys.Value) {
	for _, one := range v.Members(l.topicLike, l.report) {
		t := l.topic(one, l.text(one))
		if t == nil {
			continue
		}
		if !t.Standing {
			l.say(NotStanding, one.Span(), fmt.Sprintf("The caution %s does not stand on every recipe.", quote(t.Name)),
				"Name it under cautions in the recipes it is for.")
			continue
		}
		if slices.Contains(l.h.Always, t) {
			l.say(SaidTwice, one.Span(), fmt.Sprintf("The caution %s is named twice.", quote(t.Name)), "Keep it at one place.")
			continue
		}
		l.h.Always = append(l.h.Always, t)
	}
}

// topic is a caution by name; an unknown one is reported.
func (l *laying) topic(v keys.Value, name string) *Topic {
	t := l.h.FindTopic(name)
	if t == nil && name != "" {
		l.noTopic(v.Span(), name)
		// A slip is read as the caution that was meant.
		t = l.h.FindTopic(l.nearTopic(name))
	}
	return t
}

func (l *laying) nearTopic(name string) string { return keys.Nearest(name, l.h.look.topics.names) }

// topicLike says whether words are a caution or nearly one.
func (l *laying) topicLike(words string) bool {
	return l.h.FindTopic(words) != nil || l.nearTopic(words) != ""
}

// cautions puts the house's own words in the place of the built-in ones: one
// text, or full and short words apart.
func (l *laying) cautions(v keys.Value) {
	entries := v.Entries(l.report)
	if len(entries) == 0 {
		return
	}
	l.h.Topics = slices.Clone(l.h.Topics)
	for _, e := range entries {
		name := e.Key
		if l.h.FindTopic(name) == nil {
			l.noTopic(e.KeySpan, name)
			name = l.nearTopic(name)
		}
		var known *Topic
		at := -1
		for i, t := range l.h.Topics {
			if norm(t.Name) == norm(name) {
				known, at = t, i
			}
		}
		if known == nil {
			continue
		}
		own := *known
		own.House, own.Span, own.Source = true, e.Value.Span(), "the house"
		full, short := e.Value, keys.Value{}
		if e.Value.Kind() == keys.Map {
			f := e.Value.Fields("a caution", []string{"full", "short"}, l.report)
			full, short = f.Get("full"), f.Get("short")
			own.Span = full.Span()
		}
		words := l.text(full)
		if words == "" && short.Kind() == keys.Missing {
			continue
		}
		if words != "" {
			own.Full, own.Wordings = l.signalled(&own, words, full.Span()), nil
		}
		if text := l.text(short); text != "" {
			own.Short = text
		}
		l.h.Topics[at] = &own
	}
}

// noTopic reports a caution that is not known by name.
func (l *laying) noTopic(at source.Span, name string) {
	var names []string
	for _, topic := range l.h.Topics {
		names = append(names, topic.Name)
	}
	l.say(UnknownTopic, at, fmt.Sprintf("%s is no caution that is known by name.", quote(name)), nearest(name, names, "The cautions are "+listed(names, "and")+"."))
	l.slip(at, name, names)
}

// signalled takes a signal word off the house's words. A stronger one holds, a
// weaker one is reported.
func (l *laying) signalled(t *Topic, words string, at source.Span) string {
	head, rest, ok := strings.Cut(words, ":")
	s := signalWord(strings.TrimSpace(head))
	if !ok || s == 0 {
		return words
	}
	if s < t.Signal {
		l.say(SignalWeak, at, fmt.Sprintf("The caution %s asks for the word %s.", quote(t.Name), t.Signal), "Write "+capital(strings.ToLower(t.Signal.String()))+": in front, or no such word at all.")
	}
	t.Signal = max(t.Signal, s)
	return strings.TrimSpace(rest)
}

// limits reads what the house allows.
func (l *laying) limits(v keys.Value) {
	f := v.Fields("the limits", []string{"grade step", "card", "type floor", "hand force", "rim speed", "rules"}, l.report)
	if step := f.Get("grade step"); step.Kind() != keys.Missing {
		text := l.text(step)
		words := strings.TrimSpace(strings.TrimSuffix(text, "times"))
		n, err := quantity.ParseNumber(words, l.h.Numbers)
		switch {
		case text == "":
		case err != nil:
			l.say(BadNumber, step.Span(), err.Message, "Write how many times finer a step may be, as 3.")
		case n <= 1 || n > 100:
			l.say(BadNumber, step.Span(), "A step between grades is a ratio of grain sizes above 1.", "Write how many times finer a step may be, as 3.")
		default:
			l.h.Limits.GradeStep = Limit{Value: n, House: true, Source: "the house"}
		}
	}
	l.h.Limits.Card = l.oneOf(f.Get("card"), builtIn().papers)
	l.h.Limits.TypeFloor = l.typeSize(f.Get("type floor"))
	if force := l.amount(f.Get("hand force"), quantity.Force); force.Written() {
		l.h.Limits.HandForce = Limit{Value: force.In(quantity.Newton), House: true, Source: "the house"}
	}
	l.rimSpeeds(f.Get("rim speed"))
	rules := map[string]RuleSetting{}
	for _, e := range f.Get("rules").Entries(l.report) {
		rule := RuleSetting{Rule: e.Key, Span: e.KeySpan.To(e.Value.Span())}
		severity := e.Value
		if e.Value.Kind() == keys.Map {
			g := e.Value.Fields("a rule", []string{"severity", "because"}, l.report)
			severity = g.Get("severity")
			rule.Because = l.text(g.Get("because"))
			if severity.Kind() == keys.Missing {
				l.say(StockMissing, e.KeySpan, fmt.Sprintf("The rule %s does not say what it is to be.", e.Key), "Write severity: warning or severity: error.")
			}
		}
		rule.Severity = l.oneOf(severity, []string{"warning", "error"})
		if rule.Severity != "" {
			rules[e.Key] = rule
		}
	}
	l.h.Limits.Rules = rules
}

// point is the unit of type: a 72nd of an inch.
var point = quantity.Unit{Symbol: "pt", Kind: quantity.Length, Factor: 0.0254 / 72}

// typeSize is a height of type, in points or as a length.
func (l *laying) typeSize(v keys.Value) quantity.Value {
	text := l.text(v)
	if number, ok := strings.CutSuffix(text, "pt"); ok {
		if n, err := quantity.ParseNumber(strings.TrimSpace(number), l.h.Numbers); err == nil && n > 0 {
			return quantity.Value{Amount: n, Unit: point}
		}
		l.say(BadAmount, v.Span(), fmt.Sprintf("%s is no size of type.", quote(text)), "Write it in points or millimetres, as 12 pt.")
		return quantity.Value{}
	}
	return l.amount(v, quantity.Length)
}

// rimSpeeds reads the house's own ranges, by medium or by bonded tool.
func (l *laying) rimSpeeds(v keys.Value) {
	h := l.h
	media, tools := map[*MediumKind]*MediumKind{}, map[*Tool]*Tool{}
	for _, e := range v.Entries(l.report) {
		medium := l.mediumKind(e.Key)
		p := phrase{h: h, at: e.KeySpan, text: e.Key, report: &diag.List{}}
		tool := medium == nil && p.sort(split(nil, e.Key, 0, len(e.Key))) && p.Tool != nil
		if medium == nil && !tool {
			known := append(slices.Clone(h.look.media.names), h.look.abrasive.names...)
			l.say(UnknownMedium, e.KeySpan, fmt.Sprintf("%s is not known as a medium or a tool.", quote(e.Key)), nearest(e.Key, known, "Write a medium, as felt wheel, or a tool with its bond, as metal wheel."))
			l.slip(e.KeySpan, e.Key, known)
		}
		if l.text(e.Value) == "" {
			continue
		}
		low, _, high, err := quantity.ParseRange(e.Value.Text(), h.Numbers, quantity.Speed)
		if err != nil {
			l.say(BadAmount, e.Value.Part(err.Start, err.End), err.Message, err.Help)
			l.report.Mended(diag.Word(e.Value.Part(err.Start, err.End), err.Words, err.Put))
			continue
		}
		r := Range{Low: low.In(quantity.MetrePerSecond), High: high.In(quantity.MetrePerSecond), House: true, Source: "the house"}
		if r.Low == r.High {
			// One figure is a highest speed.
			r.Low = 0
		}
		switch {
		case medium != nil:
			own := *medium
			own.Rim = r
			media[medium] = &own
		case tool:
			own := tools[p.Tool]
			if own == nil {
				own = new(Tool)
				*own = *p.Tool
				own.Rim = maps.Clone(p.Tool.Rim)
				tools[p.Tool] = own
			}
			if !p.bond && p.Tool.Bond == "" {
				// A tool without its bond means every bond that has no line.
				for bond, rim := range own.Rim {
					if !rim.House {
						delete(own.Rim, bond)
					}
				}
			}
			own.Rim[p.Bond] = r
		}
	}
	h.Media, h.Tools = replaced(h.Media, media), replaced(h.Tools, tools)
}

// replaced is a list with some of its members replaced.
func replaced[T any](all []*T, by map[*T]*T) []*T {
	if len(by) == 0 {
		return all
	}
	all = slices.Clone(all)
	for i := range all {
		if own := by[all[i]]; own != nil {
			all[i] = own
		}
	}
	return all
}
