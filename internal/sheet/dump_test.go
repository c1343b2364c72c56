package sheet

import (
	"fmt"
	"reflect"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
)

// dump is a sheet as text, one value a line, for goldens and for looking words
// up. What is empty is left out.
func dump(s *Sheet) string {
	var b strings.Builder
	head := *s
	head.Blocks = nil
	dumpValue(&b, "", "sheet", reflect.ValueOf(head))
	for _, block := range s.Blocks {
		fmt.Fprintf(&b, "\n== %s\n", strings.TrimPrefix(fmt.Sprintf("%T", block), "sheet."))
		v := reflect.ValueOf(block)
		for i := 0; i < v.NumField(); i++ {
			dumpValue(&b, "", v.Type().Field(i).Name, v.Field(i))
		}
	}
	return b.String()
}

var partNames = [...]string{"words", "order", "key point", "because", "warn", "state", "move on", "check", "method", "right", "wrong", "go back", "stop here", "label", "shown"}

func dumpValue(b *strings.Builder, indent, name string, v reflect.Value) {
	if !v.IsValid() || v.IsZero() && v.Kind() != reflect.Struct {
		return
	}
	switch x := v.Interface().(type) {
	case Pictures:
		return
	case *draw.Image:
		return
	case []prose.Inline:
		fmt.Fprintf(b, "%s%s: %s\n", indent, name, prose.Words(x))
		return
	case []prose.Block:
		fmt.Fprintf(b, "%s%s: %s\n", indent, name, strings.ReplaceAll(prose.BlockWords(x), "\n", "\n"+indent+"  | "))
		return
	case Part:
		dumpPart(b, indent, x)
		return
	case float64:
		// Four figures: the last of a reckoned number may differ by machine.
		fmt.Fprintf(b, "%s%s: %.4g\n", indent, name, x)
		return
	case fmt.Stringer:
		fmt.Fprintf(b, "%s%s: %s\n", indent, name, x)
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		dumpValue(b, indent, name, v.Elem())
	case reflect.Struct:
		if v.IsZero() {
			return
		}
		fmt.Fprintf(b, "%s%s\n", indent, name)
		for i := 0; i < v.NumField(); i++ {
			dumpValue(b, indent+"  ", v.Type().Field(i).Name, v.Field(i))
		}
	case reflect.Slice:
		for i := 0; i < v.Len(); i++ {
			dumpValue(b, indent, name, v.Index(i))
		}
	default:
		fmt.Fprintf(b, "%s%s: %v\n", indent, name, v.Interface())
	}
}

func dumpPart(b *strings.Builder, indent string, p Part) {
	words := []string{}
	for _, w := range []string{p.Signal.String(), p.Mark, p.Label, prose.Words(p.Words)} {
		if w != "" {
			words = append(words, w)
		}
	}
	if p.Step > 0 {
		words = append(words, fmt.Sprint(p.Step), p.StepTitle)
	}
	if p.Picture != nil {
		words = append(words, p.Picture.Caption, "["+p.Picture.Target+"]")
		if p.Picture.Alt != p.Picture.Caption {
			words = append(words, "("+p.Picture.Alt+")")
		}
	}
	fmt.Fprintf(b, "%s- %s: %s\n", indent, partNames[p.Kind], strings.Join(words, " "))
	if len(p.Blocks) > 0 {
		dumpValue(b, indent+"  ", "blocks", reflect.ValueOf(p.Blocks))
	}
}
