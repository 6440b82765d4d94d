package draft

import (
	"slices"
	"strings"
)

// The words by which names are read follow. Common practice, no source: they are English, as lines of recipes have it.

// preparing are words for what is done to a food, not for what it is.
var preparing = wordSet(`chopped diced minced sliced grated shredded peeled unpeeled cored seeded deseeded trimmed halved quartered cubed
	mashed melted softened beaten toasted sifted rinsed drained undrained washed squeezed chilled cracked torn julienned pitted unpitted
	stemmed destemmed shelled thawed crumbled snapped blanched scrubbed slivered packed cut sectioned segmented husked hulled zested juiced
	strained cooled warmed unwrapped separated broken bruised smashed pricked topped tailed crosscut skinned scalded boned deboned cleaned
	split scored pressed pureed puréed deveined cooked parboiled roasted spiralized matchsticked crushed shaved snipped pared dissolved
	shucked coarse-ground fresh-ground freshly-ground lukewarm tepid iced ice-cold`)

// ambiguousPreparing are those that as often belong to a food's own name: "crushed red pepper", "toasted sesame oil".
var ambiguousPreparing = wordSet(`cooked toasted crushed`)

// adverbs stand before a word of preparation.
var adverbs = wordSet(`finely coarsely freshly thinly roughly lightly firmly loosely tightly thickly very well gently diagonally crosswise
	lengthwise evenly newly hand fine coarse partially fully`)

// sizing are words for size and state that do not make another food of it.
var sizing = wordSet(`small medium large big tiny jumbo baby young firm ripe fresh raw whole organic good-quality quality best-quality crisp
	tender plump long short thin thick fat unblemished medium-sized small-sized large-sized medium-size homegrown garden garden-fresh
	store-bought storebought bought commercial commercially bottled plain pure regular natural cold hot warm boiling filtered tap bottled
	unchlorinated chlorine-free nonchlorinated dechlorinated clean soft unwaxed waxed fresh-picked freshly-picked just-picked your favorite
	favourite additional extra more remaining reserved level heaping heaped scant generous the of some any other kind type style unfiltered
	unsweetened unpasteurized raw-unfiltered local sweet 5% 5 percent acidity acid strength grain distilled clear dry dried new assorted
	mixed pickling canning slicing salad ground granulated white yellow red green purple orange golden brown dark light blue black kosher
	fine coarse sea table iodized non-iodized pink himalayan unrefined loose seedless vine-ripened heirloom cherry seeded unsalted untreated
	untoasted food-grade powdered prepared cured english regular-sized standard boneless skinless bone-in skin-on lean extra-lean low-sodium
	reduced-sodium salted no-salt-added salt-free low-fat reduced-fat fat-free nonfat all-purpose frozen canned tart ripest juicy mild
	ready-to-eat ready-to-use homemade room-temperature light-colored dark-colored`)

// portions are words for the shape a food is in, behind its name.
var portions = wordSet(`slices slice rings ring florets floret sticks halves half wedges wedge strips strip spears spear cubes cube pieces
	piece chunks chunk rounds round coins kernels kernel quarters cloves clove heads head sprigs sprig stalks stalk ribs rib ears ear
	bunches bunch leaves bulbs bulb flesh meat root roots pods pod berries spear stems tips fronds crowns matchsticks disks discs umbels
	flowers breasts breast thighs thigh drumsticks fillets fillet steaks chops roast shoulder loin tenderloin whole crystals granules flakes
	powder fresh ground dried bottled canned chopped sliced diced minced`)

// nameStops end a name; what follows says what for, how, or how much more.
var nameStops = wordSet(`for to plus such preferably about at if cut with without from in into on per as until depending see like note more
	optional approximately approx enough recipe using divided reserved leaving which that each total yield weighing preferrably such-as
	labeled labelled containing having or and/or i.e e.g is are just made`)

// wordSet is the set of the words of a text.
func wordSet(text string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(text) {
		set[word] = true
	}
	return set
}

// bare is a word in lower case without the signs around it.
func bare(word string) string { return strings.ToLower(strings.Trim(word, ".,;:()[]\"'*")) }

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
func joinsFoods(word string) bool {
	lower := bare(word)
	return lower == "and" || lower == "&" || lower == "plus" || isChoice(lower)
}

// allQualifiers tells whether no word names a food.
func allQualifiers(text string) bool {
	for word := range strings.FieldsSeq(text) {
		if !isQualifier(bare(word)) {
			return false
		}
	}
	return true
}

// betweenQualifiers stand between words of state, size or preparation.
var betweenQualifiers = wordSet(`and or and/or &`)

// isQualifier tells a word of state, size or preparation, also of two that are joined ("firm-ripe"), a figure, and the words between.
func isQualifier(lower string) bool {
	if preparing[lower] || adverbs[lower] || sizing[lower] || betweenQualifiers[lower] || strings.ContainsAny(lower, "0123456789") {
		return true
	}
	first, second, joined := strings.Cut(lower, "-")
	return joined && (sizing[first] || adverbs[first]) && (sizing[second] || preparing[second])
}

// prepares tells whether the words at i say what is done to a food, with or without an adverb: "thinly sliced", "ground".
func prepares(words []string, i int) bool {
	if i >= len(words) {
		return false
	}
	for i < len(words)-1 && adverbs[bare(words[i])] && !preparing[bare(words[i])] {
		i++
	}
	lower := bare(words[i])
	return preparing[lower] || lower == "ground"
}
