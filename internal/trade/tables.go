package trade

import (
	"embed"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/keys"
	"coldwright/internal/source"
)

//go:embed tables/*.yaml
var tableFiles embed.FS

// base is what the built-in tables say.
type base struct {
	families []*Family
	tools    []*Tool
	media    []*MediumKind
	kinds    []*MachineKind
	glasses  []*Glass
	shapes   []*Shape
	finishes []*Finish
	mixes    []*Mix
	waters   []*Water
	tests    []*Test
	topics   []*Topic
	faults   []*Fault
	glossary []*Word
	// papers, units and decimalComma are what `house` and `limits` may say.
	papers, units []string
	handForce     Limit
	decimalComma  map[string]bool
	// bonds are the words for each bond; idle are words that say nothing, and
	// ready those for any loose grain that comes ready mixed.
	bonds       []bondWords
	idle, ready []string
	drives      []drive
	unlisted    []unlisted
}

// bondWords are the words for a bond; spoken ones print as they were written.
type bondWords struct {
	bond         Bond
	also, spoken []string
	source       Source
}

// drive is what turns a machine that is held in the hand.
type drive struct {
	name string
	also []string
	// wet is true where the machine may be used with water.
	wet    bool
	source Source
}

// unlisted is a glass whose name does not say what it holds.
type unlisted struct {
	name string
	also []string
	// like is the glass the house may list it as.
	like   string
	source Source
}

// builtIn is read once. A broken table is a mistake of whoever changed it and
// is caught by a test; it stops the program at once.
var builtIn = sync.OnceValue(func() *base {
	b, report := readTables(func(name string) []byte {
		text, err := tableFiles.ReadFile("tables/" + name)
		if err != nil {
			panic(err)
		}
		return text
	})
	if len(report) > 0 {
		d := report[0]
		place := d.Span.Place()
		panic(fmt.Sprintf("%s:%d: %s", place.Name, place.Line, d.Message))
	}
	return b
})

// table reads rows and keeps what is wrong with them.
type table struct{ report diag.List }

// wrong reports a row.
func (t *table) wrong(at source.Span, format string, words ...any) {
	t.report.Add(diag.Diagnostic{Rule: "table", Severity: diag.Error, Concern: diag.Card, Span: at, Message: fmt.Sprintf(format, words...)})
}

// row is one row of a table.
type row struct {
	t *table
	keys.Fields
}

// rows are the rows under a key; each takes the known keys only.
func (t *table) rows(v keys.Value, known ...string) []row {
	var all []row
	for _, one := range v.List() {
		r := row{t, one.Fields("a row", known, &t.report)}
		if contains(known, "source") && strings.TrimSpace(r.Get("source").Text()) == "" {
			t.wrong(one.Span(), "The row says nothing of its source.")
		}
		all = append(all, r)
	}
	return all
}

func contains(all []string, one string) bool {
	for _, s := range all {
		if s == one {
			return true
		}
	}
	return false
}

func (r row) text(key string) string { return r.Get(key).Text() }

// must is a text that has to be there.
func (r row) must(key string) string {
	s := r.text(key)
	if s == "" {
		r.t.wrong(r.Span(), "The row has no %s.", key)
	}
	return s
}

func (r row) list(key string) []string {
	var all []string
	for _, v := range r.Get(key).List() {
		all = append(all, v.Text())
	}
	return all
}

// listOr is the list of a key; one word that names a group stands for it.
func (r row) listOr(groups map[string][]string, key string) []string {
	list := r.list(key)
	if len(list) == 1 && groups[list[0]] != nil {
		return groups[list[0]]
	}
	return list
}

// groups are lists by the name a row may call them by.
func (t *table) groups(v keys.Value) map[string][]string {
	all := map[string][]string{}
	for _, e := range v.Entries(&t.report) {
		for _, one := range e.Value.List() {
			all[e.Key] = append(all[e.Key], one.Text())
		}
	}
	return all
}

func (r row) yes(key string) bool {
	switch v := r.Get(key); v.Text() {
	case "yes":
		return true
	case "no", "":
	default:
		r.t.wrong(v.Span(), "Write yes or no.")
	}
	return false
}

// again reads whether a topic is said at its steps.
func (r row) again() bool {
	return r.text("at step") == "also" || r.yes("at step")
}

func (r row) number(key string) float64 {
	v := r.Get(key)
	if v.Kind() == keys.Missing {
		return 0
	}
	return r.t.number(v)
}

