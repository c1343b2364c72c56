package sheet

import (
	"strconv"
	"strings"
	"sync"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/source"
	"coldwright/templates"
)

// Paper is a size of paper, upright, in millimetres.
type Paper struct {
	Name          string
	Also          []string
	Width, Height float64
	// Source is where the size comes from.
	Source string
}

// ISO says whether it is of the ISO series, by its source.
func (p Paper) ISO() bool { return strings.HasPrefix(p.Source, "ISO") }

// Papers are all the papers there are.
func Papers() []Paper { return papers() }

var papers = sync.OnceValue(func() []Paper {
	const name = "sheets/papers.yaml"
	text, err := templates.Sheets.ReadFile(name)
	if err != nil {
		return nil
	}
	f := source.New(name, text)
	var report diag.List
	var list []Paper
	for _, row := range keys.Read(f, 0, len(f.Text), &report).List() {
		fields := row.Fields("a paper", []string{"name", "width", "height", "also", "source"}, &report)
		p := Paper{Name: fields.Get("name").Text(), Source: fields.Get("source").Text()}
		p.Width, _ = strconv.ParseFloat(fields.Get("width").Text(), 64)
		p.Height, _ = strconv.ParseFloat(fields.Get("height").Text(), 64)
		if also := fields.Get("also"); also.Kind() != keys.Missing {
			for _, v := range also.List() {
				p.Also = append(p.Also, v.Text())
			}
		}
		list = append(list, p)
	}
	return list
})

// FindPaper is the paper of that name, whatever its case.
func FindPaper(name string) (Paper, bool) {
	name = strings.TrimSpace(name)
	for _, p := range papers() {
		if strings.EqualFold(p.Name, name) {
			return p, true
		}
		for _, also := range p.Also {
			if strings.EqualFold(also, name) {
				return p, true
			}
		}
	}
	return Paper{}, false
}

// unknownPaper is what is said of a paper nobody knows.
func unknownPaper(at source.Span, name string) diag.Diagnostic {
	known := PaperNames()
	help := "The papers are " + and(known) + "."
	if near := keys.Nearest(name, known); near != "" {
		help = "The nearest is " + near + ". " + help
	}
	return diag.Diagnostic{
		Rule: DesignRule, Severity: diag.Error, Concern: diag.Card, Span: at,
		Message: "There is no paper called “" + name + "”.", Help: help,
	}
}

// PaperName is the name of a paper as it prints, by any of its names; false
// where there is no such paper.
func PaperName(name string) (string, bool) {
	p, ok := FindPaper(name)
	return p.Name, ok
}

// PaperNames are the names of all the papers.
func PaperNames() []string {
	names := make([]string, len(papers()))
	for i, p := range papers() {
		names[i] = p.Name
	}
	return names
}
