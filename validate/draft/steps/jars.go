package steps

import (
	"bytes"
	"slices"
	"strings"

	"jarwright/validate/document"
)

// jarSize is one way of naming a size of jar.
type jarSize struct{ words, id string }

// jarSizes are the sizes of jars as steps and yields name them, those that hold others first. The ids are of the jar table.
var jarSizes = []jarSize{
	{"half-pint", "half-pint"},
	{"half pint", "half-pint"},
	{"1/2 pint", "half-pint"},
	{"1/2-pint", "half-pint"},
	{"8-ounce", "half-pint"},
	{"8 ounce", "half-pint"},
	{"8-oz", "half-pint"},
	{"8 oz", "half-pint"},
	{"12-ounce", "12-ounce"},
	{"12 ounce", "12-ounce"},
	{"12-oz", "12-ounce"},
	{"12 oz", "12-ounce"},
	{"16-ounce", "pint"},
	{"16 ounce", "pint"},
	{"16-oz", "pint"},
	{"16 oz", "pint"},
	{"32-ounce", "quart"},
	{"32-oz", "quart"},
	{"32 ounce", "quart"},
	{"4-ounce", "4-ounce"},
	{"4-oz", "4-ounce"},
	{"quarter-pint", "4-ounce"},
	{"half-gallon", "half-gallon"},
	{"half gallon", "half-gallon"},
	{"12 fl oz", "12-ounce"},
	{"24 fl oz", "24-ounce"},
	{"500 ml", "500-ml"},
	{"500ml", "500-ml"},
	{"250 ml", "250-ml"},
	{"250ml", "250-ml"},
	{"1 litre", "1-l"},
	{"1 liter", "1-l"},
	{"1-litre", "1-l"},
	{"1-liter", "1-l"},
	{"pint", "pint"},
	{"quart", "quart"},
}

// namedSizes are the phrases of jarSizes, in their order.
var namedSizes = func() []phrases {
	named := make([]phrases, len(jarSizes))
	for i, each := range jarSizes {
		named[i] = anyOf(each.words)
	}
	return named
}()

// sizes are those of jarSizes whose words stand in the sentence.
func (s Sentence) sizes() []jarSize {
	var sizes []jarSize
	for i := range jarSizes {
		if namedSizes[i].in(&s.found) {
			sizes = append(sizes, jarSizes[i])
		}
	}
	return sizes
}

// jarIn is the first of some sizes of jar in a text in lower case; of several the largest is not looked for.
func jarIn(lower string, sizes []jarSize) string {
	for _, each := range sizes {
		if strings.Contains(lower, each.words) {
			return each.id
		}
	}
	return ""
}

// JarsIn lists the ids of every size of jar that a text names, each once.
func JarsIn(text string) []string {
	s := New(text)
	return s.jarIDs()
}

// jarIDs lists the ids of the sizes of jars. What one of them takes is no part of another: the "half-pint" is no "pint".
func (s Sentence) jarIDs() []string {
	sizes := s.sizes()
	if len(sizes) == 0 {
		return nil
	}
	var ids []string
	lower := []byte(s.lower)
	for _, each := range sizes {
		words, from := []byte(each.words), 0
		for {
			at := bytes.Index(lower[from:], words)
			if at < 0 {
				break
			}
			if !slices.Contains(ids, each.id) {
				ids = append(ids, each.id)
			}
			from += at + len(words)
			copy(lower[from-len(words):from], blanks)
		}
	}
	return ids
}

const blanks = "                " // as long as the longest words of jarSizes

// Jars lists the sizes of jars in a sentence on jars or processing. Where the sentence does not speak of jars itself, it is
// not sure that the sizes are of jars.
func (s Sentence) Jars() (ids []string, sure bool) {
	sure = strings.Contains(s.lower, "jar")
	if !sure && !strings.Contains(s.lower, "process") {
		return nil, false
	}
	return s.jarIDs(), sure
}

// headspaceStart are the words beside which the length of the headspace stands.
var headspaceStart = anyOf(
	"headspace", "head space", "head-space", "headroom", "head room", "of the top", "of the rim", "from the top", "from the rim", "below the rim",
)

// headspaces are all words for the headspace.
var headspaces = headspaceStart.or("to the top of the jar")

