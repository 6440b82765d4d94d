package draft

import (
	"slices"
	"strings"
)

// wordKinds are what a word can be in a line. One word may be of several kinds.
type wordKinds uint16

const (
	preparing   wordKinds = 1 << iota // says what is done to a food, not what it is
	ambiguous                         // prepares, and as often belongs to a food's own name: "crushed red pepper", "toasted sesame oil"
	adverb                            // stands before a word of preparation
	sizing                            // says size and state, and does not make another food of it
	portion                           // names the shape a food is in, behind its name
	nameStop                          // ends a name; what follows says what for, how, or how much more
	between                           // stands between words of state, size or preparation
	turnable                          // stands before a name that the catalog has it behind
	sizeTail                          // may stand behind the unit of a size: "1/4 inch thick slices"
	exampleWord                       // what follows names the same food more closely
	noFood                            // begins what is no name: "no salt added", "more if needed", "a mixture"
	qualifying                        // of state, size or preparation, a figure, or a word between those
)

// knownWords has the words of each kind. Common practice, no source: they are English, as lines of recipes have it.
var knownWords = kindsOfWords([]struct {
	kind  wordKinds
	words string
}{
	{preparing, `chopped diced minced sliced grated shredded peeled unpeeled cored seeded deseeded trimmed halved quartered cubed
	mashed melted softened beaten toasted sifted rinsed drained undrained washed squeezed chilled cracked torn julienned pitted unpitted
	stemmed destemmed shelled thawed crumbled snapped blanched scrubbed slivered packed cut sectioned segmented husked hulled zested juiced
	strained cooled warmed unwrapped separated broken bruised smashed pricked topped tailed crosscut skinned scalded boned deboned cleaned
	split scored pressed pureed puréed deveined cooked parboiled roasted spiralized matchsticked crushed shaved snipped pared dissolved
	shucked coarse-ground fresh-ground freshly-ground lukewarm tepid iced ice-cold`},
	{ambiguous, `cooked toasted crushed`},
	{adverb, `finely coarsely freshly thinly roughly lightly firmly loosely tightly thickly very well gently diagonally crosswise
	lengthwise evenly newly hand fine coarse partially fully`},
	{sizing, `small medium large big tiny jumbo baby young firm ripe fresh raw whole organic good-quality quality best-quality crisp
	tender plump long short thin thick fat unblemished medium-sized small-sized large-sized medium-size homegrown garden garden-fresh
	store-bought storebought bought commercial commercially bottled plain pure regular natural cold hot warm boiling filtered tap bottled
	unchlorinated chlorine-free nonchlorinated dechlorinated clean soft unwaxed waxed fresh-picked freshly-picked just-picked your favorite
	favourite additional extra more remaining reserved level heaping heaped scant generous the of some any other kind type style unfiltered
	unsweetened unpasteurized raw-unfiltered local sweet 5% 5 percent acidity acid strength grain distilled clear dry dried new assorted
	mixed pickling canning slicing salad ground granulated white yellow red green purple orange golden brown dark light blue black kosher
	fine coarse sea table iodized non-iodized pink himalayan unrefined loose seedless vine-ripened heirloom cherry seeded unsalted untreated
	untoasted food-grade powdered prepared cured english regular-sized standard boneless skinless bone-in skin-on lean extra-lean low-sodium
	reduced-sodium salted no-salt-added salt-free low-fat reduced-fat fat-free nonfat all-purpose frozen canned tart ripest juicy mild
	ready-to-eat ready-to-use homemade room-temperature light-colored dark-colored`},
	{portion, `slices slice rings ring florets floret sticks halves half wedges wedge strips strip spears spear cubes cube pieces
	piece chunks chunk rounds round coins kernels kernel quarters cloves clove heads head sprigs sprig stalks stalk ribs rib ears ear
	bunches bunch leaves bulbs bulb flesh meat root roots pods pod berries spear stems tips fronds crowns matchsticks disks discs umbels
	flowers breasts breast thighs thigh drumsticks fillets fillet steaks chops roast shoulder loin tenderloin whole crystals granules flakes
	powder fresh ground dried bottled canned chopped sliced diced minced`},
	{nameStop, `for to plus such preferably about at if cut with without from in into on per as until depending see like note more
	optional approximately approx enough recipe using divided reserved leaving which that each total yield weighing preferrably such-as
	labeled labelled containing having or and/or i.e e.g is are just made`},
	{between, `and or and/or &`},
	{turnable, `fresh dried ground ripe unripe`},
	{sizeTail, `long wide thick diameter square in around or less`},
	{exampleWord, `such like including e.g eg i.e`},
	{noFood, `no not less a an one two other another additional more extra if so use substitute until enough whatever half`},
})

func kindsOfWords(table []struct {
	kind  wordKinds
	words string
},
) map[string]wordKinds {
	all := map[string]wordKinds{}
	for _, row := range table {
		for text := range strings.FieldsSeq(row.words) {
			all[text] |= row.kind
		}
	}
	return all
}

// kindsOf are the kinds of a word in lower case, also of two that are joined ("firm-ripe").
func kindsOf(lower string) wordKinds {
	kinds := knownWords[lower]
	if kinds&(preparing|adverb|sizing|between) != 0 || strings.ContainsAny(lower, "0123456789") {
		return kinds | qualifying
	}
	first, second, joined := strings.Cut(lower, "-")
	if joined && knownWords[first]&(sizing|adverb) != 0 && knownWords[second]&(sizing|preparing) != 0 {
		return kinds | qualifying
	}
	return kinds
}

// wordSet is the set of the words of a text.
func wordSet(text string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(text) {
		set[word] = true
	}
	return set
}

// bare is a word in lower case without the signs around it.
func bare(word string) string {
	for i := range len(word) {
		if c := word[i]; (c < 'a' || c > 'z') && c != '-' {
			return strings.ToLower(strings.Trim(word, ".,;:()[]\"'*"))
		}
	}
	return word
}

// join joins two texts by a comma, where neither is empty.
func join(a, b string) string {
	switch {
	case a == "":
		return b
	case b == "":
		return a
	}
	return a + ", " + b
}

// containsAny tells whether one of the words stands in a text.
func containsAny(text string, words []string) bool {
	return slices.ContainsFunc(words, func(word string) bool { return strings.Contains(text, word) })
}

// isChoice tells the words that join what a cook may choose from.
func isChoice(lower string) bool { return lower == "or" || lower == "and/or" }

// joinsFoods tells the words that join two foods.
func (w word) joinsFoods() bool { return joinsFoods(w.bare) }

func joinsFoods(lower string) bool {
	return lower == "and" || lower == "&" || lower == "plus" || isChoice(lower)
}

// allQualifiers tells whether no word of a text names a food.
func allQualifiers(text string) bool {
	for each := range strings.FieldsSeq(text) {
		if kindsOf(bare(each))&qualifying == 0 {
			return false
		}
	}
	return true
}

// allQualify tells whether no word names a food.
func allQualify(words []word) bool {
	return !slices.ContainsFunc(words, func(w word) bool { return !w.is(qualifying) })
}

// prepares tells whether the words at i say what is done to a food, with or without an adverb: "thinly sliced", "ground".
func prepares(words []word, i int) bool {
	for i < len(words)-1 && words[i].is(adverb) && !words[i].is(preparing) {
		i++
	}
	return i < len(words) && (words[i].is(preparing) || words[i].bare == "ground")
}

// textOf joins words by spaces.
func textOf(words []word) string {
	texts := make([]string, len(words))
	for i := range words {
		texts[i] = words[i].text
	}
	return strings.Join(texts, " ")
}
