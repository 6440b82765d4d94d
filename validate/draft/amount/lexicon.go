package amount

import "strings"

// roles are what a word or a sign can be in a line. One word may have several.
type roles uint32

const (
	articleWord    roles = 1 << iota // stands for one of what follows
	numeralWord                      // see numberWords
	fractionWord                     // see fractionWords
	sizeWord                         // says how big each piece is
	mannerWord                       // says how full a spoon or how cut a piece is, where a unit follows
	aboutWord                        // makes the number after it approximate
	levelWord                        // says before a number how full the spoon is
	levelOfOne                       // the same behind an article: "a scant 1/4 cup"
	furtherWord                      // may stand before a number and says nothing of its size
	uncountedWord                    // is an amount without a number and without an article
	vagueWord                        // is an amount that nobody measures, behind an article
	packingWord                      // says behind a unit how it is filled
	packingEnd                       // ends what says how a unit is filled
	leadingWord                      // may stand between the start of a line and its first number
	linkWord                         // only joins the amount to the food
	sameAgainSign                    // stands between two writings of one amount
	bracketFiller                    // stands in a bracket before the amount
	cutWord                          // says what is done to a clove of garlic
	noFoodWord                       // cannot begin the name of a food, so the word before it is no unit
	noAmountBehind                   // takes the number behind it for itself: "cut into 2"
	looseWord                        // may stand before an amount behind the food
	portionWord                      // counts pieces of the food before it: "2 celery stalks"
	neverHolder                      // a portion that holds no measured amount: "8 oz rounds" are rounds of food
	firstOfTwo                       // begins a unit of two words
	cutLength                        // says what the length before it measures, joined to it by a hyphen
	pluckedPart                      // part of a fruit that an amount of the fruit gives: "juice of a lemon"
)

// lexicon has the words and signs for each role. Common practice, no source: they are English, as lines of recipes have it.
var lexicon = rolesOf([]roleWords{
	{articleWord, `a an`},
	{sizeWord, `small medium large big extra-large extra-small jumbo tiny sm med md lg lge medium-size medium-sized large-sized large-size
		small-sized small-size good-sized good-size medium-large medium-small medium-to-large small-to-medium whole average average-sized
		average-size mid-sized midsize thumb-sized thumb-size thumbsized thumbnail-sized thumbnail-size fist-sized fist-size walnut-sized
		walnut-size bite-sized regular-size family-size individual inch-thick inch-long inch-wide cm-thick cm-long jumbo-sized largish smallish`},
	{mannerWord, `good generous generously heaping heaped scant scanty rounded level fat thin thick plump heavy full nice slightly lightly
		loosely firmly tightly overflowing extra short long single double standard regular average healthy hefty brimming leveled levelled
		overfilled loose tight packed flat thickish stiff couple few us american metric imperial uk british light ripe young mini fresh more`},
	{aboutWord, `about approximately approx around roughly nearly almost circa ca ~ abt maybe`},
	{levelWord, `scant heaping heaped generous rounded level good heavy large big small`},
	{levelOfOne, `scant heaping heaped generous rounded level good full`},
	{furtherWord, `another additional extra only exactly total between`},
	{uncountedWord, `few several handful pinch dash splash drizzle knob glug squeeze sprinkle sprinkling couple bunch dozen`},
	{vagueWord, `little bit lot touch sufficient`},
	{packingWord, `packed lightly loosely firmly tightly well well-packed heaped heaping level rounded lightly-packed firmly-packed
		loosely-packed scant generous`},
	{packingEnd, `packed heaped heaping level rounded well-packed lightly-packed firmly-packed loosely-packed scant generous`},
	{leadingWord, `- . , + plus and then the or :`},
	{linkWord, `, . : ; - = | / of )`},
	{sameAgainSign, `/ = | ;`},
	{bracketFiller, `or a to total equals that is yield yields from weighing =`},
	{cutWord, `chopped sliced minced crushed peeled finely thinly coarsely roughly`},
	{noFoodWord, `for to or and plus optional about if cut only in with`},
	{noAmountBehind, `into cut % no number type grade # in x every by`},
	{looseWord, `about approximately approx around roughly`},
	{portionWord, `clove cloves stalk stalks rib ribs sprig sprigs bunch bunches slice slices bulb bulbs`},
	{neverHolder, `clove cloves cube cubes rounds round count bar strips`},
	{firstOfTwo, `fl fluid liquid us metric imperial imp oz knife`},
	{cutLength, `inch-thick inch-long inch-wide cm-thick cm-long`},
	{pluckedPart, `juice zest peel rind half leaves kernels`},
})

type roleWords struct {
	role  roles
	words string
}

// rolesOf turns the table about: the roles of each word.
func rolesOf(table []roleWords) map[string]roles {
	all := map[string]roles{}
	for _, row := range table {
		for word := range strings.FieldsSeq(row.words) {
			all[word] |= row.role
		}
	}
	for word := range numberWords {
		all[word] |= numeralWord
	}
	for word := range fractionWords {
		all[word] |= fractionWord
	}
	return all
}

// has tells whether token i is a word or sign of one of the roles.
func (p *parser) has(i int, wanted roles) bool { return p.at(i).roles&wanted != 0 }
