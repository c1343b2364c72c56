package rules

import "strings"

// sign is a word the safety rules look for in everything an author wrote.
type sign int

const (
	signFluor sign = iota
	signAcid
	signEtch
	signFrost
	signStrong
	signMatting
	signForeign
	signABF
	signHF
	signVinegar
	signAcetic
	signCitric
	signCleaner
	signRemover
	signDescale
	signBrighten
	signDissolver
	signGlove
	signPutty
	signLaser
	signOil
	signAnneal
	signSand
	signDivest
	signHEPA
	signDuct
	signKilnWash
	signFibrePaper
	signSlag
	signDry
	// signAct may be part of a deed that a caution forbids.
	signAct
	// signWaive may be part of saying that there is no need of something.
	signWaive
	// signBare is a deed without a verb.
	signBare
	// signNoWater may be an order to work without water.
	signNoWater
	// signChange may be an order to change what turns.
	signChange
	// signKept is a pot in which something may be kept, signAlone somebody who works
	// alone, signVisitor somebody who looks on, signShard broken glass.
	signKept
	signAlone
	signVisitor
	signShard
	// signSeal is a word for what seals a surface.
	signSeal
	// signRevision is the revision of a paper.
	signRevision
	// signCoat is a coat on glass that no grain may touch.
	signCoat
	// signLead names glass that holds lead.
	signLead
	signs
)

