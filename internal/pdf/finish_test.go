package pdf

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	reader "github.com/ledongthuc/pdf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/draw"
)

func root(t *testing.T, file []byte) reader.Value {
	t.Helper()
	return opened(t, file).Trailer().Key("Root")
}

func TestHeaderAndTrailer(t *testing.T) {
	file := written(t, sample(1))
	// ISO 19005-1, 6.1.2: a comment of four bytes over 127 behind the header.
	require.True(t, bytes.HasPrefix(file, []byte("%PDF-1.7\n%")))
	for _, b := range file[10:14] {
		assert.Greater(t, b, byte(127))
	}
	id := opened(t, file).Trailer().Key("ID")
	require.Equal(t, 2, id.Len())
	assert.Len(t, id.Index(0).RawString(), 16)
	assert.True(t, bytes.HasSuffix(file, []byte("%%EOF\n")))
	other := written(t, sample(2))
	assert.NotEqual(t, id.Index(0).RawString(), opened(t, other).Trailer().Key("ID").Index(0).RawString())
}

func TestLinksLeadWhereTheySay(t *testing.T) {
	file := written(t, sample(3))
	r := opened(t, file)
	for n := 1; n <= 3; n++ {
		annots := r.Page(n).V.Key("Annots")
		// One for the web, one for the two pieces of the link to the first step.
		require.Equal(t, 2, annots.Len())
		web := annots.Index(0)
		assert.Equal(t, "https://example.org/lap?a=(1)&b=%C3%BC", web.Key("A").Key("URI").RawString())
		assert.EqualValues(t, 4, web.Key("F").Int64())
		back := annots.Index(1)
		dest := back.Key("Dest")
		require.Equal(t, 5, dest.Len())
		assert.Equal(t, r.Page(1).V.String(), dest.Index(0).String())
		assert.Equal(t, "XYZ", dest.Index(1).Name())
		assert.InDelta(t, 56.69, dest.Index(2).Float64(), 0.01)            // 20 mm
		assert.InDelta(t, (297-18)*72/25.4, dest.Index(3).Float64(), 0.01) // 18 mm from the top
		rect := back.Key("Rect")
		assert.InDelta(t, 60*72/25.4, rect.Index(0).Float64(), 0.01)
		base := (297 - 90) * 72 / 25.4
		assert.Less(t, rect.Index(1).Float64(), base)
		assert.Greater(t, rect.Index(3).Float64(), base+10.5*0.7)
		assert.Greater(t, rect.Index(2).Float64()-rect.Index(0).Float64(), 100.0)
	}
}

func TestAddresses(t *testing.T) {
	for in, want := range map[string]string{
		"https://example.org/a?b=c#d":   "https://example.org/a?b=c#d",
		"https://example.org/a b/ü":     "https://example.org/a%20b/%C3%BC",
		"https://example.org/50%25":     "https://example.org/50%25",
		"mailto:lead@example.org":       "mailto:lead@example.org",
		"https://example.org/\"<\n>\\^": "https://example.org/%22%3C%0A%3E%5C%5E",
	} {
		assert.Equal(t, want, address(in))
	}
}

// outline walks bookmarks as a reader does and checks every way back.
func outline(t *testing.T, node reader.Value, depth int, out *[]string) (open int) {
	t.Helper()
	var last reader.Value
	for c := node.Key("First"); !c.IsNull(); c = c.Key("Next") {
		assert.Equal(t, node.String(), c.Key("Parent").String())
		if !last.IsNull() {
			assert.Equal(t, last.Key("Title").Text(), c.Key("Prev").Key("Title").Text())
		}
		*out = append(*out, strings.Repeat(">", depth)+c.Key("Title").Text())
		open += 1 + outline(t, c, depth+1, out)
		last = c
		require.Less(t, len(*out), 1000)
	}
	if !last.IsNull() {
		assert.Equal(t, last.Key("Title").Text(), node.Key("Last").Key("Title").Text())
		assert.EqualValues(t, open, node.Key("Count").Int64())
	}
	return open
}

