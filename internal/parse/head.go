package parse

import (
	"fmt"
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// The keys of the front matter and of what stands in it.
var (
	headKeys = []string{"recipe", "title", "revision", "date", "approved", "review", "glass", "coating",
		"piece", "surfaces", "stop", "cautions", "changes", "accepted"}
	pieceKeys   = []string{"form", "size", "count", "mass", "hollow", "wall", "mould"}
	surfaceKeys = []string{"name", "shape", "count", "area", "length", "width", "from", "to", "tile"}
	coatingKeys = []string{"kind", "on", "capped"}
	changeKeys  = []string{"revision", "date", "kind", "note"}
	acceptKeys  = []string{"finding", "reason", "until"}
)

// wanted are the keys that have to be there, each with a line that shows one.
type wanted struct{ key, line string }

var (
	headWanted = []wanted{
		{"recipe", "recipe: cast-weight"},
		{"title", "title: Cast paperweight, base bright"},
		{"revision", "revision: 1"},
		{"date", "date: 2026-10-05"},
		{"glass", "glass: soda-lime, or glass: unknown"},
		{"piece", "piece: {form: cast, size: 120 x 80 x 40 mm}"},
		{"surfaces", "surfaces: and below it one line a surface, as in - {name: base, shape: flat, area: 50 cm², from: as cast, to: satin}"},
	}
	surfaceWanted = []wanted{
		{"name", "name: base"}, {"shape", "shape: flat"}, {"from", "from: as cast"}, {"to", "to: satin"},
	}
	pieceWanted = []wanted{{"form", "form: cast"}}
	// sizeWanted is asked for where no mass is written: one follows from the
	// other.
	sizeWanted    = []wanted{{"size", "size: 120 x 80 x 40 mm, or size: 80 mm dia x 45 mm"}}
	coatingWanted = []wanted{{"kind", "kind: dichroic"}, {"on", "on: base"}}
	changeWanted  = []wanted{{"revision", "revision: 2"}, {"date", "date: 2026-10-05"}, {"kind", "kind: method"}, {"note", "note: what was changed"}}
	acceptWanted  = []wanted{{"finding", "finding: the id of the rule"}, {"reason", "reason: why it does not hold here"}, {"until", "until: 2027-10-05"}}
)

// head reads the front matter between two bytes of the file.
func (r *reading) head(there bool, from, to int) {
	rec := r.recipe
	if !there {
		r.surfaceless = true
		return
	}
	before := len(*r.list)
	top := keys.Read(r.file, from, to, r.list)
	r.once(before)
	switch top.Kind() {
	case keys.Missing, keys.Unread, keys.Scalar, keys.List:
		r.surfaceless = true
		if top.Kind() != keys.Missing {
			r.fields(top, "the front matter", headKeys, r.list)
		}
		return
	}
	f := r.fields(top, "the front matter", headKeys, r.list)
	r.need(f, "The front matter", r.file.Span(rec.Head.Start, rec.Head.Start+len(mark)), headWanted)

	rec.ID = r.idField(f.Get("recipe"))
	rec.Title = r.textField(f.Get("title"))
	rec.Revision = r.countField(f.Get("revision"))
	rec.Date = r.dateField(f.Get("date"))
	rec.Approved = r.approvedField(f.Get("approved"))
	rec.Review = r.dateField(f.Get("review"))
	r.glass(f.Get("glass"))
	r.piece(f.Get("piece"))
	r.surfaceList(f.Get("surfaces"))
	r.coating(f.Get("coating"))
	rec.Stop = r.textField(f.Get("stop"))
	r.cautions(f.Get("cautions"))
	r.changes(f.Get("changes"))
	r.accepted(f.Get("accepted"))
}

// need reports every wanted key that is not written. where begins the
// sentence.
func (r *reading) need(f keys.Fields, where string, at source.Span, keysWanted []wanted) {
	for _, w := range keysWanted {
		if f.Get(w.key).Kind() == keys.Missing {
			r.say(MissingKey, at, fmt.Sprintf("%s has no %s.", where, quote(w.key)), "Write "+r.lineFor(w.key)+".")
		}
	}
}

// lineFor is a line that shows how a key that has to be there is written, ""
// for every other.
func (r *reading) lineFor(key string) string {
	if key == "recipe" {
		if id := slugOf(r.file.Name); GoodID(id) {
			return "recipe: " + id
		}
		return "recipe: and a short name in lower-case letters, figures and hyphens"
	}
	for _, all := range [...][]wanted{headWanted, surfaceWanted, pieceWanted, sizeWanted, coatingWanted, changeWanted, acceptWanted} {
		for _, w := range all {
			if w.key == key {
				return w.line
			}
		}
	}
	return ""
}

func lacks(f keys.Fields, keysWanted []wanted) bool {
	for _, w := range keysWanted {
		if f.Get(w.key).Kind() == keys.Missing {
			return true
		}
	}
	return false
}

// idField reads the name a recipe is filed and printed under.
func (r *reading) idField(v keys.Value) recipe.Field[string] {
	text, at, ok := r.scalar(v)
	f := recipe.Field[string]{Span: at}
	if !ok {
		return f
	}
	if GoodID(text) {
		f.Value, f.OK = text, true
		return f
	}
	message := "%s cannot name a recipe: a name has lower-case letters, figures and hyphens only."
	if strings.ContainsAny(text, `/\`) || strings.Contains(text, "..") {
		message = "%s is the way to a file; a recipe is named in lower-case letters, figures and hyphens only."
	}
	help := "Write a short name, as in cast-weight."
	if slug := slugOf(text); GoodID(slug) && len(slug) <= maxID {
		help = "Write " + slug + "."
	}
	r.say(BadID, at, fmt.Sprintf(message, quote(text)), help)
	if slug := slugOf(text); GoodID(slug) && !strings.ContainsAny(text, `/\.`) {
		r.mended(diag.Word(at, text, slug))
	}
	return f
}

// maxID is the longest name of a recipe: it goes into file names and headers.
const maxID = 64

// GoodID says whether a recipe may be named so: lower-case letters, figures and
// single hyphens, at most 64 of them.
func GoodID(s string) bool {
	if s == "" || len(s) > maxID || s[0] == '-' || s[len(s)-1] == '-' {
		return false
	}
	for i := 0; i < len(s); i++ {
		c := s[i]
		if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-' && s[i-1] != '-') {
			return false
		}
	}
	return true
}

// slugOf is the nearest thing to s that may name a recipe.
func slugOf(s string) string {
	s = strings.ToLower(s)
	if i := strings.LastIndexAny(s, `/\`); i >= 0 {
		s = s[i+1:]
	}
	s = strings.TrimSuffix(s, ".md")
	words := strings.FieldsFunc(s, func(c rune) bool {
		return !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9')
	})
	return strings.Join(words, "-")
}

func (r *reading) glass(v keys.Value) {
	text, at, ok := r.scalar(v)
	r.recipe.Glass.Span = at
	if !ok {
		return
	}
	if fold(text) == "unknown" {
		r.recipe.GlassUnknown = true
		return
	}
	if g := r.house.FindGlass(text); g != nil {
		r.recipe.Glass.Value, r.recipe.Glass.OK = g, true
		return
	}
	if help, ok := r.house.GlassHelp(text); ok {
		r.recipe.GlassUnknown = true
		r.say(UnknownGlass, at, fmt.Sprintf("Nothing here says whether %s holds lead.", quote(text)), help)
		return
	}
	names := r.names.glasses
	if near := keys.OneSlip(text, r.names.glassesToo); near != "" && keys.Nearest(text, names) == "" {
		names = []string{near}
	}
	help := nearest(text, names)
	if keys.Nearest(text, names) == "" {
		help += " A glass of your own is named in the shop file; glass: unknown is handled as lead glass."
	}
	r.say(UnknownGlass, at, fmt.Sprintf("%s is no glass known here.", capital(quote(text))), help)
	r.slip(at, text, names)
}

func (r *reading) piece(v keys.Value) {
	p := &r.recipe.Piece
	p.Span = v.Span()
	switch v.Kind() {
	case keys.Missing, keys.Unread:
		return
	case keys.Empty:
		r.scalar(v)
		return
	case keys.List:
		if all := v.List(); len(all) == 1 {
			v = all[0]
		}
	}
	f := r.fields(v, "the piece", pieceKeys, r.list)
	if v.Kind() != keys.Map {
		return
	}
	_, at := v.Key()
	r.need(f, "The piece", at, pieceWanted)
	if f.Get("mass").Kind() == keys.Missing {
		r.need(f, "The piece", at, sizeWanted)
	}
	p.Form = r.wordField(f.Get("form"), "form of a piece", pieceForms)
	p.Size = r.sizeField(f.Get("size"))
	p.Count = r.countField(f.Get("count"))
	p.Mass = r.amountField(f.Get("mass"), quantity.Mass)
	p.Hollow = r.yesField(f.Get("hollow"))
	p.Wall = r.amountField(f.Get("wall"), quantity.Length)
	if p.Wall.OK && !p.Hollow.Written() {
		// Only hollow ware has a wall.
		p.Hollow = recipe.Field[bool]{Value: true, OK: true, Span: p.Wall.Span}
	}
	p.Mould = r.mouldField(f.Get("mould"))
}

func (r *reading) sizeField(v keys.Value) recipe.Field[recipe.Size] {
	text, at, ok := r.scalar(v)
	f := recipe.Field[recipe.Size]{Span: at}
	if !ok {
		return f
	}
	sides, diameter, height, err := quantity.ParseSize(text, r.house.Numbers)
	if err != nil {
		at := v.Part(err.Start, err.End)
		r.say(BadAmount, at, err.Message, err.Help)
		r.mended(diag.Word(at, err.Words, err.Put))
		return f
	}
	f.Value = recipe.Size{Sides: sides, Diameter: diameter, Height: height, Words: strings.TrimSpace(text)}
	f.OK = true
	return f
}

func (r *reading) surfaceList(v keys.Value) {
	rec := r.recipe
	rec.SurfacesSpan = v.Span()
	if v.Kind() == keys.Missing || v.Kind() == keys.Unread {
		r.surfaceless = true
		return
	}
	if v.Kind() == keys.Empty {
		r.surfaceless = true
		r.scalar(v)
		return
	}
	if named := byName(v); named != nil {
		r.surfaceless = true
		r.say(BadValue, named[0].KeySpan, "A surface is a line that begins with a dash, with its name among its keys.",
			"Write - {name: "+named[0].Key+", and its other keys behind that; so for each surface.")
		return
	}
	all := v.List()
	rec.Surfaces = make([]recipe.Surface, 0, len(all))
	r.surfaces = make(map[string]int, len(all))
	for _, one := range all {
		r.surface(one)
	}
}

// byName gives the surfaces that are written as keys with their names before
// them; nil where they are not.
func byName(v keys.Value) []keys.Entry {
	if v.Kind() != keys.Map {
		return nil
	}
	all := v.Entries(&diag.List{})
	for _, e := range all {
		if e.Value.Kind() != keys.Map || slices.Contains(surfaceKeys, e.Key) {
			return nil
		}
	}
	if len(all) == 0 {
		return nil
	}
	return all
}

func (r *reading) surface(v keys.Value) {
	if v.Kind() != keys.Map {
		r.surfaceless = true
		if v.Kind() == keys.Scalar || v.Kind() == keys.List {
			r.fields(v, "a surface", surfaceKeys, r.list)
		}
		return
	}
	f := r.fields(v, "a surface", surfaceKeys, r.list)
	s := recipe.Surface{Span: v.Span()}
	s.Name = r.textField(f.Get("name"))
	if lacks(f, surfaceWanted) {
		where, at := "A surface", firstLine(s.Span)
		if s.Name.OK {
			where, at = "The surface "+quote(s.Name.Value), s.Name.Span
		}
		r.need(f, where, at, surfaceWanted)
	}
	if !s.Name.OK {
		r.surfaceless = true
	}
	s.Shape = lookField(r, f.Get("shape"), UnknownShape, "shape of a surface", r.house.FindShape, r.names.shapes)
	s.Count = r.countField(f.Get("count"))
	s.Area = r.amountField(f.Get("area"), quantity.Area)
	s.Length = r.amountField(f.Get("length"), quantity.Length)
	s.Width = r.amountField(f.Get("width"), quantity.Length)
	s.From = r.arrivalField(f.Get("from"), s.Shape.Value)
	s.To = lookField(r, f.Get("to"), UnknownFinish, "finish", r.house.FindFinish, r.names.finishes)
	s.Tile = r.textField(f.Get("tile"))
	if s.Tile.OK && !r.tile(s.Tile.Span, s.Tile.Value) {
		s.Tile.OK = false
	}
	if s.Name.OK {
		name := fold(s.Name.Value)
		switch first, twice := r.surfaces[name]; {
		case twice:
			line, _ := r.file.Position(r.recipe.Surfaces[first].Name.Span.Start)
			r.say(SurfaceTwice, s.Name.Span,
				fmt.Sprintf("Two surfaces are called %s; the first stands in line %d.", quote(s.Name.Value), line),
				"Give each its own name, or write count: 2 for two alike.")
		case name == "all":
			r.say(SurfaceTwice, s.Name.Span, "A surface cannot be called “all”: the word means every surface.",
				"Name it after the part of the piece: base, rim, dome.")
		default:
			r.surfaces[name] = len(r.recipe.Surfaces)
		}
	}
	r.recipe.Surfaces = append(r.recipe.Surfaces, s)
}

// firstLine is the part of a span that lies in its first line.
func firstLine(s source.Span) source.Span {
	if i := strings.IndexByte(s.Text(), '\n'); i >= 0 {
		s.End = s.Start + len(strings.TrimRight(s.Text()[:i], "\r"))
	}
	return s
}

// lookField reads a word the house knows a thing by.
func lookField[T any](r *reading, v keys.Value, id, what string, find func(string) *T, names []string) recipe.Field[*T] {
	text, at, ok := r.scalar(v)
	f := recipe.Field[*T]{Span: at}
	if !ok {
		return f
	}
	if f.Value = find(text); f.Value != nil {
		f.OK = true
		return f
	}
	r.unknown(id, at, text, what, names)
	return f
}

// tile reports a tile the house has not.
func (r *reading) tile(at source.Span, code string) bool {
	if r.house.FindTile(code) != nil {
		return true
	}
	help := "Add it to the tiles of the shop file."
	if n := len(r.names.tiles); n > 0 && n < short {
		help = "The house has " + strings.Join(r.names.tiles, ", ") + "; a new tile goes into the tiles of the shop file."
	}
	if near := keys.Nearest(code, r.names.tiles); near != "" {
		help = "Write " + near + ", or add the new tile to the tiles of the shop file."
	}
	r.say(UnknownTile, at, fmt.Sprintf("The house has no tile %s.", quote(code)), help)
	r.slip(at, code, r.names.tiles)
	return false
}

// pieces cuts a text at a byte and gives where each part stands without the
// spaces around it, in the room of all. Between two figures a comma belongs to
// the number.
func pieces(text string, at byte, all [][2]int) [][2]int {
	from := 0
	for i := 0; i <= len(text); i++ {
		if i < len(text) && (text[i] != at || i > 0 && figure(text[i-1]) && i+1 < len(text) && figure(text[i+1])) {
			continue
		}
		start, end := from, i
		for start < end && isSpace(text[start]) {
			start++
		}
		for end > start && isSpace(text[end-1]) {
			end--
		}
		all = append(all, [2]int{start, end})
		from = i + 1
	}
	return all
}

func figure(b byte) bool { return b >= '0' && b <= '9' }

func (r *reading) coating(v keys.Value) {
	switch v.Kind() {
	case keys.Missing, keys.Unread:
		return
	case keys.Empty:
		r.scalar(v)
		return
	}
	f := r.fields(v, "the coating", coatingKeys, r.list)
	if v.Kind() != keys.Map {
		return
	}
	_, at := v.Key()
	r.need(f, "The coating", at, coatingWanted)
	c := &recipe.Coating{Span: v.Span()}
	c.Kind = r.wordField(f.Get("kind"), "coating", coatingKinds)
	c.On = r.textField(f.Get("on"))
	if c.On.OK {
		if i, ok := r.surfaces[fold(c.On.Value)]; ok {
			c.On.Value = r.recipe.Surfaces[i].Name.Value
		} else {
			c.On.OK = false
			r.noSurface(c.On.Span, c.On.Value)
		}
	}
	c.Capped = r.amountField(f.Get("capped"), quantity.Length)
	r.recipe.Coating = c
}

func (r *reading) cautions(v keys.Value) {
	r.recipe.CautionsSpan = v.Span()
	for _, one := range v.Members(r.topicLike, r.list) {
		text, at, ok := r.scalar(one)
		if !ok {
			continue
		}
		topic := r.house.FindTopic(text)
		if topic == nil && r.twoTopics(at, text) {
			continue
		}
		if topic == nil {
			r.unknownTopic(at, text)
			// A slip is read as the caution that was meant.
			topic = r.house.FindTopic(keys.Nearest(text, r.names.topics))
		}
		r.recipe.Cautions = append(r.recipe.Cautions, recipe.Topic{Topic: topic, Span: at})
	}
}

// twoTopics reads two cautions with no comma between them as both.
func (r *reading) twoTopics(at source.Span, text string) bool {
	for i := range text {
		if text[i] != ' ' {
			continue
		}
		one, two := r.house.FindTopic(text[:i]), r.house.FindTopic(text[i+1:])
		if one == nil || two == nil {
			continue
		}
		r.say(UnknownTopic, at, "Two cautions stand here, and the comma between them is missing.", "Write "+text[:i]+", "+text[i+1:]+".")
		r.mended(diag.Word(at, text, text[:i]+", "+text[i+1:]))
		r.recipe.Cautions = append(r.recipe.Cautions, recipe.Topic{Topic: one, Span: at}, recipe.Topic{Topic: two, Span: at})
		return true
	}
	return false
}

// topicLike says whether words are a caution or nearly one.
func (r *reading) topicLike(words string) bool {
	return r.house.FindTopic(words) != nil || keys.Nearest(words, r.names.topics) != ""
}

func (r *reading) unknownTopic(at source.Span, text string) {
	help := "coldwright explain lists the cautions there are; one of your own goes into a step as a quote: > Caution: …"
	if near := keys.Nearest(text, r.names.topics); near != "" {
		help = "Write " + near + "."
	}
	r.say(UnknownTopic, at, fmt.Sprintf("%s is no caution known here.", capital(quote(text))), help)
	r.slip(at, text, r.names.topics)
}

func (r *reading) changes(v keys.Value) {
	r.recipe.ChangesSpan = v.Span()
	for _, one := range v.List() {
		f := r.fields(one, "a change", changeKeys, r.list)
		if one.Kind() != keys.Map {
			continue
		}
		r.need(f, "A change", firstLine(one.Span()), changeWanted)
		r.recipe.Changes = append(r.recipe.Changes, recipe.Change{
			Span:     one.Span(),
			Revision: r.countField(f.Get("revision")),
			Date:     r.dateField(f.Get("date")),
			Kind:     r.wordField(f.Get("kind"), "kind of change", changeKinds),
			Note:     r.textField(f.Get("note")),
		})
	}
}

func (r *reading) accepted(v keys.Value) {
	for _, one := range v.List() {
		f := r.fields(one, "an accepted finding", acceptKeys, r.list)
		if one.Kind() != keys.Map {
			continue
		}
		r.need(f, "An accepted finding", firstLine(one.Span()), acceptWanted)
		r.recipe.Accepted = append(r.recipe.Accepted, recipe.Accepted{
			Span:    one.Span(),
			Finding: r.textField(f.Get("finding")),
			Reason:  r.textField(f.Get("reason")),
			Until:   r.dateField(f.Get("until")),
		})
	}
}