// signWords are the stems of the signs in lower case. A stem may stand inside
// a word: "hydrofluoric".
var signWords = [...]struct {
	stem string
	sign sign
}{
	{"fluor", signFluor}, {"ﬂuor", signFluor}, {"acid", signAcid}, {"etch", signEtch}, {"frosting", signFrost}, {"frosted", signFrost},
	{"sulphuric", signStrong}, {"sulfuric", signStrong}, {"sulphamic", signStrong}, {"sulfamic", signStrong}, {"oxalic", signStrong},
	{"muriatic", signStrong}, {"hydrochlor", signStrong}, {"hydrobrom", signStrong}, {"nitric", signStrong}, {"phosphoric", signStrong},
	{"vitriol", signStrong}, {"h2so4", signStrong}, {"hno3", signStrong}, {"h3po4", signStrong}, {"hcl", signStrong},
	{"matting", signMatting}, {"pickling", signMatting}, {"säure", signForeign}, {"sÄure", signForeign}, {"saeure", signForeign},
	{"ätz", signForeign}, {"Ätz", signForeign}, {"aetz", signForeign},
	{"abf", signABF}, {"hf", signHF}, {"h.f", signHF}, {"vinegar", signVinegar}, {"essig", signVinegar}, {"lemon juice", signCitric}, {"acetic", signAcetic}, {"citric", signCitric},
	{"cleaner", signCleaner}, {"remover", signRemover}, {"descal", signDescale}, {"dissolver", signDissolver}, {"brighten", signBrighten}, {"derust", signDescale},
	{"glove", signGlove}, {"gauntlet", signGlove}, {"putty powder", signPutty}, {"laser", signLaser},
	{"revision", signRevision}, {"rev ", signRevision}, {"rev.", signRevision},
	{"lead crystal", signLead}, {"lead glass", signLead}, {"leaded crystal", signLead}, {"leaded glass", signLead}, {"full lead", signLead},
	{"dichro", signCoat}, {"coating", signCoat}, {"coated", signCoat}, {"silvered", signCoat}, {"silvering", signCoat}, {"mirror", signCoat}, {"enamel", signCoat},
	{"gold leaf", signCoat}, {"gold band", signCoat}, {"gilded", signCoat}, {"gilding", signCoat}, {"gilt ", signCoat}, {"iridis", signCoat}, {"iridiz", signCoat},
	{"irised", signCoat}, {"lustred", signCoat}, {"painted", signCoat}, {"decal", signCoat}, {"silver leaf", signCoat}, {"platinum", signCoat},
	{"linseed", signOil}, {"tung oil", signOil}, {"anneal", signAnneal}, {"sand", signSand}, {"divest", signDivest},
	{"hepa", signHEPA}, {"duct", signDuct}, {"kiln wash", signKilnWash},
	{"fibre paper", signFibrePaper}, {"fiber paper", signFibrePaper}, {"slag", signSlag},
	{"dry", signDry},
	{"sink", signAct}, {"drain", signAct}, {"gully", signAct}, {"sewer", signAct}, {"toilet", signAct}, {"gutter", signAct},
	{"quench", signAct}, {"dous", signAct}, {"cold water", signAct}, {"cold tap", signAct}, {"cold bucket", signAct}, {"iced water", signAct},
	{"ice water", signAct}, {"blow", signAct}, {"air line", signAct}, {"air gun", signAct}, {"air hose", signAct}, {"compressed air", signAct},
	{"sweep", signAct}, {"dust", signAct}, {"floor", signAct}, {"off the bench", signAct}, {"the bench", signAct}, {"finger", signAct},
	{" thumb ", signAct}, {" thumb.", signAct}, {" thumb,", signAct}, {" thumbs", signAct}, {"ound the hand", signAct}, {"ound your hand", signAct}, {"ound a hand", signAct}, {"turning", signAct}, {"spinning", signAct},
	{"rotating", signAct}, {"as it", signAct}, {"slow", signAct},
	{"moving", signAct}, {"running disc", signAct}, {"running pad", signAct}, {"running lap", signAct}, {"running felt", signAct}, {"running wheel", signAct},
	{"running belt", signAct}, {"in motion", signAct}, {"the running", signAct}, {"a running", signAct}, {"on running", signAct}, {"against running", signAct}, {"to running", signAct}, {"while", signAct}, {"in water", signAct},
	{"in the water", signAct}, {"soak", signAct}, {"trough", signAct}, {"guard", signAct}, {"jet", signAct},
	{"pressure wash", signAct}, {"open the", signAct}, {"rcd", signAct}, {"gfci", signAct}, {"rcbo", signAct}, {"breaker", signAct},
	{"tea ", signAct}, {"coffee", signAct}, {"sandwich", signAct}, {"lunch", signAct}, {"snack", signAct}, {"cigarette", signAct}, {"drink", signAct},
	{"breakfast", signAct}, {"cup on", signAct}, {"mug on", signAct}, {"vape", signAct}, {"biscuit", signAct}, {"smok", signAct}, {" eat ", signAct},
	{"home", signAct}, {"flower bed", signAct}, {"grass", signAct}, {"garden", signAct}, {"yard", signAct}, {"ditch", signAct}, {"stream", signAct},
	{"fence", signAct}, {"hedge", signAct}, {"back door", signAct}, {"drive", signAct}, {"the bin", signAct}, {"a bin", signAct}, {"compost", signAct},
	{"in the skip", signAct}, {"rubbish", signAct}, {"extension", signAct}, {"socket", signAct}, {"outlet", signAct}, {"wet hand", signAct}, {"wet finger", signAct},
	{"with wet", signAct}, {"are wet", signAct}, {"tray", signAct}, {"in the wet", signAct}, {"puddle", signAct},
	{"through the wet", signAct}, {"under the lap", signAct}, {"wet floor", signAct}, {"plug in", signAct},
	{"without unplug", signAct}, {"power on", signAct}, {"current on", signAct}, {"isolator on", signAct},
	{"not unplug", signAct}, {"without stop", signAct}, {"still turn", signAct}, {"still run", signAct}, {"machine on", signAct}, {"motor on", signAct},
	{"running slow", signAct}, {"trigger", signAct}, {"pedal", signAct}, {"interlock", signAct}, {"button", signAct}, {"cable tie", signAct},
	{"with tape", signAct}, {"wedge", signAct}, {"string", signAct}, {"wire", signAct}, {"rubber band", signAct},
	{"it by hand", signAct}, {"disc by hand", signAct}, {"wheel by hand", signAct}, {"chuck by hand", signAct}, {"lap by hand", signAct}, {"pad by hand", signAct}, {"filter by hand", signAct}, {"belt by hand", signAct}, {"spindle by hand", signAct}, {"bag by hand", signAct},
	{"your palm", signAct}, {"your thumb", signAct}, {"sleeve", signAct}, {"rings on", signAct}, {"ring on", signAct}, {"watch on", signAct},
	{"your ring", signAct}, {"hair ", signAct}, {"scarf", signAct}, {"lanyard", signAct}, {"tie on", signAct}, {"jewellery", signAct}, {"bracelet", signAct},
	{"cuff", signAct}, {"strings", signAct}, {"pull both", signAct}, {"crack", signAct}, {"chipped", signAct}, {"chip in", signAct}, {"dropped", signAct}, {"that fell", signAct},
	{"the rest", signAct}, {"front of", signAct}, {"line with", signAct}, {"over the wheel", signAct}, {"to the wheel", signAct}, {"the belt", signAct},
	{"roller", signAct}, {"ajar", signAct}, {"door open", signAct}, {"lid open", signAct}, {"open door", signAct}, {"open lid", signAct}, {"a hole", signAct}, {"the hole", signAct}, {"holes", signAct},
	{"torn", signAct}, {"split", signAct}, {"filter", signAct}, {"the bag", signAct}, {"broom", signAct}, {"dry brush", signAct}, {"dry cloth", signAct},
	{"hand brush", signAct}, {"leaf blower", signAct}, {"hair dryer", signAct}, {"drill", signAct}, {"polisher", signAct}, {"grinder", signAct},
	{"the tool", signAct}, {"motor", signAct}, {"blade", signAct}, {"reach over", signAct}, {"reach past", signAct}, {"reach across", signAct},
	{"feed fast", signAct}, {"feed it", signAct}, {"feed hard", signAct}, {"force", signAct}, {"push it through", signAct}, {"push hard", signAct},
	{"push fast", signAct}, {"shove", signAct}, {" lean on", signAct}, {"press hard", signAct}, {"ram it", signAct}, {"your lap", signAct}, {"your knee", signAct},
	{"one hand", signAct}, {"your hand", signAct}, {"your chest", signAct}, {"the hand", signAct}, {"household", signAct}, {"bare hand", signAct},
	{"without glove", signAct}, {"no glove", signAct}, {"lemonade", signAct}, {"bottle", signAct}, {"jam jar", signAct}, {"lunch box", signAct},
	{"glass to drink", signAct}, {"and go home", signAct}, {"leave for the", signAct}, {"lock up", signAct}, {"building", signAct}, {"the shop", signAct},
	{"beam", signAct}, {"laser", signAct}, {"at somebody", signAct}, {"loupe", signAct},
	{"partner", signAct}, {"a heap", signAct}, {"a pile", signAct}, {"a ball", signAct}, {"ball ", signAct}, {"drawer", signAct}, {"radiator", signAct},
	{"heater", signAct}, {"corner", signAct}, {"carry on", signAct}, {"go on", signAct}, {"keep going", signAct}, {"ignore", signAct}, {"work on", signAct},
	{"press on", signAct}, {"toughened", signAct}, {"tempered", signAct}, {"strained", signAct}, {"go ahead", signAct}, {"anyway", signAct}, {"all the same", signAct},
	{"water into", signAct}, {"water to", signAct}, {"water on", signAct}, {"the sink", signAct}, {"the rinse", signAct}, {"the bucket", signAct}, {"a bucket", signAct}, {"to bucket", signAct},
	{"without water", signAct}, {"without the water", signAct}, {"no water", signAct}, {"water off", signAct}, {"water shut", signAct},
	{"tap shut", signAct}, {"over your mouth", signBare}, {"over the mouth", signBare}, {"over your nose", signBare}, {"over the nose", signBare},
	{"hold your breath", signBare}, {"handkerchief", signBare}, {"sieve", signAct}, {"sift", signAct}, {"dry powder", signAct}, {"dry pumice", signAct},
	{"dry cerium", signAct}, {"with dry", signAct}, {"shake", signAct}, {"sprinkle", signAct}, {"throw", signAct}, {"blow on", signAct}, {"jar", signAct},
	{"wheel running", signAct}, {"belt running", signAct}, {"lap running", signAct}, {"disc running", signAct}, {"pad running", signAct}, {"felt running", signAct},
	{"without switch", signAct}, {"single hand", signAct}, {"dry rag", signAct}, {"dry towel", signAct}, {"dry duster", signAct}, {"dust it", signAct},
	{"of your apron", signAct}, {"of the apron", signAct}, {"same cloth", signAct}, {"same rag", signAct}, {"same sponge", signAct}, {"same towel", signAct},
	{"same bucket", signAct}, {"same damp", signAct}, {"same wet", signAct}, {"same water", signAct}, {"same tub", signAct}, {"same apron", signAct}, {"wipe", signAct}, {"wiping", signAct},
	{"cloth is", signAct}, {"rag is", signAct}, {"cloth will", signAct}, {"rag will", signAct},
	{"dried sludge", signAct}, {"dried mud", signAct}, {"dried slurry", signAct}, {"dried powder", signAct}, {"dried splash", signAct}, {"the loo", signAct}, {" a loo", signAct}, {"your loo", signAct}, {" street", signAct}, {"storm drain", signAct}, {"the wall", signAct}, {"coast", signAct},
	{"bridge", signAct}, {"bypass", signAct}, {"override", signAct}, {"defeat", signAct}, {"disable", signAct}, {"chuck key", signAct}, {"in the chuck", signAct}, {"blotter", signAct}, {"runs faster", signAct}, {"marked speed", signAct},
	{"faster than", signAct}, {"hammer", signAct}, {"mallet", signAct}, {"side of the wheel", signAct}, {"side of the stone", signAct}, {"rest back", signAct}, {"frayed", signAct}, {"coming apart", signAct}, {"the nip", signAct}, {"between belt", signAct},
	{"spectacles", signAct}, {"glasses are", signAct}, {"glasses will", signAct}, {"glasses do", signAct}, {"cotton", signAct}, {"tissue in", signAct}, {"paper in", signAct}, {"fresh edge", signAct}, {"sawn edge", signAct}, {"sharp edge", signAct},
	{"raw edge", signAct}, {"unseamed", signAct}, {"steam", signAct}, {"boiling", signAct}, {"torch", signAct}, {"heat gun", signAct}, {"flame", signAct}, {"twist", signAct}, {"wrench", signAct}, {"bare arm", signAct},
	{"nozzle", signAct}, {"window", signAct}, {"paper mask", signAct}, {"surgical mask", signAct}, {"cloth mask", signAct}, {"scarf will", signAct}, {" lick", signAct}, {"taste", signAct}, {"nobody", signAct}, {"yoghurt", signAct},
	{"yogurt", signAct}, {"margarine", signAct}, {"ice cream", signAct}, {"honey", signAct}, {"tea tin", signAct}, {"jam pot", signAct}, {"thermos", signAct}, {"food tub", signAct}, {"food jar", signAct}, {"walkway", signAct},
	{"gangway", signAct}, {"doorway", signAct}, {"aisle", signAct}, {"stand on", signAct}, {"towards your", signAct}, {"toward your", signAct}, {"ends round", signAct}, {"ends around", signAct}, {"ends over", signAct}, {"joint is", signAct},
	{"joint open", signAct}, {"until it burn", signAct}, {"it smell", signAct}, {"across the", signAct}, {"across its", signAct}, {"over the turn", signAct}, {"machine is faster", signAct}, {"crate", signAct}, {"chair", signAct}, {"chuck", signAct},
	{"behind the blade", signAct}, {"get hot", signAct}, {"run hot", signAct}, {"heat up", signAct}, {"brush it o", signAct}, {"door a hand", signAct}, {"kitchen", signAct}, {"canteen", signAct}, {"stone dry", signAct},
	{"hand alone", signAct}, {"hand only", signAct}, {"by one hand", signAct}, {"rinse between", signAct}, {"wash between", signAct}, {"washing between", signAct}, {"rinsing between", signAct}, {"same slurry", signAct}, {"same mud", signAct}, {"the wash", signAct}, {"the clean down", signAct}, {"clean down between", signAct}, {"dust off", signAct}, {"dust out", signAct}, {"not stop", signAct},
	{"leading", signAct}, {"meets the turn", signAct}, {"phone", signAct}, {"the piece against", signAct}, {"the block against", signAct}, {"piece on the blade", signAct}, {"piece touching", signAct}, {"arrow", signAct}, {"stay on", signAct}, {" chin", signAct},
	{"off to see", signAct}, {"off to look", signAct}, {"down to ", signAct}, {"instead of", signAct}, {"open window", signAct}, {"sandal", signAct}, {"barefoot", signAct}, {"bare feet", signAct}, {"flip flop", signAct}, {"in socks", signAct}, {"slippers", signAct},
	{"other bucket", signAct}, {"normal mud", signAct}, {"other mud", signAct}, {"other slurry", signAct}, {"normal slurry", signAct}, {"rest of the slurry", signAct}, {"common bucket", signAct}, {"soda bucket", signAct}, {"drinking cup", signAct}, {"coffee mug", signAct},
	{"tea mug", signAct}, {"roses", signAct}, {"lawn", signAct}, {"plants", signAct}, {"cut yourself", signAct}, {"bleed", signAct},
	{"sleeves can", signAct}, {"mould dry", signAct}, {"a clamp", signAct}, {"lock it on", signAct},

	{"pot", signKept}, {" jar", signKept}, {" tub", signKept}, {" tin", signKept}, {"bottle", signKept}, {" can ", signKept}, {" can.", signKept}, {"beaker", signKept}, {" cup", signKept},
	{" mug", signKept}, {"container", signKept}, {"carton", signKept}, {"alone", signAlone}, {"your own", signAlone}, {"yourself", signAlone}, {"handed", signAlone}, {"nobody else", signAlone},
	{"after hours", signAlone}, {"shop is closed", signAlone}, {"everybody has gone", signAlone}, {"one person", signAlone}, {"visitor", signVisitor}, {"guest", signVisitor},
	{"child", signVisitor}, {"school", signVisitor}, {"open day", signVisitor}, {"the public", signVisitor}, {"audience", signVisitor}, {"onlooker", signVisitor}, {"spectator", signVisitor},
	{"shard", signShard}, {"splinter", signShard}, {"broken glass", signShard}, {"cullet", signShard},
	{"reset", signAct}, {"carry on", signAct}, {"steady the", signAct}, {"under the tap", signAct}, {"goes round", signAct}, {"comes round", signAct}, {"skip", signAct}, {"omit", signAct}, {"forget", signAct}, {"waste of", signWaive},
	{"as soon as", signAct}, {"your finger", signAct}, {"freehand", signAct}, {"free hand", signAct}, {"the fence", signAct}, {"a clamp", signAct}, {"straighten", signAct}, {"shift the", signAct},
	{"water off", signNoWater}, {"off the water", signNoWater},
	{"change ", signChange}, {"swap ", signChange}, {"mount ", signChange}, {"fit the ", signChange}, {"fit a ", signChange}, {"replace the ", signChange},
	{"plaster", signAct}, {"investment", signAct}, {"residue", signAct}, {"kiln wash", signAct}, {"without water", signNoWater}, {"without the water", signNoWater}, {"without any water", signNoWater}, {"no water", signNoWater}, {"no need", signWaive}, {"not need", signWaive}, {"needn", signWaive}, {"needed", signWaive}, {"without", signWaive}, {"them off", signWaive}, {"it off", signWaive},
	{"leave", signWaive}, {"optional", signWaive}, {"necessary", signWaive}, {"required", signWaive}, {"bother", signWaive}, {"skip ", signWaive}, {"no call for", signWaive},
	{"mould ", signAct}, {"mold ", signAct}, {"paper off", signAct}, {"wash off", signAct}, {"powder from", signAct}, {"powder off", signAct}, {"ground ", signAct},
	{"the slurry", signAct}, {"in slurry", signAct}, {"through the water", signAct}, {"plug", signAct}, {"power ", signAct}, {"switch", signAct}, {"lock it", signAct},
	{"lock the", signAct}, {"brake", signAct}, {"catch the ", signAct}, {"catch hold", signAct}, {"grab", signAct}, {"palm", signAct}, {"stop it", signAct}, {"stop the", signAct},
	{"slow it", signAct}, {"rest 1", signAct}, {"rest w", signAct}, {"rest at", signAct}, {"rest to", signAct}, {"rest some", signAct}, {"rest about", signAct},
	{"mm off", signAct}, {"mm from", signAct}, {"mm away", signAct}, {"belt to", signAct}, {"at once", signAct}, {"straight away", signAct}, {"right away", signAct},
	{" it dry", signAct}, {"felt dry", signAct}, {"pad dry", signAct}, {"disc dry", signAct}, {"wheel dry", signAct}, {"belt dry", signAct}, {"brush dry", signAct},
	{"cork dry", signAct}, {"lap dry", signAct}, {"run dry", signAct}, {"go dry", signAct}, {"dry stroke", signAct}, {"dry pass", signAct}, {"off dry", signAct}, {"dry off", signAct},
	{"brake", signAct}, {"a block", signAct}, {"a stick", signAct}, {"of wood", signAct}, {"with wood", signAct}, {"running over", signAct}, {"running and", signAct},
	{"a cloth", signAct}, {"the cloth", signAct}, {"soft cloth", signAct}, {"damp cloth", signAct}, {"dry cloth", signAct}, {"wet cloth", signAct}, {"a rag", signAct}, {"a towel", signAct}, {"old towel", signAct},
	{"outside", signAct}, {"low speed", signAct}, {"belt running", signAct}, {"pad running", signAct}, {"disc running", signAct}, {"under the tap", signAct},
	{"under water", signAct}, {"under the water", signAct}, {"into water", signAct}, {"into the water", signAct}, {"an eye", signAct}, {"the eye", signAct},
	{"your eye", signAct}, {"a face", signAct}, {"his face", signAct}, {"her face", signAct}, {"your face", signAct}, {"anybody", signAct}, {"the house", signAct},
	{"it trip", signAct}, {"bleach", signAct}, {"chlorin", signAct},

	{"seal", signSeal}, {"wax", signSeal}, {"oil", signSeal},
}

