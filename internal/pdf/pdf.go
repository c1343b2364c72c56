// Package pdf writes a laid-out document as a PDF file.
//
// It is the only user of the PDF library, in two stages. First the library
// draws the pages (painter): text as two-byte glyph numbers in stand-in fonts,
// since the library's own Unicode fonts cost several times the rest of the
// document. Then one finishing pass over the file it wrote (finish) puts the
// real fonts in place and adds what the library does not write: pictures,
// links, bookmarks, the structure a screen reader follows, and the metadata
// that PDF/A-1b (ISO 19005-1) asks for.
//
// Nothing here reads the clock, a map in its own order, or anything but the
// document: the same document gives the same bytes.
package pdf

import (
	"errors"
	"fmt"

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
	return guarded(func() ([]byte, error) {
		if err := check(doc); err != nil {
			return nil, err
		}
		p := newPainter(doc)
		for i := range doc.Pages {
			if err := p.page(&doc.Pages[i]); err != nil {
				return nil, fmt.Errorf("page %d: %w", i+1, err)
			}
		}
		drawn, err := p.output()
		if err != nil {
			return nil, err
		}
		return finish(doc, p, drawn)
	})
}

// guarded runs write and turns a panic into an error: the drawing library
// reports some faults so, and none may take a whole run of prints down.
func guarded(write func() ([]byte, error)) (file []byte, err error) {
	defer func() {
		if r := recover(); r != nil {
			file, err = nil, fmt.Errorf("pdf: drawing failed: %v", r)
		}
	}()
	if file, err = write(); err != nil {
		return nil, fmt.Errorf("pdf: %w", err)
	}
	return file, nil
}

func check(doc *draw.Document) error {
	if doc == nil || len(doc.Pages) == 0 {
		return errors.New("the document has no page")
	}
	if doc.Width <= 0 || doc.Height <= 0 || doc.Width > maxSide || doc.Height > maxSide {
		return fmt.Errorf("a page of %.1f by %.1f mm cannot be written",
			doc.Width.Millimetres(), doc.Height.Millimetres())
	}
	return nil
}
