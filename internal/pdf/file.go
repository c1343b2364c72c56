package pdf

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
	"strconv"
	"sync"
)

// file is a PDF being written: every object goes out as it comes, and only the
// place where it went is kept.
type file struct {
	out     *bufio.Writer
	sum     hash.Hash
	written int64
	// offsets[n] is where object n begins; offsets[0] stands for the free list.
	offsets []int64
	err     error
}

// newFile begins a file.
//
// The header says 1.7 for the viewer preferences; PDF/A-1b readers look at the
// claim in the metadata instead. The four bytes over 127 in the comment tell
// programs that move files that this one is binary (ISO 19005-1, 6.1.2).
func newFile(to io.Writer) *file {
	f := &file{sum: sha256.New(), offsets: make([]int64, 1)}
	f.out = bufio.NewWriterSize(io.MultiWriter(to, f.sum), 1<<16)
	f.write([]byte("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"))
	return f
}

func (f *file) write(b []byte) {
	if f.err != nil {
		return
	}
	n, err := f.out.Write(b)
	f.written, f.err = f.written+int64(n), err
}

// reserve gives a number to an object that is put later.
func (f *file) reserve() int {
	f.offsets = append(f.offsets, 0)
	return len(f.offsets) - 1
}

// put writes the object with a number.
func (f *file) put(n int, body []byte) {
	f.offsets[n] = f.written
	var head [32]byte
	f.write(append(strconv.AppendInt(head[:0], int64(n), 10), " 0 obj\n"...))
	f.write(body)
	f.write([]byte("\nendobj\n"))
}

// add writes an object under the next number, and gives that.
func (f *file) add(body []byte) int {
	n := f.reserve()
	f.put(n, body)
	return n
}

// end writes what follows the objects. The file names itself by a hash of what
// it holds.
func (f *file) end(catalog, info int) error {
	if f.err == nil {
		f.err = f.out.Flush()
	}
	id := f.sum.Sum(nil)[:16]
	xref := f.written
	f.write(fmt.Appendf(nil, "xref\n0 %d\n0000000000 65535 f \n", len(f.offsets)))
	var line []byte
	for _, offset := range f.offsets[1:] {
		line = fmt.Appendf(line[:0], "%010d 00000 n \n", offset)
		f.write(line)
	}
	f.write(fmt.Appendf(nil, "trailer\n<</Size %d/Root %d 0 R/Info %d 0 R/ID[<%x><%x>]>>\nstartxref\n%d\n%%%%EOF\n",
		len(f.offsets), catalog, info, id, id, xref))
	if f.err == nil {
		f.err = f.out.Flush()
	}
	return f.err
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

// writers are used again: a new one costs more than most streams here. Beyond
// level 4, a page takes up to half as long again to come out a fiftieth shorter.
var writers = sync.Pool{New: func() any {
	z, err := zlib.NewWriterLevel(nil, 4)
	if err != nil {
		panic(err) // the level is one there is
	}
	return z
}}

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