func TestBookmarks(t *testing.T) {
	doc := one(draw.Anchor{Name: "a"}, draw.Anchor{Name: "b", At: draw.Point{Y: draw.MM(97)}}, draw.Text{Size: draw.Pt(9), Text: "x"})
	// Levels begin anywhere and skip: the tree closes up.
	for _, b := range []struct {
		level int
		title string
	}{{1, "Rim"}, {3, "Grind — F400"}, {2, "Smooth"}, {1, "Foot (flat)"}, {0, "Notes"}, {1, "Change\nrecord"}} {
		doc.Bookmarks = append(doc.Bookmarks, draw.Bookmark{Level: b.level, Title: b.title, Anchor: "b"})
	}
	file := written(t, doc)
	valid(t, file)
	var got []string
	top := root(t, file).Key("Outlines")
	assert.Equal(t, 6, outline(t, top, 0, &got))
	assert.Equal(t, []string{"Rim", ">Grind — F400", ">Smooth", "Foot (flat)", "Notes", ">Change record"}, got)
	assert.InDelta(t, 200*72/25.4, top.Key("First").Key("Dest").Index(3).Float64(), 0.01)
	assert.True(t, root(t, written(t, one(draw.Anchor{Name: "a"}))).Key("Outlines").IsNull())
}

// roles are the elements of a structure tree, a line each, deeper ones
// indented; a leaf with the mark it has on its page.
func roles(t *testing.T, e reader.Value, depth int, out *[]string) {
	line := strings.Repeat(" ", depth) + e.Key("S").Name()
	k := e.Key("K")
	if k.Kind() == reader.Integer {
		line += " " + strconv.FormatInt(k.Int64(), 10)
		assert.Equal(t, "Page", e.Key("Pg").Key("Type").Name())
	}
	*out = append(*out, line)
	for i := range k.Len() {
		roles(t, k.Index(i), depth+1, out)
	}
}

func TestStructure(t *testing.T) {
	file := written(t, sample(1))
	catalog := root(t, file)
	assert.True(t, catalog.Key("MarkInfo").Key("Marked").Bool())
	tree := catalog.Key("StructTreeRoot")
	var got []string
	roles(t, tree.Key("K").Index(0), 0, &got)
	assert.Equal(t, []string{"Document", " H1 0", " P 1", " P 2", " P 3", " P 4", " P 5", " P 6", " P 7", " P 8",
		" L", "  LI", "   LBody 9", "  LI", "   LBody 10", "  LI", "   LBody 11",
		" Table", "  TR", "   TH 12", "   TH 13", "   TH 14", "  TR", "   TD 15", "   TD 16", "   TD 17",
		"  TR", "   TD 18", "   TD 19", "   TD 20", " Figure 21", " Caption 22", " Note 23"}, got)

	// The way back from the marks to the elements.
	nums := tree.Key("ParentTree").Key("Nums")
	page := opened(t, file).Page(1).V
	assert.EqualValues(t, 0, page.Key("StructParents").Int64())
	require.Equal(t, 2, nums.Len())
	require.Equal(t, 24, nums.Index(1).Len())
	for i := range 24 {
		assert.EqualValues(t, i, nums.Index(1).Index(i).Key("K").Int64())
	}
	assert.Equal(t, "A lens held under the lap – side view", nums.Index(1).Index(21).Key("Alt").Text())

	// The marks themselves, in the page's content.
	content, err := io.ReadAll(page.Key("Contents").Reader())
	require.NoError(t, err)
	marks := regexp.MustCompile(`/(\w+) <</MCID (\d+)>> BDC`).FindAllSubmatch(content, -1)
	require.Len(t, marks, 24)
	assert.Equal(t, []byte("H1"), marks[0][1])
	assert.Equal(t, []byte("21"), marks[21][2])
	assert.Equal(t, 1, bytes.Count(content, []byte("/Artifact BMC")))
	assert.Equal(t, 25, bytes.Count(content, []byte("EMC\n")))
}

