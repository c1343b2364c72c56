// Package source holds the files a house is written in and points into them.
//
// The one currency of position is a byte offset into the file as it lies on
// disk. Lines and columns are worked out only where a person reads them.
package source

import (
	"bytes"
	"sort"
	"unicode/utf8"
	"unsafe"
)

// File is one text file of the house.
type File struct {
	// Name is the path shown to people: relative, with forward slashes.
	Name string
	// Text is the whole file, untouched and not to be written to.
	Text []byte

	lines []int // offset of the first byte of every line
}

var lineEnd = []byte{'\n'}

// New makes a File of text; name is what findings print.
func New(name string, text []byte) *File {
	f := &File{Name: name, Text: text, lines: make([]int, 1, bytes.Count(text, lineEnd)+1)}
	for at := 0; ; {
		i := bytes.IndexByte(text[at:], '\n')
		if i < 0 {
			break
		}
		at += i + 1
		f.lines = append(f.lines, at)
	}
	return f
}

// Position turns a byte offset into a line and a column, both counted from 1,
// the column in characters. An offset outside the file is brought to its
// nearest end.
func (f *File) Position(offset int) (line, column int) {
	offset = max(0, min(offset, len(f.Text)))
	i := sort.SearchInts(f.lines, offset+1) - 1
	return i + 1, utf8.RuneCount(f.Text[f.lines[i]:offset]) + 1
}

// Offset is the byte offset of a column, counted in characters, of a line,
// both from 1. Places past the end of the line are brought to its end.
func (f *File) Offset(line, column int) int {
	if line < 1 {
		return 0
	}
	if line > len(f.lines) {
		return len(f.Text)
	}
	offset, end := f.lines[line-1], f.lineEnd(line)
	for ; column > 1 && offset < end; column-- {
		_, size := utf8.DecodeRune(f.Text[offset:end])
		offset += size
	}
	return offset
}

// Lines is the number of lines, at least 1.
func (f *File) Lines() int { return len(f.lines) }

// Line is the text of a line, counted from 1, without its line ending.
func (f *File) Line(line int) string {
	if line < 1 || line > len(f.lines) {
		return ""
	}
	return string(f.Text[f.lines[line-1]:f.lineEnd(line)])
}

// lineEnd is the offset behind the last byte of the line before its ending.
func (f *File) lineEnd(line int) int {
	end := len(f.Text)
	if line < len(f.lines) {
		end = f.lines[line] - 1
	}
	if end > f.lines[line-1] && f.Text[end-1] == '\r' {
		end--
	}
	return end
}

// Span is a stretch of a file, from Start up to but not including End. The
// zero Span points nowhere.
type Span struct {
	File       *File
	Start, End int
}

// Span makes a span of f.
func (f *File) Span(start, end int) Span { return Span{f, start, end} }

// Known says whether the span points anywhere.
func (s Span) Known() bool { return s.File != nil }

// Text is what the file says there.
func (s Span) Text() string { return shared(s.Bytes()) }

// Whole is what the file says, without a copy.
func (f *File) Whole() string { return shared(f.Text) }

// shared are bytes of a file as text. Nobody writes to them, so no copy is made.
func shared(b []byte) string { return unsafe.String(unsafe.SliceData(b), len(b)) }

// Bytes are those of the span as they stand in the file, not to be written to;
// nil where the span is not known.
func (s Span) Bytes() []byte {
	if s.File == nil {
		return nil
	}
	start := max(0, min(s.Start, len(s.File.Text)))
	end := max(start, min(s.End, len(s.File.Text)))
	return s.File.Text[start:end]
}

// To is the span from the start of s to the end of t, which lies in the same
// file.
func (s Span) To(t Span) Span {
	if s.File == nil {
		return t
	}
	if t.File == nil || t.End < s.Start {
		return s
	}
	return Span{s.File, s.Start, t.End}
}

// Part is the stretch of s from its byte start to its byte end.
func (s Span) Part(start, end int) Span {
	return Span{s.File, s.Start + start, s.Start + end}
}

// Place is where the span starts, for people.
type Place struct {
	Name               string
	Line, Column       int
	EndLine, EndColumn int
}

// Place turns the span into lines and columns. A span that points nowhere
// gives the zero Place.
func (s Span) Place() Place {
	if s.File == nil {
		return Place{}
	}
	p := Place{Name: s.File.Name}
	p.Line, p.Column = s.File.Position(s.Start)
	p.EndLine, p.EndColumn = s.File.Position(s.End)
	return p
}