// Headspace is the length next to the word for it: a sentence may also say how long the pieces are.
func (s Sentence) Headspace() (Figure, bool) {
	if !headspaces.in(&s.found) {
		return Figure{}, false
	}
	anchor := headspaceStart.first(&s)
	var best *match
	all := sizePattern.findAll(s.lower)
	for i := range all {
		m := &all[i]
		if best == nil || m.distance(anchor) < best.distance(anchor) && !repeats(s.lower, m, best) {
			best = m
		}
	}
	if best == nil {
		return Figure{}, false
	}
	return best.figure(lengthUnit(best.unit)), true
}

// repeats tells the same size once more in another unit: "1/2 in (13 mm)".
func repeats(text string, m, before *match) bool {
	return m.start > 0 && text[m.start-1] == '(' && m.start-before.end <= len("ches (")
}

// distance is how many bytes lie between a match and a place.
func (m *match) distance(anchor int) int {
	if m.start > anchor {
		return m.start - anchor
	}
	return anchor - m.end
}

// statedHot are the words that say of the food that it is packed hot.
var statedHot = anyOf("hot pack", "hot-pack", "fill the hot food", "hot food into")

// packs are the phrases for how jars are filled.
var packs = []struct {
	pack  string
	words phrases
}{
	{document.PackRaw, anyOf("raw pack", "raw-pack", "cold pack", "cold-pack", "fill the raw food", "raw food into")},
	{document.PackHot, statedHot.or(
		"ladle hot", "spoon hot", "fill hot", "ladle the hot", "spoon the hot", "pack hot", "fill jars with hot", "fill hot jars with hot",
		"fill jars with the hot", "pour the hot", "pour hot salsa", "pour hot sauce", "fill the jars with hot", "ladle boiling", "pack the hot",
		"hot mixture into", "hot relish into", "hot salsa into", "hot chutney into",
	)},
	{document.PackRaw, anyOf(
		"pour boiling brine over", "pour hot brine over", "pour the hot brine over", "pour hot liquid over", "cover with hot brine", "cover with boiling",
		"pour the boiling brine", "pour boiling vinegar", "pour hot vinegar", "fill with hot brine", "pour hot pickling", "cover with hot pickling",
		"ladle hot brine over", "fill with boiling", "add hot brine", "fill jars with hot brine", "ladle hot liquid over", "pour the hot liquid",
	)},
	{document.PackCold, anyOf("pour cold brine", "pour cooled brine", "cover with cold brine", "pour the cooled brine", "fill with cold brine")},
}

var (
	packContext = anyOf("pack", "hot", "boiling", "brine")
	hotLiquid   = anyOf("hot brine", "hot liquid", "hot vinegar", "hot syrup", "hot pickling")
	namedHot    = anyOf("hot pack", "hot-pack")
)

// Pack is how the jars are filled, one of the packs of the request, or nothing. It is named where the sentence uses the name
// of the pack, and else taken from what is poured over what.
func (s Sentence) Pack() (pack string, named bool) {
	if !packContext.in(&s.found) {
		return "", false
	}
	for i, each := range packs {
		if !each.words.in(&s.found) {
			continue
		}
		// Liquid poured over food that was packed cold is a raw pack; "fill jars with hot brine" is about the liquid.
		if each.pack == document.PackHot && hotLiquid.in(&s.found) && !statedHot.in(&s.found) {
			continue
		}
		return each.pack, i == 0 || namedHot.in(&s.found)
	}
	return "", false
}

// preparations are the phrases for what is done to empty jars, the most of it first.
var preparations = []struct {
	preparation string
	words       phrases
}{
	{document.JarsSterilized, anyOf("steriliz", "sterilis")},
	{document.JarsHot, anyOf(
		"hot jar", "warm jar", "keep jars hot", "keep the jars hot", "jars hot", "hot, clean", "hot clean", "warm, clean", "hot pint", "hot half-pint",
		"hot quart", "hot, sterile", "hot mason", "hot canning",
	)},
	{document.JarsClean, anyOf("clean jar", "wash jars", "wash the jars", "clean pint", "clean quart", "clean half-pint", "clean, ")},
}

var preparationContext = anyOf("jar", "sterili") // "Wash the jars. Sterilize them."

// JarPreparation is what is done to the empty jars, one of the values of the request, or nothing.
func (s Sentence) JarPreparation() string {
	if !preparationContext.in(&s.found) {
		return ""
	}
	for _, each := range preparations {
		if each.words.in(&s.found) {
			return each.preparation
		}
	}
	return ""
}