func TestListsAndTablesAreApart(t *testing.T) {
	doc := one()
	run := func(role draw.Role, x float64) {
		doc.Pages[0].Runs = append(doc.Pages[0].Runs, draw.Run{Role: role, Items: []draw.Item{
			draw.Text{At: draw.Point{X: draw.MM(x)}, Size: draw.Pt(9), Text: "x"}}})
	}
	run(draw.ListItem, 10)
	run(draw.Artifact, 10) // a rule between two items does not part a list
	run(draw.ListItem, 10)
	run(draw.Paragraph, 10)
	run(draw.ListItem, 10)
	run(draw.TableCell, 10)
	run(draw.TableCell, 30)
	run(draw.TableCell, 30) // a first cell left out: another row
	run(draw.ListItem, 10)
	var got []string
	roles(t, root(t, written(t, doc)).Key("StructTreeRoot").Key("K").Index(0), 0, &got)
	assert.Equal(t, []string{"Document", " L", "  LI", "   LBody 0", "  LI", "   LBody 1", " P 2", " L", "  LI", "   LBody 3",
		" Table", "  TR", "   TD 4", "   TD 5", "  TR", "   TD 6", " L", "  LI", "   LBody 7"}, got)
}

func TestMetadataSaysTheSameTwice(t *testing.T) {
	file := written(t, sample(1))
	info := opened(t, file).Trailer().Key("Info")
	catalog := root(t, file)
	stream, err := io.ReadAll(catalog.Key("Metadata").Reader())
	require.NoError(t, err)
	xmp := string(stream)
	for key, element := range map[string]string{
		"Title": `<dc:title><rdf:Alt><rdf:li xml:lang="x-default">%</rdf:li>`, "Author": "<dc:creator><rdf:Seq><rdf:li>%</rdf:li>",
		"Subject": `<dc:description><rdf:Alt><rdf:li xml:lang="x-default">%</rdf:li>`, "Keywords": "<pdf:Keywords>%</pdf:Keywords>",
		"Producer": "<pdf:Producer>%</pdf:Producer>", "Creator": "<xmp:CreatorTool>%</xmp:CreatorTool>",
	} {
		value := info.Key(key).Text()
		require.NotEmpty(t, value, key)
		value = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(value)
		assert.Contains(t, xmp, strings.Replace(element, "%", value, 1))
	}
	assert.Equal(t, "glass, ½ & <more>", info.Key("Keywords").Text())
	assert.Equal(t, "D:20260302000000+00'00'", info.Key("CreationDate").RawString())
	assert.Equal(t, "D:20260302000000+00'00'", info.Key("ModDate").RawString())
	assert.Contains(t, xmp, "<xmp:CreateDate>2026-03-02T00:00:00+00:00</xmp:CreateDate>")
	assert.Contains(t, xmp, "<xmp:ModifyDate>2026-03-02T00:00:00+00:00</xmp:ModifyDate>")
	assert.Contains(t, xmp, "<pdfaid:part>1</pdfaid:part>")
	assert.Contains(t, xmp, "<pdfaid:conformance>B</pdfaid:conformance>")
	// ISO 19005-1, 6.7.2: nothing may hide the metadata.
	assert.True(t, catalog.Key("Metadata").Key("Filter").IsNull())

	assert.Equal(t, "en-GB", catalog.Key("Lang").RawString())
	assert.True(t, catalog.Key("ViewerPreferences").Key("DisplayDocTitle").Bool())
	assert.Equal(t, "None", catalog.Key("ViewerPreferences").Key("PrintScaling").Name())
	assert.Equal(t, "D", catalog.Key("PageLabels").Key("Nums").Index(1).Key("S").Name())
	assert.True(t, catalog.Key("Names").IsNull(), "ISO 19005-1, 6.1.11: no embedded files")

	profile, err := io.ReadAll(catalog.Key("OutputIntents").Index(0).Key("DestOutputProfile").Reader())
	require.NoError(t, err)
	assert.EqualValues(t, len(profile), binary.BigEndian.Uint32(profile))
	assert.Equal(t, "acsp", string(profile[36:40])) // ICC.1:2001-04, 6.1.9
}

func TestDocumentWithoutDate(t *testing.T) {
	doc := sample(1)
	doc.Date = ""
	file := written(t, doc)
	valid(t, file)
	assert.True(t, opened(t, file).Trailer().Key("Info").Key("CreationDate").IsNull())
	assert.NotContains(t, string(file), "CreateDate")
}

// The curve of the profile against the values IEC 61966-2-1 is known by:
// half of full scale, 128 of 255, is 21.6 percent of the light.
func TestProfileCurve(t *testing.T) {
	curve := transfer()[12:]
	at := func(i int) float64 { return float64(binary.BigEndian.Uint16(curve[2*i:])) / 65535 }
	assert.Zero(t, at(0))
	assert.EqualValues(t, 1, at(255))
	assert.InDelta(t, 0.2159, at(128), 0.0005)
	assert.InDelta(t, 1.0/255/12.92, at(1), 0.00002)
}