// opening gives, for the low five bits of three letters in a row, the sign words
// that open so: 0 for none, else one more than an index into openings. Nearly all
// of a text is passed over by it.
var opening, openings = openingTable()

// openBits has a bit for each opening that is not 0: it stays in the cache that is
// nearest to the processor, where opening does not.
var openBits = func() (bits [1 << 10]uint32) {
	for key, k := range opening {
		if k != 0 {
			bits[key>>5] |= 1 << (key & 31)
		}
	}
	return bits
}()

// following are the low five bits the two letters behind an opening may have for any
// of its sign words, one bit for each.
var following = func() [][2]uint32 {
	list := make([][2]uint32, len(openings))
	for i, words := range openings {
		for _, o := range words {
			list[i][0] |= o.fourth
			list[i][1] |= o.fifth
		}
	}
	return list
}()

// opened is a sign word behind its first three letters.
type opened struct {
	// word is an index into signWords.
	word int
	// fourth and fifth are the low five bits its next letters may have, one bit for
	// each; all of them where the word ends before.
	fourth, fifth uint32
}

func openingTable() (table [1 << 15]uint16, words [][]opened) {
	open := func(c byte) []byte {
		if c == ' ' {
			return []byte{' ', '\n', '\t', '-'} // what openFold takes for a space
		}
		return []byte{c}
	}
	add := func(key, n int) {
		if table[key] == 0 {
			words = append(words, nil)
			table[key] = uint16(len(words))
		}
		list := words[table[key]-1]
		if len(list) > 0 && list[len(list)-1].word == n {
			return
		}
		letter := func(at int) uint32 {
			stem := signWords[n].stem
			if len(stem) <= at {
				return ^uint32(0)
			}
			may := uint32(0)
			for _, c := range open(stem[at]) {
				may |= 1 << (c & 31)
			}
			return may
		}
		words[table[key]-1] = append(list, opened{n, letter(3), letter(4)})
	}
	for n, w := range signWords {
		for _, a := range open(w.stem[0]) {
			for _, b := range open(w.stem[1]) {
				if len(w.stem) == 2 {
					for c := range 32 {
						add(pairOf(a, b)<<5|c, n)
					}
					continue
				}
				for _, c := range open(w.stem[2]) {
					add(pairOf(a, b)<<5|int(c&31), n)
				}
			}
		}
	}
	return table, words
}