func (t *table) number(v keys.Value) float64 {
	n, err := strconv.ParseFloat(v.Text(), 64)
	if err != nil {
		t.wrong(v.Span(), "This is no number.")
	}
	return n
}

// pair is a low and a high number, or one that is both.
func (t *table) pair(v keys.Value) [2]float64 {
	all := v.List()
	switch len(all) {
	case 0:
		return [2]float64{}
	case 1:
		n := t.number(all[0])
		return [2]float64{n, n}
	case 2:
		p := [2]float64{t.number(all[0]), t.number(all[1])}
		if p[1] < p[0] {
			t.wrong(v.Span(), "The low number stands behind the high one.")
		}
		return p
	}
	t.wrong(v.Span(), "Write a low and a high number.")
	return [2]float64{}
}

func (r row) source() Source { return Source(r.text("source")) }

// readTables reads all tables through a function that gives their text.
func readTables(text func(name string) []byte) (*base, diag.List) {
	t := &table{}
	b := &base{decimalComma: map[string]bool{}}
	open := func(name string, known ...string) row {
		f := source.New(name, text(name))
		return row{t, keys.Read(f, 0, len(f.Text), &t.report).Fields("the table", known, &t.report)}
	}
	t.abrasives(b, open("abrasives.yaml", "abrasives"))
	groups := open("reach.yaml", "reach", "on")
	reach, on := t.groups(groups.Get("reach")), t.groups(groups.Get("on"))
	t.tools(b, open("tools.yaml", "bonds", "idle", "ready", "tools"), reach, on)
	t.media(b, open("media.yaml", "media"), reach, on)
	words := open("words.yaml", "finishes", "shapes", "mixes", "waters", "tests", "faults", "glossary")
	t.words(b, words)
	t.learning(b, words)
	t.machines(b, open("machines.yaml", "drives", "machines"))
	t.glasses(b, open("glasses.yaml", "glasses", "unlisted"))
	t.cautions(b, open("cautions.yaml", "topics"))
	for _, name := range []string{"deeds-dust.yaml", "deeds-machines.yaml", "deeds-hands.yaml"} {
		t.deeds(b, open(name, "lists", "deeds"))
	}
	t.general(b, open("general.yaml", "papers", "units", "hand force", "decimal comma"))
	t.crossCheck(b)
	return b, t.report
}

func (t *table) abrasives(b *base, top row) {
	scales := map[string]bool{}
	for _, s := range grade.Scales() {
		scales[string(s.Scale)] = true
	}
	for _, r := range t.rows(top.Get("abrasives"), "name", "also", "work", "scales", "mohs", "knoop", "density", "bulk", "laps", "mixes", "comparable", "size", "ready", "source") {
		f := &Family{
			Name: r.must("name"), Also: r.list("also"), Work: Work(r.must("work")), Scales: map[Bond][]grade.Scale{},
			Mohs: t.pair(r.Get("mohs")), Knoop: t.pair(r.Get("knoop")), Density: r.number("density"), Bulk: r.number("bulk"),
			Mixes: map[LapClass][]string{}, Comparable: r.text("comparable") != "no", Size: r.number("size"), ready: r.list("ready"), Source: r.source(),
		}
		for _, e := range r.Get("scales").Entries(&t.report) {
			for _, v := range e.Value.List() {
				if !scales[v.Text()] {
					t.wrong(v.Span(), "There is no scale %s.", v.Text())
				}
				f.Scales[Bond(e.Key)] = append(f.Scales[Bond(e.Key)], grade.Scale(v.Text()))
			}
		}
		for _, lap := range r.list("laps") {
			f.Laps = append(f.Laps, LapClass(lap))
		}
		for _, e := range r.Get("mixes").Entries(&t.report) {
			for _, v := range e.Value.List() {
				f.Mixes[LapClass(e.Key)] = append(f.Mixes[LapClass(e.Key)], v.Text())
			}
		}
		b.families = append(b.families, f)
	}
}

