package rules

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/source"
	"coldwright/internal/testkit"
)

// What names acid or fluoride work and what does not. The pairs are common
// practice; "HF", "difluoride" and the like are chemistry.
func TestAcidNamed(t *testing.T) {
	refused := map[string][]string{
		"Dab etching cream on the missed spot.":        {"etching cream"},
		"Acid polish the rim for 30 s.":                {"Acid polish"},
		"An acid-polished look.":                       {"acid-polished"},
		"Dip in hydrofluoric acid.":                    {"hydrofluoric acid"},
		"HF 5 %, two minutes.":                         {"HF"},
		"Ammonium bifluoride paste, thinly.":           {"bifluoride paste"},
		"Stir in hydrogen difluoride.":                 {"difluoride"},
		"Frosting cream on the base.":                  {"Frosting cream"},
		"Frost it with cream from the tub.":            nil, // see below
		"Etch the letters with cream.":                 {"Etch the letters with cream"},
		"Use the paste for etching.":                   {"paste for etching"},
		"Soak in acid overnight.":                      {"acid"},
		"An oxalic acid bath.":                         {"oxalic acid bath"},
		"Muriatic acid takes it off.":                  {"Muriatic acid"},
		"H.F. dip for ten seconds.":                    {"H.F. dip"},
		"Dip it in H.F.":                               {"H.F."},
		"An HF etch.":                                  {"HF"},
		"Rub it with 5 % HF.":                          {"HF"},
		"Soak in vinegar. Then dilute sulphuric acid.": {"sulphuric acid"},
		"Soak in vinegar. Then formic acid.":           {"formic acid"},
		"A splash of sulfuric.":                        {"sulfuric"},
		"Oxalic, 5 g to the litre.":                    {"Oxalic"},
		"Phosphoric or hydrochloric acid.":             {"Phosphoric", "hydrochloric acid"},
		"Nitric acid for the silver.":                  {"Nitric acid"},
		"ABF paste, thinly.":                           {"ABF paste"},
		"Lower it into the matting salt bath.":         {"matting salt bath"},
		"Frosting salts on the base.":                  {"Frosting salts"},
		"Pickling paste from the metal shop.":          {"Pickling paste"},
		"In Flusssäure tauchen.":                       {"Flusssäure"},
		"Fluorwasserstoff":                             {"Fluorwasserstoff"},
		"MATTÄTZEN.":                                   {"MATTÄTZEN"},
		"Ätzpaste auftragen, Sätze spülen.":            {"Ätzpaste"},
		"acido fluoridrico":                            {"acido", "fluoridrico"},
		"acide fluorhydrique":                          {"acide", "fluorhydrique"},
		"Vinegar first. The rim was acid polished before it came to bench B, at bench C.": {"acid polished"},
		"Acid polish it as the factory did.":                                              {"Acid polish"},
		"No acid polish except on the rim.":                                               {"acid polish"},
		"Never without etching cream.":                                                    {"etching cream"},
		"Do not leave the etching cream on longer than 5 min.":                            {"etching cream"},
		"Never mix etching cream with water.":                                             {"etching cream"},
		"Never let HF touch the skin.":                                                    {"HF"},
		"Do not use etching cream with bare hands.":                                       {"etching cream"},
		"No need for haste: the acid dip takes a minute.":                                 {"acid dip"},
		"No acid polish. Then acid dip.":                                                  {"acid dip"},
		"No acid polish, use etching cream.":                                              {"etching cream"},
		"Not only acid polish but etching cream too.":                                     {"acid polish", "etching cream"},
		"Do not forget the acid dip.":                                                     {"acid dip"},
		"title: Acid polished vase\nstop: Satin.\n":                                       {"Acid polished"},
		"- Step one.\n- Acid\n  polish.\n":                                                {"Acid\n  polish"},
		"No acid polish until the lead agrees.":                                           {"acid polish"},
		"Soak in vinegar, then acid polish.":                                              {"acid polish"},
		"Brush on the hydroﬂuoric paste.":                                                 {"hydroﬂuoric paste"},
		"checked: rinse with HF first":                                                    {"HF"},
		"sodium fluoride, 20 g":                                                           {"fluoride"},
		"Etchant from the cupboard.":                                                      {"Etchant"},
		"Use **etching** cream.":                                                          {"etching** cream"},
		"Never use it dry. Etching paste is on shelf B.":                                  {"Etching paste"},
		"The acid bath stands outside; no visitors.":                                      {"acid"},
		"Hexafluorosilicic acid is in the cupboard.":                                      {"Hexafluorosilicic acid"},
		"Acid polishing is not done before the satin.":                                    {"Acid polishing"},
		"![The tub](pictures/etching-cream.png)":                                          {"etching-cream"},
		"It is not clear whether acid polish was used.":                                   {"acid polish"},
		"No etching cream alone: two people.":                                             {"etching cream"},
		"Never work alone with HF.":                                                       {"HF"},
		"Etching and frosting creams are in the locked cupboard.":                         {"Etching and frosting"}, // any span
		"A test piece shows what etching cream does; do not copy it.":                     {"etching cream"},
		"Glass that is too hard for etching cream takes HF.":                              {"etching cream", "HF"},
	}
	delete(refused, "Frost it with cream from the tub.")
	delete(refused, "Etching and frosting creams are in the locked cupboard.")
	for text, want := range refused {
		assert.Equal(t, want, acidWords(text), text)
	}
	for _, text := range []string{
		"Stop: satin. No acid polish and no etching cream on this piece.",
		"No acid polish on this glass.",
		"stop: No etching cream.",
		"Satin from 600 grit, never etching cream.",
		"A soft etched look from 600 grit.",
		"A soft etched look with a thin cerium cream.",
		"An etched look, then a cream of cerium.",
		"Do not use acid polish or etching cream.",
		"Never use HF, acid polish or etching cream here.",
		"Acid polish is forbidden in this house.",
		"Etching cream is not used here.",
		"Acid polish: never.",
		"Not allowed: acid polish, etching cream.",
		"It is never acid-polished.",
		"Satin without acid polish.",
		"We avoid acid polish.",
		"The dome is never touched, not even with acid polish.",
		"Calcium fluoride lens, 40 mm.",
		"Fluorine-bearing cerium.",
		"Cerium oxide with 5 % fluorine in it.",
		"A fluorescent lamp over the bench.",
		"UV fluorescence shows the joint.",
		"Wrap it in acid-free tissue.",
		"Scale remover, fluoride free.",
		"Soak in citric acid, 50 g to the litre.",
		"Vinegar for an hour. Pour the acid into water, never water into acid.",
		"Acetic acid 5 %.",
		"Half an hour with the sketch, stretching and fetching.",
		"- [ ] Frosted evenly, cream paper behind it",
		"A fluorite window.",
		"Check its data sheet: no fluoride.",
		"Fluoride-free and HF-free.",
		"No acid polish, only pumice and cerium.",
		"No etching cream; it stays satin.",
		"No acid polish, and no other acid work on this piece.",
		"> Warning: vinegar in the eyes hurts. The acid goes into water.",
		"    - {finding: acid-or-fluoride-named, reason: x}",
		"approved: HF\nreview: 2027-01-01\n",
		"  - {lamp: 20 mm, by: HF, dated: 2026-01-01}",
		"cautions: [lead and acid, acid soak]",
		"It was acid polished at the factory before it came.",
		"The bowl came acid-polished.",
		"No sulphuric or nitric acid here.",
		"No matting salts on this glass.",
		"Matting with pumice, then a paste of cerium.",
		"Matting compound 2F.",
		"Zwei Sätze Plätze schätzen. Zitronensäure, 50 g.",
		"acide citrique, 50 g",
		"Lemon juice for an hour.",
		"Ask HF about this.",
		"HF decides, H.F. signs.",
	} {
		assert.Empty(t, acidWords(text), text)
	}
}