func pairOf(a, b byte) int { return int(a&31)<<5 | int(b&31) }

// hit is a sign found at a byte of the text.
type hit struct {
	sign sign
	at   int
	// word is an index into signWords.
	word int
}

// scan is what one pass over a text found.
type scan struct {
	// acid are the hits of acid work, hits all others in the order of the text.
	acid, hits []hit
	count      [signs]int
}

// mostHits is how many hits of one sign are kept: a text that says "sand" ten
// thousand times is judged by the first of them.
const mostHits = 500

// has says whether any of the signs was found.
func (s *scan) has(any ...sign) bool {
	for _, w := range any {
		if s.count[w] > 0 {
			return true
		}
	}
	return false
}

// scanText looks for every sign in one pass over the text, whatever its case.
func scanText(text []byte) scan {
	var s scan
	if len(text) < 2 {
		return s
	}
	// The low five bits of three letters, each moved up as the next comes in.
	key := pairOf(text[0], text[1])
	for i := 0; i+1 < len(text); i++ {
		key = key << 5 & (len(opening) - 1)
		if i+2 < len(text) {
			key |= int(text[i+2] & 31)
		}
		if openBits[key>>5]&(1<<(key&31)) == 0 {
			continue
		}
		k := opening[key]
		// At the end of the text any letter may follow: openFold looks once more.
		next, then := ^uint32(0), ^uint32(0)
		if i+4 < len(text) {
			next, then = 1<<(text[i+3]&31), 1<<(text[i+4]&31)
		}
		if nexts := &following[k-1]; nexts[0]&next == 0 || nexts[1]&then == 0 {
			continue
		}
		for _, o := range openings[k-1] {
			if o.fourth&next == 0 || o.fifth&then == 0 {
				continue
			}
			n, w := o.word, &signWords[o.word]
			if !openFold(text[i:], w.stem) || (w.sign == signHF || w.sign == signABF) && !wholeWord(text, i, len(w.stem)) {
				continue
			}
			at := i
			if w.stem[0] == ' ' {
				at++ // the blank may be the end of another sentence
			}
			s.count[w.sign]++
			switch {
			case w.sign <= signHF:
				s.acid = append(s.acid, hit{w.sign, at, n})
			case s.count[w.sign] <= mostHits:
				s.hits = append(s.hits, hit{w.sign, at, n})
			}
		}
	}
	return s
}

