package pdf

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"sync"
)

// file is a PDF as its numbered objects, without the "obj" around each.
type file struct {
	// objects[n] is object n; objects[0] stands for the free list.
	objects [][]byte
}

var errDrawn = errors.New("the library wrote a file of another form than the one that can be finished")

// readFile takes apart a file as the library writes it: one cross-reference
// table and no object streams.
func readFile(in []byte) (*file, error) {
	at := bytes.LastIndex(in, []byte("startxref\n"))
	if at < 0 {
		return nil, errDrawn
	}
	line, _, _ := bytes.Cut(in[at+len("startxref\n"):], []byte("\n"))
	xref, err := strconv.Atoi(string(line))
	if err != nil || xref < 0 || xref >= at {
		return nil, errDrawn
	}
	rest, ok := bytes.CutPrefix(in[xref:at], []byte("xref\n0 "))
	if !ok {
		return nil, errDrawn
	}
	line, rest, _ = bytes.Cut(rest, []byte("\n"))
	count, err := strconv.Atoi(string(line))
	const entry = 20 // bytes of a line of the table
	if err != nil || count < 1 || len(rest) < entry*count {
		return nil, errDrawn
	}
	offsets := make([]int, count)
	order := make([]int, 0, count-1)
	for n := 1; n < count; n++ {
		offset, err := strconv.Atoi(string(rest[entry*n : entry*n+10]))
		if err != nil || offset > xref {
			return nil, errDrawn
		}
		offsets[n] = offset
		order = append(order, n)
	}
	slices.SortFunc(order, func(a, b int) int { return offsets[a] - offsets[b] })
	f := &file{objects: make([][]byte, count)}
	for i, n := range order {
		end := xref
		if i+1 < len(order) {
			end = offsets[order[i+1]]
		}
		body, ok := bytes.CutPrefix(in[offsets[n]:end], []byte(strconv.Itoa(n)+" 0 obj\n"))
		if !ok {
			return nil, errDrawn
		}
		if body, ok = bytes.CutSuffix(body, []byte("\nendobj\n")); !ok {
			return nil, errDrawn
		}
		f.objects[n] = body
	}
	return f, nil
}

// add puts an object at the end and gives its number.
func (f *file) add(body []byte) int {
	f.objects = append(f.objects, body)
	return len(f.objects) - 1
}

// find is the number of the object that begins with prefix, or 0.
func (f *file) find(prefix string) int {
	for n := 1; n < len(f.objects); n++ {
		if bytes.HasPrefix(f.objects[n], []byte(prefix)) {
			return n
		}
	}
	return 0
}

// stream is the content of an object that the library wrote uncompressed.
func (f *file) stream(n int) ([]byte, error) {
	if n >= len(f.objects) {
		return nil, errDrawn
	}
	rest, ok := bytes.CutPrefix(f.objects[n], []byte("<</Length "))
	if !ok {
		return nil, errDrawn
	}
	number, rest, ok := bytes.Cut(rest, []byte(">>\nstream\n"))
	length, err := strconv.Atoi(string(number))
	if !ok || err != nil || length < 0 || length > len(rest) {
		return nil, errDrawn
	}
	return rest[:length], nil
}

// bytes writes the file, with the catalog and information dictionary given.
//
// The header says 1.7 for the viewer preferences; PDF/A-1b readers look at the
// claim in the metadata instead. The four bytes over 127 in the comment tell
// programs that move files that this one is binary (ISO 19005-1, 6.1.2).
func (f *file) bytes(catalog, info int) []byte {
	size := 1024
	for _, body := range f.objects {
		size += len(body) + 50
	}
	out := make([]byte, 0, size)
	out = append(out, "%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"...)
	offsets := make([]int, len(f.objects))
	for n := 1; n < len(f.objects); n++ {
		offsets[n] = len(out)
		out = strconv.AppendInt(out, int64(n), 10)
		out = append(out, " 0 obj\n"...)
		out = append(out, f.objects[n]...)
		out = append(out, "\nendobj\n"...)
	}
	id := sha256.Sum256(out)
	xref := len(out)
	out = fmt.Appendf(out, "xref\n0 %d\n0000000000 65535 f \n", len(f.objects))
	for _, offset := range offsets[1:] {
		out = fmt.Appendf(out, "%010d 00000 n \n", offset)
	}
	return fmt.Appendf(out, "trailer\n<</Size %d/Root %d 0 R/Info %d 0 R/ID[<%x><%x>]>>\nstartxref\n%d\n%%%%EOF\n",
		len(f.objects), catalog, info, id[:16], id[:16], xref)
}

// streamObject is a stream with its length put behind the entries given.
func streamObject(entries, data []byte) []byte {
	out := make([]byte, 0, len(entries)+len(data)+48)
	out = append(out, "<<"...)
	out = append(out, entries...)
	out = append(out, "/Length "...)
	out = strconv.AppendInt(out, int64(len(data)), 10)
	out = append(out, ">>\nstream\n"...)
	out = append(out, data...)
	return append(out, "\nendstream"...)
}

// writers are used again: a new one costs more than most streams here.
var writers = sync.Pool{New: func() any { return zlib.NewWriter(nil) }}

func deflate(data []byte) []byte {
	var out bytes.Buffer
	out.Grow(len(data)/3 + 64)
	z := writers.Get().(*zlib.Writer)
	defer writers.Put(z)
	z.Reset(&out)
	// A write to memory does not fail.
	_, _ = z.Write(data)
	_ = z.Close()
	return out.Bytes()
}
