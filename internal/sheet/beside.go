package sheet

import (
	"reflect"

	"coldwright/internal/prose"
	"coldwright/internal/words"
)

// beside puts the words of the same sheet in another language beside those of
// this one: wherever the two say something else, both stand. What the author
// wrote is alike in both and stands once.
func (s *Sheet) beside(other *Sheet) {
	if other == nil {
		return
	}
	meta := s.Meta
	side(reflect.ValueOf(s).Elem(), reflect.ValueOf(other).Elem())
	s.Meta = meta
}

func side(a, b reflect.Value) {
	switch a.Kind() {
	case reflect.String:
		if a.CanSet() && a.String() != b.String() {
			a.SetString(words.Beside(a.String(), b.String()))
		}
	case reflect.Struct:
		if a.Type() == inlineType {
			// Only text is ever a fixed word.
			x, y := a.Addr().Interface().(*prose.Inline), b.Interface().(prose.Inline)
			x.Text = words.Beside(x.Text, y.Text)
			x.Children = sideInlines(x.Children, y.Children)
			return
		}
		if a.Type() == noteType {
			// In a panel each language stands by itself.
			x, y := a.Addr().Interface().(*CautionNote), b.Interface().(CautionNote)
			if x.Title = words.Beside(x.Title, y.Title); x.Words != y.Words {
				x.Second = y.Words
			}
			return
		}
		for _, p := range parts(a.Type()) {
			side(a.Field(p.index), b.Field(p.index))
		}
	case reflect.Slice:
		if a.Type() == inlinesType {
			a.Set(reflect.ValueOf(sideInlines(a.Interface().([]prose.Inline), b.Interface().([]prose.Inline))))
			return
		}
		if a.Len() != b.Len() {
			return
		}
		// The two sheets may share what the recipe holds: what is changed is a
		// copy.
		out := reflect.MakeSlice(a.Type(), a.Len(), a.Len())
		reflect.Copy(out, a)
		for i := range out.Len() {
			side(out.Index(i), b.Index(i))
		}
		if a.CanSet() && !a.IsNil() {
			a.Set(out)
		}
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() || a.Type() == imageType || !a.CanSet() {
			return
		}
		out := reflect.New(a.Type().Elem())
		out.Elem().Set(a.Elem())
		side(out.Elem(), b.Elem())
		a.Set(out)
	case reflect.Interface:
		if a.IsNil() || b.IsNil() || a.Elem().Type() != b.Elem().Type() {
			return
		}
		out := reflect.New(a.Elem().Type()).Elem()
		out.Set(a.Elem())
		side(out, b.Elem())
		a.Set(out)
	}
}

var (
	inlineType = reflect.TypeFor[prose.Inline]()
	noteType   = reflect.TypeFor[CautionNote]()
)

// sideInlines are two lines of prose side by side; those that are not made
// alike stand one after the other.
func sideInlines(a, b []prose.Inline) []prose.Inline {
	if reflect.DeepEqual(a, b) {
		return a
	}
	if len(a) != len(b) {
		return append(append(append([]prose.Inline{}, a...), plain(words.Stroke)...), b...)
	}
	out := append([]prose.Inline{}, a...)
	for i := range out {
		out[i].Text = words.Beside(a[i].Text, b[i].Text)
		out[i].Children = sideInlines(a[i].Children, b[i].Children)
	}
	return out
}