// openFold says whether text opens with the lower-case stem, whatever its
// case; any white space stands for a space.
func openFold(text []byte, stem string) bool {
	if len(text) < len(stem) {
		return false
	}
	for i := range len(stem) {
		c := text[i]
		if c >= 'A' && c <= 'Z' {
			c |= 0x20
		}
		if c != stem[i] && !(stem[i] == ' ' && (c == '\n' || c == '\t' || c == '-')) {
			return false
		}
	}
	return true
}

// wholeWord says whether n bytes from i on are a word by themselves.
func wholeWord(text []byte, i, n int) bool {
	before := i == 0 || !isLetter(text[i-1]) && !isDigit(text[i-1]) && text[i-1] < 0x80
	behind := i+n >= len(text) || !isLetter(text[i+n]) && !isDigit(text[i+n]) && text[i+n] < 0x80
	return before && behind
}

// sentence is the stretch of text around byte at that is read as one thought:
// up to a full stop, a colon, an empty line or the line of a new item.
func sentence(text []byte, at int) (start, end int) {
	// No thought of a bench is longer to either side.
	const longest = 500
	start = at
	for start > 0 && start > at-longest && !(endSigns[text[start-1]] && endsThought(text, start-1)) {
		start--
	}
	end = at
	for end < len(text) && end < at+longest && !(endSigns[text[end]] && endsThought(text, end)) {
		end++
	}
	return start, end
}

