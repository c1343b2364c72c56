package pdf

import (
	"bytes"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf16"

	"coldwright/internal/draw"
)

// program name, as the file says what made it.
const producer = "Coldwright"

// metadata is what the file says of itself. It stands there twice, as the
// information dictionary and as XMP, and PDF/A-1b wants both to say the same
// (ISO 19005-1, 6.7.3).
type metadata struct {
	title, subject, author, keywords, language string
	date                                       time.Time // zero where there is none
}

func newMetadata(doc *draw.Document) (*metadata, error) {
	m := &metadata{
		title: clean(doc.Title), subject: clean(doc.Subject), author: clean(doc.Author),
		keywords: clean(strings.Join(doc.Keywords, ", ")), language: doc.Language,
	}
	for _, r := range doc.Language {
		if r != '-' && (r > unicode.MaxASCII || !unicode.IsLetter(r) && !unicode.IsDigit(r)) {
			return nil, fmt.Errorf("%q is not the tag of a language", doc.Language)
		}
	}
	if doc.Date != "" {
		date, err := time.Parse(time.DateOnly, doc.Date)
		if err != nil {
			return nil, fmt.Errorf("%q is not a date written YYYY-MM-DD", doc.Date)
		}
		m.date = date
	}
	return m, nil
}

// info is the information dictionary (ISO 32000-1, 14.3.3).
func (m *metadata) info() []byte {
	out := []byte("<<")
	for _, entry := range [...]struct{ key, value string }{
		{"Title", m.title}, {"Subject", m.subject}, {"Author", m.author}, {"Keywords", m.keywords},
		{"Creator", producer}, {"Producer", producer},
	} {
		if entry.value != "" {
			out = append(append(append(out, '/'), entry.key...), textString(entry.value)...)
		}
	}
	if !m.date.IsZero() {
		d := m.date.Format("(D:20060102150405+00'00')")
		out = append(out, "/CreationDate"+d+"/ModDate"+d...)
	}
	return append(out, ">>"...)
}

// xmp is the metadata stream's content, with the claim to PDF/A-1b.
func (m *metadata) xmp() []byte {
	var out bytes.Buffer
	out.WriteString("<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		"<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n" +
		"<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n")
	describe := func(prefix, space string, lines ...string) {
		text := strings.Join(lines, "")
		if text == "" {
			return
		}
		fmt.Fprintf(&out, "<rdf:Description rdf:about=\"\" xmlns:%s=\"%s\">\n%s</rdf:Description>\n", prefix, space, text)
	}
	element := func(name, value, before, after string) string {
		if value == "" {
			return ""
		}
		return "<" + name + ">" + before + xmlText(value) + after + "</" + name + ">\n"
	}
	date := ""
	if !m.date.IsZero() {
		date = m.date.Format("2006-01-02T15:04:05+00:00")
	}
	const alt, altEnd = `<rdf:Alt><rdf:li xml:lang="x-default">`, `</rdf:li></rdf:Alt>`
	describe("pdfaid", "http://www.aiim.org/pdfa/ns/id/",
		element("pdfaid:part", "1", "", ""), element("pdfaid:conformance", "B", "", ""))
	describe("dc", "http://purl.org/dc/elements/1.1/",
		element("dc:format", "application/pdf", "", ""),
		element("dc:title", m.title, alt, altEnd),
		element("dc:description", m.subject, alt, altEnd),
		element("dc:creator", m.author, "<rdf:Seq><rdf:li>", "</rdf:li></rdf:Seq>"),
		element("dc:language", m.language, "<rdf:Bag><rdf:li>", "</rdf:li></rdf:Bag>"))
	describe("pdf", "http://ns.adobe.com/pdf/1.3/",
		element("pdf:Keywords", m.keywords, "", ""), element("pdf:Producer", producer, "", ""))
	describe("xmp", "http://ns.adobe.com/xap/1.0/",
		element("xmp:CreatorTool", producer, "", ""),
		element("xmp:CreateDate", date, "", ""), element("xmp:ModifyDate", date, "", ""))
	out.WriteString("</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"w\"?>")
	return out.Bytes()
}

// clean makes text fit to be said in both forms: one line, valid, without the
// characters XML has no way to write.
func clean(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r < 0x20, r >= 0x7F && r < 0xA0, r == 0xFFFE, r == 0xFFFF:
			return -1
		}
		return r // a byte that is not UTF-8 has become U+FFFD
	}, s)
	return strings.TrimSpace(s)
}

var xmlEscapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")

func xmlText(s string) string { return xmlEscapes.Replace(s) }

// textString writes text for a reader to see: plain ASCII as it is, anything
// else as UTF-16 behind its mark (ISO 32000-1, 7.9.2.2).
func textString(s string) []byte {
	ascii := true
	for i := range len(s) {
		ascii = ascii && s[i] >= 0x20 && s[i] < 0x7F
	}
	if ascii {
		return literal([]byte(s))
	}
	out := []byte("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		out = fmt.Appendf(out, "%04X", u)
	}
	return append(out, '>')
}

// literal writes bytes as a string in brackets.
func literal(b []byte) []byte {
	out := make([]byte, 0, len(b)+8)
	out = append(out, '(')
	for _, c := range b {
		switch {
		case c == '(' || c == ')' || c == '\\':
			out = append(out, '\\', c)
		case c < 0x20:
			out = fmt.Appendf(out, "\\%03o", c)
		default:
			out = append(out, c)
		}
	}
	return append(out, ')')
}

// address writes a web address in the characters addresses are made of (RFC
// 3986, section 2): the others as their bytes, %XX.
func address(s string) string {
	var out strings.Builder
	for i := range len(s) {
		c := s[i]
		if c <= 0x20 || c >= 0x7F || strings.IndexByte("\"<>\\^`{|}", c) >= 0 {
			fmt.Fprintf(&out, "%%%02X", c)
		} else {
			out.WriteByte(c)
		}
	}
	return out.String()
}