func TestPicturesStandOnce(t *testing.T) {
	doc := sample(3) // three pictures on every page
	file := written(t, doc)
	assert.Equal(t, 3, bytes.Count(file, []byte("/Subtype/Image")))
	objects := opened(t, file).Page(2).V.Key("Resources").Key("XObject")
	assert.Equal(t, []string{"Im0", "Im1", "Im2"}, objects.Keys())
	assert.EqualValues(t, 160, objects.Key("Im0").Key("Width").Int64())
	assert.EqualValues(t, 200, objects.Key("Im1").Key("Width").Int64())
	assert.EqualValues(t, 1, objects.Key("Im2").Key("BitsPerComponent").Int64())
	content, err := io.ReadAll(opened(t, file).Page(2).V.Key("Contents").Reader())
	require.NoError(t, err)
	// 40 by 30 mm at 90 mm from the left, its foot 180 mm from the top.
	assert.Contains(t, string(content), "q 113.386 0 0 85.039 255.118 331.654 cm /Im0 Do Q")
}

// An image's data, put into a PNG file of the same form, reads as the samples
// by the standard library: PDF and PNG filter and pack alike.
func TestPicturesKeepTheirSamples(t *testing.T) {
	for name, img := range map[string]*draw.Image{"colours": colours(), "grey": wedge(77), "two": chequer(),
		"one": newImage(1, 1, true, []byte{7}), "one colour": newImage(1, 1, false, []byte{1, 2, 3}), "line": wedge(300)} {
		object := imageObject(img)
		head, data, ok := bytes.Cut(object, []byte("stream\n"))
		require.True(t, ok)
		data = bytes.TrimSuffix(data, []byte("\nendstream"))
		header := binary.BigEndian.AppendUint32(nil, uint32(img.Width))
		header = binary.BigEndian.AppendUint32(header, uint32(img.Height))
		bits, form := byte(8), byte(2)
		if img.Grey {
			form = 0
		}
		packedForm := bytes.Contains(head, []byte("/BitsPerComponent 1/"))
		if packedForm {
			bits = 1
			data = withRowFilters(t, data, (img.Width+7)/8)
		}
		file := []byte("\x89PNG\r\n\x1a\n")
		for _, c := range []struct {
			mark string
			body []byte
		}{{"IHDR", append(header, bits, form, 0, 0, 0)}, {"IDAT", data}, {"IEND", nil}} {
			file = binary.BigEndian.AppendUint32(file, uint32(len(c.body)))
			at := len(file)
			file = append(append(file, c.mark...), c.body...)
			file = binary.BigEndian.AppendUint32(file, crc32.ChecksumIEEE(file[at:]))
		}
		got, err := png.Decode(bytes.NewReader(file))
		require.NoError(t, err, name)
		require.Equal(t, image.Rect(0, 0, img.Width, img.Height), got.Bounds())
		for y := range img.Height {
			for x := range img.Width {
				c := color.NRGBAModel.Convert(got.At(x, y)).(color.NRGBA)
				i := y*img.Width + x
				want := color.NRGBA{255, 255, 255, 255}
				if img.Grey {
					want.R, want.G, want.B = img.Samples[i], img.Samples[i], img.Samples[i]
				} else {
					want.R, want.G, want.B = img.Samples[3*i], img.Samples[3*i+1], img.Samples[3*i+2]
				}
				require.Equal(t, want, c, "%s at %d, %d", name, x, y)
			}
		}
		assert.Equal(t, name == "two", packedForm, name)
	}
}

func inflate(t *testing.T, data []byte) []byte {
	t.Helper()
	z, err := zlib.NewReader(bytes.NewReader(data))
	require.NoError(t, err)
	out, err := io.ReadAll(z)
	require.NoError(t, err)
	return out
}

// withRowFilters puts a zero before every row, which a PNG has and a PDF
// without a predictor has not.
func withRowFilters(t *testing.T, data []byte, stride int) []byte {
	t.Helper()
	rows := inflate(t, data)
	var out []byte
	for ; len(rows) > 0; rows = rows[stride:] {
		out = append(append(out, 0), rows[:stride]...)
	}
	return deflate(out)
}