func (t *table) tools(b *base, top row, reach, on map[string][]string) {
	for _, r := range t.rows(top.Get("bonds"), "name", "also", "spoken", "source") {
		b.bonds = append(b.bonds, bondWords{Bond(r.must("name")), r.list("also"), r.list("spoken"), r.source()})
	}
	b.idle, b.ready = top.list("idle"), top.list("ready")
	byName := map[string]*Family{}
	for _, f := range b.families {
		byName[f.Name] = f
	}
	family := func(v keys.Value, name string) *Family {
		f := byName[name]
		if f == nil && name != "any" {
			t.wrong(v.Span(), "There is no abrasive %s.", name)
		}
		return f
	}
	for _, r := range t.rows(top.Get("tools"), "name", "also", "bond", "usual", "grain", "cutting", "wheel", "reach", "large", "large reach", "on", "rim", "source") {
		tool := &Tool{
			Name: r.must("name"), Also: r.list("also"), Bond: Bond(r.text("bond")), Cutting: r.yes("cutting"), Wheel: r.yes("wheel"),
			Reach: r.listOr(reach, "reach"), On: r.listOr(on, "on"), Large: r.number("large"), LargeReach: r.listOr(reach, "large reach"),
			Rim: map[Bond]Range{}, usual: map[*Family]Bond{}, Source: r.source(),
		}
		if v := r.Get("grain"); v.Text() != "" {
			tool.grain = family(v, v.Text())
		}
		for _, e := range r.Get("usual").Entries(&t.report) {
			tool.usual[family(e.Value, e.Key)] = Bond(e.Value.Text())
		}
		for _, e := range r.Get("rim").Entries(&t.report) {
			bond := Bond(e.Key)
			if e.Key == "any" {
				bond = ""
			}
			p := t.pair(e.Value)
			tool.Rim[bond] = Range{Low: p[0], High: p[1], Source: tool.Source}
		}
		b.tools = append(b.tools, tool)
	}
}

func (t *table) media(b *base, top row, reach, on map[string][]string) {
	for _, r := range t.rows(top.Get("media"), "name", "also", "lap", "variants", "reach", "on", "rim", "mixes", "source") {
		m := &MediumKind{
			Name: r.must("name"), Also: r.list("also"), Lap: LapClass(r.must("lap")), Variants: r.list("variants"),
			Reach: r.listOr(reach, "reach"), On: r.listOr(on, "on"), Mixes: r.list("mixes"), Source: r.source(),
		}
		if p := t.pair(r.Get("rim")); p[1] > 0 {
			m.Rim = Range{Low: p[0], High: p[1], Source: m.Source}
		}
		b.media = append(b.media, m)
	}
}

func (t *table) machines(b *base, top row) {
	for _, r := range t.rows(top.Get("drives"), "name", "also", "wet", "source") {
		b.drives = append(b.drives, drive{r.must("name"), r.list("also"), r.yes("wet"), r.source()})
	}
	for _, r := range t.rows(top.Get("machines"), "name", "also", "driven", "reach", "powered", "spindle", "hand-held", "rims", "at once", "diameter", "force", "pressed", "tooled", "topics", "loud", "blasts", "source") {
		b.kinds = append(b.kinds, &MachineKind{
			Name: r.must("name"), Also: r.list("also"), driven: t.groups(r.Get("driven")), Reach: r.list("reach"), Powered: r.yes("powered"), Spindle: r.yes("spindle"),
			Handheld: r.yes("hand-held"), Rims: r.number("rims"), AtOnce: r.yes("at once"), Diameter: r.number("diameter"), Force: r.number("force"), Pressed: r.yes("pressed"),
			Tooled: r.yes("tooled"), Topics: r.list("topics"), Loud: r.yes("loud"), throws: r.yes("blasts"), Source: r.source(),
		})
	}
}

func (t *table) glasses(b *base, top row) {
	for _, r := range t.rows(top.Get("glasses"), "name", "also", "density", "E", "H", "Kc", "polish", "lead", "PbO", "source") {
		b.glasses = append(b.glasses, &Glass{
			Name: r.must("name"), Also: r.list("also"), Density: r.number("density"), E: r.number("E"), H: r.number("H"),
			Kc: r.number("Kc"), Polish: r.number("polish"), Lead: r.yes("lead"), PbO: r.number("PbO"), Source: r.source(),
		})
	}
	for _, r := range t.rows(top.Get("unlisted"), "name", "also", "like", "source") {
		b.unlisted = append(b.unlisted, unlisted{r.must("name"), r.list("also"), r.must("like"), r.source()})
	}
}

