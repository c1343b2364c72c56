package rules

import (
	"sync"

	"coldwright/internal/asread"
	"coldwright/internal/source"
)

// reading is a file as it is read on a sheet, whatever its words were spelled
// with. What the safety rules look for, they look for in its Bytes.
type reading struct {
	asread.Text
	file *source.File
}

// disguised are the words of the refusals that are read through whatever cuts
// them.
var disguised = sync.OnceValue(func() *asread.Words {
	return asread.NewWords(map[asread.Place][]string{
		asread.Anywhere: {"fluor", "säure"},
		asread.Edge:     {"acid", "acids"},
		asread.Opens:    {"etch", "ätz", "frosting", "hydrochlor", "sulphuric", "sulfuric", "oxalic", "muriatic", "bifluor", "sandblast"},
		asread.Alone:    {"hf", "abf", "sand", "slag", "dry", "nitric", "cream", "paste"},
		asread.Broken:   {"fluoride", "fluorides", "bifluoride", "bifluorides", "hydrofluoric"},
	})
})

// readingOf reads a file.
func readingOf(file *source.File) reading {
	if file == nil {
		return reading{}
	}
	return reading{asread.Read(file.Text, disguised()), file}
}

// readWords is a stretch of words as it is read.
func readWords(text string) string {
	read := asread.Read([]byte(text), disguised())
	return string(read.Bytes)
}

// span is the place in the file of the bytes read from up to but without to.
func (r *reading) span(from, to int) source.Span {
	start, end := r.Span(from, to)
	return r.file.Span(start, end)
}

// raw is where in the file the byte read at i begins.
func (r *reading) raw(i int) int {
	start, _ := r.Span(i, i)
	return start
}