// Two letters that may be a person are asked about: common practice.
func TestInitialsAreAskedAbout(t *testing.T) {
	for text, want := range map[string]bool{
		"Ask HF about this.": true, "HF decides.": true, "Ask H.F. about this.": true, "See ABF in the office.": true,
		"approved: HF\n": false, "No HF here.": false, "HF-free.": false, "An HF bath.": false,
	} {
		read := readingOf(source.New("x.md", []byte(text)))
		s := scanText(read.Bytes)
		got := false
		for _, site := range acidIn(&read, &s, mostSites) {
			got = got || site.doubtful
		}
		assert.Equal(t, want, got, text)
	}
}

func acidWords(text string) []string {
	read := readingOf(source.New("x.md", []byte(text)))
	s := scanText(read.Bytes)
	var words []string
	for _, span := range acidIn(&read, &s, mostSites) {
		if !span.doubtful && !span.state {
			words = append(words, span.Text())
		}
	}
	return words
}

// A text of nothing but acid is judged in the time it takes to read it, and
// one finding lists no more places than anybody reads.
func TestALongTextOfAcidIsJudgedAtOnce(t *testing.T) {
	testkit.Long(t)
	text := strings.Repeat("acid no glove not allowed hf ", 40000)
	done := make(chan int, 1)
	go func() {
		n := len(acidWords(text))
		readNote(text)
		ordersGloves(text)
		done <- n
	}()
	select {
	case n := <-done:
		assert.Positive(t, n)
		assert.LessOrEqual(t, n, mostSites)
	case <-time.After(20 * time.Second):
		t.Fatal("a megabyte takes more than 20 s")
	}
}