func (t *table) words(b *base, top row) {
	for _, r := range t.rows(top.Get("finishes"), "name", "also", "called", "rank", "polish", "means", "source") {
		b.finishes = append(b.finishes, &Finish{
			Name: r.must("name"), Also: r.list("also"), Called: r.list("called"), Rank: int(r.number("rank")), Polish: r.yes("polish"), Means: r.must("means"), Source: r.source(),
		})
	}
	for _, r := range t.rows(top.Get("shapes"), "name", "also", "means", "source") {
		b.shapes = append(b.shapes, &Shape{Name: r.must("name"), Also: r.list("also"), Means: r.must("means"), Source: r.source()})
	}
	for _, r := range t.rows(top.Get("mixes"), "name", "also", "water", "rank", "source") {
		p := t.pair(r.Get("water"))
		b.mixes = append(b.mixes, &Mix{Name: r.must("name"), Also: r.list("also"), Low: p[0], High: p[1], Rank: int(r.number("rank")), Source: r.source()})
	}
	for _, r := range t.rows(top.Get("waters"), "name", "also", "wet", "running", "flow", "source") {
		b.waters = append(b.waters, &Water{Name: r.must("name"), Also: r.list("also"), Wet: r.yes("wet"), Running: r.yes("running"), Flow: r.number("flow"), Source: r.source()})
	}
	for _, r := range t.rows(top.Get("tests"), "name", "also", "method", "shows", "source") {
		b.tests = append(b.tests, &Test{Name: r.must("name"), Also: r.list("also"), Method: r.must("method"), Shows: r.must("shows"), Source: r.source()})
	}
}

func (t *table) cautions(b *base, top row) {
	for _, r := range t.rows(top.Get("topics"), "name", "signal", "title", "full", "short", "why", "sign", "at step", "standing", "in place of", "rule", "wordings", "ideas", "source") {
		topic := &Topic{
			Name: r.must("name"), Signal: t.signal(r), Title: r.must("title"), Full: r.must("full"), Short: r.must("short"), Why: r.must("why"),
			Sign: r.text("sign"), AtStep: r.text("at step") == "yes", Again: r.again(), Standing: r.text("standing") != "no", Rule: r.must("rule"), Source: r.source(),
			InPlaceOf: r.list("in place of"),
		}
		for _, w := range t.rows(r.Get("wordings"), "fact", "over", "signal", "full", "short") {
			topic.Wordings = append(topic.Wordings, Wording{
				Fact: w.must("fact"), Over: w.number("over"), Signal: t.signal(w), Full: w.must("full"), Short: w.must("short"),
			})
		}
		for _, i := range t.rows(r.Get("ideas"), "tell", "say", "never", "spoilt by", "too weak", "fact", "over") {
			idea := Idea{
				Tell: i.must("tell"), Phrases: i.list("say"), Spoilt: i.list("spoilt by"), Weak: i.list("too weak"), Fact: i.text("fact"), Over: i.number("over"),
			}
			if never := i.list("never"); never != nil {
				idea.Forbid, idea.Phrases = true, append(never, idea.Phrases...)
			}
			if len(idea.Phrases) == 0 {
				t.wrong(i.Span(), "The idea has no words.")
			}
			topic.Ideas = append(topic.Ideas, idea)
		}
		if len(topic.Ideas) == 0 {
			t.wrong(r.Span(), "The topic has no ideas.")
		}
		b.topics = append(b.topics, topic)
	}
}

// deeds reads what the cautions read before forbid.
func (t *table) deeds(b *base, top row) {
	lists := t.groups(top.Get("lists"))
	for _, r := range t.rows(top.Get("deeds"), "topic", "acts") {
		name := r.must("topic")
		at := slices.IndexFunc(b.topics, func(topic *Topic) bool { return topic.Name == name })
		if at < 0 {
			t.wrong(r.Span(), "There is no caution %s.", name)
			continue
		}
		for _, a := range t.rows(r.Get("acts"), "tell", "order", "of", "as", "unless", "here", "bare", "waived", "also") {
			act := Act{
				Tell: a.must("tell"), Order: a.listOr(lists, "order"), Of: a.listOr(lists, "of"), As: a.listOr(lists, "as"), Unless: a.list("unless"),
				Here: a.yes("here"), Bare: a.yes("bare"), Waived: a.yes("waived"), Also: a.list("also"),
			}
			if len(act.As) == 0 || (len(act.Order) == 0) != (act.Bare || act.Waived) {
				t.wrong(a.Span(), "The deed has no words.")
			}
			b.topics[at].Acts = append(b.topics[at].Acts, act)
		}
	}
}