// endSigns are the bytes that may end a sentence.
var endSigns = func() (signs [256]bool) {
	for _, c := range []byte(".!?:;|{}\n") {
		signs[c] = true
	}
	return signs
}()

// endsThought says whether byte i ends a sentence.
func endsThought(text []byte, i int) bool {
	switch text[i] {
	case '.', '!', '?', ':', ';':
		return i+1 == len(text) || strings.IndexByte(" \t\r\n\"'*_)", text[i+1]) >= 0
	case '|', '{', '}':
		return true
	case '\n':
		rest := text[i+1:]
		n := 0
		for n < len(rest) && (rest[n] == ' ' || rest[n] == '\t') {
			n++
		}
		if n == len(rest) {
			return true
		}
		switch c := rest[n]; {
		case c == '\n' || c == '\r' || c == '#' || c == '-' || c == '*' || c == '+':
			return true
		case isDigit(c):
			for n < len(rest) && isDigit(rest[n]) {
				n++
			}
			return n < len(rest) && (rest[n] == '.' || rest[n] == ')')
		}
		return opensKey(rest[n:])
	}
	return false
}

// opensKey says whether a line opens with a key and a colon.
func opensKey(line []byte) bool {
	for i := 0; i < len(line) && i < 24; i++ {
		switch c := line[i]; {
		case c == ':':
			return i > 0
		case !isLetter(c) && c != ' ' && c != '-':
			return false
		}
	}
	return false
}
