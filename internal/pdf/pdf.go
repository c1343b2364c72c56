// Package pdf writes a laid-out document as a PDF file.
//
// It is the only user of the PDF library, which draws the content of pages
// (painter). Everything around that content is put together here (binder):
// faces, pictures, links, bookmarks, the structure a screen reader follows, and
// the metadata that PDF/A-1b (ISO 19005-1) asks for. Text is written as
// two-byte glyph numbers, since the library's own Unicode fonts cost several
// times the rest of the document.
//
// A document is drawn part by part, on all cores, and what is drawn goes out at
// once, so that a thick book is never in memory whole.
//
// Nothing here reads the clock, a map in its own order, or anything but the
// document: the same document gives the same bytes.
package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"runtime"

	"coldwright/internal/draw"
)

// maxSide is the longest side a page may have: 14 400 points, 200 inches
// (ISO 32000-1, annex C.2).
const maxSide = draw.Unit(14400 * 1000)

// Write gives the PDF file of a document. Several documents may be written at
// once.
//
// It is an error if the document has no page or no size, a text holds a
// character its face does not have, a link or bookmark leads to an anchor that
// no page has, an anchor's name stands twice, a picture's samples do not fit
// its size, or the date is not a date.
func Write(doc *draw.Document) ([]byte, error) {
	var parts []func() []draw.Page
	if doc != nil && len(doc.Pages) > 0 {
		parts = append(parts, func() []draw.Page { return doc.Pages })
	}
	var out bytes.Buffer
	if err := WriteParts(&out, doc, parts); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// WriteParts writes the PDF file of a document whose pages are those of its
// parts, one part after the other; doc.Pages is not looked at. Each part is
// asked for its pages once, several at a time, and they are let go when they
// are drawn. What is an error in Write is one here; what has been written until
// then is no file. An error of to is given as it is.
func WriteParts(to io.Writer, doc *draw.Document, parts []func() []draw.Page) error {
	if err := check(doc, len(parts)); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	b := newBinder(to, doc, len(parts) > 1)
	// As many parts are drawn at once as there are cores; they wait for each
	// other in the order of their pages.
	queue := make(chan chan *drawn, runtime.GOMAXPROCS(0))
	stop := make(chan struct{})
	defer close(stop)
	go func() {
		defer close(queue)
		for _, pages := range parts {
			one := make(chan *drawn, 1)
			select {
			case queue <- one:
				go func() { one <- paint(doc, pages) }()
			case <-stop:
				return
			}
		}
	}()
	for one := range queue {
		if err := b.take(<-one); err != nil {
			return fmt.Errorf("pdf: %w", err)
		}
		if b.err != nil {
			return b.err
		}
	}
	err := b.finish()
	if err == nil || b.err != nil {
		return b.err
	}
	return fmt.Errorf("pdf: %w", err)
}

// guarded runs draw and turns a panic into an error: the drawing library
// reports some faults so, and none may take a whole run of prints down.
func guarded(draw func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("drawing failed: %v", r)
		}
	}()
	return draw()
}

func check(doc *draw.Document, parts int) error {
	if doc == nil || parts == 0 {
		return errors.New("the document has no page")
	}
	if doc.Width <= 0 || doc.Height <= 0 || doc.Width > maxSide || doc.Height > maxSide {
		return fmt.Errorf("a page of %.1f by %.1f mm cannot be written",
			doc.Width.Millimetres(), doc.Height.Millimetres())
	}
	return nil
}
