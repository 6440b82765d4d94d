package draft

import (
	"slices"
	"strings"
	"unicode"
)

// What stands among the ingredients of many recipes and is not food. Common practice, no source: they are words, not figures.
var (
	// Words that name equipment whatever stands beside them.
	equipmentNouns = wordSet(`jars lids cheesecloth muslin canner funnel tongs thermometer`)
	// Words that do so beside one of the others: "1 jar" alone may be of anything.
	containers = map[string][]string{
		"jar": {"canning", "mason", "glass", "sterile", "sterilized", "sterilised", "lid"},
		"bag": {"spice", "jelly"},
	}
	equipmentWords = wordSet(`jar lid bag ring rings band bands label labels a an and or with for about new clean hot warm empty glass canning mason
		preserving sterile sterilized sterilised sealing wide wide-mouth mouth regular regular-mouth small large medium half
		half-pint half-pints quarter pint pints quart quarts half-gallon gallon ounce ounces oz ml litre liter fluid cup
		two-piece piece metal screw boiling-water spice jelly matching their tight-fitting airtight square`)
)

// isEquipment tells "6 pint canning jars with lids and rings" from a line of food. Every word has to be one of those above, so
// that "1 jar pimientos" and "2 jars of stock" stay food, which the report counts as such even where it does not know it.
func isEquipment(text string) bool {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && r != '-' })
	named := false
	for i, word := range words {
		words[i] = strings.Trim(word, "-")
		switch word = words[i]; {
		case equipmentNouns[word]:
			named = true
		case word == "jelly" && (i+1 == len(words) || !strings.HasPrefix(words[i+1], "bag") && !strings.HasPrefix(words[i+1], "jar")):
			return false // a jar of jelly is food, a jelly jar is not
		case word != "" && !equipmentWords[word]:
			return false
		}
	}
	for _, container := range []string{"jar", "bag"} {
		beside := func(word string) bool { return slices.Contains(words, word) }
		named = named || slices.Contains(words, container) && slices.ContainsFunc(containers[container], beside)
	}
	return named
}

// equipment takes note of a line that puts nothing into the jar.
func (w *writer) equipment(at, text string) {
	w.out.Lines = append(w.out.Lines, Line{At: at, Text: shortened(text), Kind: LineEquipment, Understood: true, Into: []string{}})
}