// signal reads a signal word.
func (t *table) signal(r row) Signal {
	s := signalWord(r.must("signal"))
	if s == 0 {
		t.wrong(r.Span(), "The signal word is Notice, Caution, Warning or Danger.")
	}
	return s
}

// signalWord is the signal a word stands for; 0 where it is none.
func signalWord(word string) Signal {
	for s := Notice; s <= Danger; s++ {
		if strings.EqualFold(word, s.String()) {
			return s
		}
	}
	return 0
}

func (t *table) general(b *base, top row) {
	b.papers, b.units = top.list("papers"), top.list("units")
	for _, r := range t.rows(top.Get("hand force"), "most", "source") {
		b.handForce = Limit{Value: r.number("most"), Source: r.source()}
	}
	for _, language := range top.list("decimal comma") {
		b.decimalComma[language] = true
	}
}

// crossCheck holds the tables against one another: a word of one that another
// does not know would never be found.
func (t *table) crossCheck(b *base) {
	none := source.Span{}
	known := map[string]bool{"any": true}
	for _, s := range b.shapes {
		known[s.Name] = true
	}
	mixes, topics, bonds := map[string]bool{}, map[string]bool{}, map[Bond]bool{"": true}
	for _, m := range b.mixes {
		mixes[m.Name] = true
	}
	for _, topic := range b.topics {
		topics[topic.Name] = true
	}
	for _, bond := range b.bonds {
		bonds[bond.bond] = true
	}
	laps := map[LapClass]bool{Hard: true, Pitch: true, Pad: true, Cork: true, Felt: true, Brush: true}
	for _, f := range b.families {
		for bond := range f.Scales {
			if !bonds[bond] {
				t.wrong(none, "%s: there is no bond %s.", f.Name, bond)
			}
		}
		for _, lap := range f.Laps {
			if !laps[lap] {
				t.wrong(none, "%s: there is no lap class %s.", f.Name, lap)
			}
		}
		for lap, words := range f.Mixes {
			for _, m := range words {
				if !laps[lap] || !mixes[m] {
					t.wrong(none, "%s: there is no %s on %s.", f.Name, m, lap)
				}
			}
		}
	}
	kinds := map[string]bool{}
	for _, k := range b.kinds {
		kinds[k.Name] = true
	}
	runs := func(name string, reach, on []string) {
		for _, s := range reach {
			if !known[s] {
				t.wrong(none, "%s: there is no shape %s.", name, s)
			}
		}
		for _, k := range on {
			if !kinds[k] {
				t.wrong(none, "%s: there is no machine %s.", name, k)
			}
		}
	}
	for _, tool := range b.tools {
		runs(tool.Name, tool.Reach, tool.On)
		runs(tool.Name, tool.LargeReach, nil)
		for bond := range tool.Rim {
			if !bonds[bond] {
				t.wrong(none, "%s: there is no bond %s.", tool.Name, bond)
			}
		}
		for _, bond := range tool.usual {
			if !bonds[bond] {
				t.wrong(none, "%s: there is no bond %s.", tool.Name, bond)
			}
		}
	}
	for _, m := range b.media {
		if !laps[m.Lap] {
			t.wrong(none, "%s: there is no lap class %s.", m.Name, m.Lap)
		}
		runs(m.Name, m.Reach, m.On)
		for _, mix := range m.Mixes {
			if !mixes[mix] {
				t.wrong(none, "%s: there is no mix %s.", m.Name, mix)
			}
		}
	}
	drives, glasses := map[string]bool{}, map[string]bool{}
	for _, d := range b.drives {
		drives[d.name] = true
	}
	for _, g := range b.glasses {
		glasses[g.Name] = true
	}
	for _, g := range b.unlisted {
		if !glasses[g.like] {
			t.wrong(none, "%s: there is no glass %s.", g.name, g.like)
		}
	}
	for _, k := range b.kinds {
		for d := range k.driven {
			if !drives[d] {
				t.wrong(none, "%s: there is no drive %s.", k.Name, d)
			}
		}
		for _, s := range k.Reach {
			if !known[s] {
				t.wrong(none, "%s: there is no shape %s.", k.Name, s)
			}
		}
		for _, topic := range k.Topics {
			if !topics[topic] {
				t.wrong(none, "%s: there is no caution %s.", k.Name, topic)
			}
		}
	}
}
