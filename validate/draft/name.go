package draft

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
)

// named is a food as a line names it.
type named struct {
	name         string   // without amount, preparation and remarks
	before       []string // words of preparation in front of the name
	size         string   // "3- to 4-inch long" in front of the name
	after        string   // what stands behind it
	remarks      []string // in brackets
	alternatives []string
	found        catalog.Resolved
	known        bool
	prefix       string // words of the name beyond the item's own
	suffix       string
}

// preparing are words for what is done to a food, not for what it is. Common practice, no source: they are English.
var preparing = wordSet(`chopped diced minced sliced grated shredded peeled unpeeled cored seeded deseeded trimmed halved quartered cubed mashed melted softened beaten
	toasted sifted rinsed drained undrained washed squeezed chilled cracked torn julienned pitted unpitted stemmed destemmed shelled thawed crumbled snapped blanched scrubbed slivered
	packed cut sectioned segmented husked hulled zested juiced strained cooled warmed unwrapped separated broken bruised smashed pricked topped tailed crosscut
	skinned scalded boned deboned cleaned split scored pressed pureed puréed deveined cooked parboiled roasted spiralized matchsticked crushed shaved snipped pared dissolved shucked
	coarse-ground fresh-ground freshly-ground lukewarm tepid iced ice-cold`)

// namesake are words of preparation that as often belong to a food's own name: "crushed red pepper", "toasted sesame oil".
var namesake = wordSet(`cooked toasted crushed`)

var adverbs = wordSet(`finely coarsely freshly thinly roughly lightly firmly loosely tightly thickly very well gently diagonally crosswise lengthwise evenly
	newly hand fine coarse partially fully`)

// sizing are words for size and state that do not make another food of it.
var sizing = wordSet(`small medium large big tiny jumbo baby young firm ripe fresh raw whole organic good-quality quality best-quality crisp tender plump long short thin thick fat unblemished
	medium-sized small-sized large-sized medium-size homegrown garden garden-fresh store-bought storebought bought commercial commercially bottled plain pure regular natural cold hot warm boiling
	filtered tap bottled unchlorinated chlorine-free nonchlorinated dechlorinated clean soft unwaxed waxed fresh-picked freshly-picked just-picked your favorite favourite
	additional extra more remaining reserved level heaping heaped scant generous the of some any other kind type style unfiltered unsweetened unpasteurized raw-unfiltered local sweet
	5% 5 percent acidity acid strength grain distilled clear dry dried new assorted mixed pickling canning slicing salad ground granulated white yellow red green purple orange golden brown dark light blue black
	kosher fine coarse sea table iodized non-iodized pink himalayan unrefined loose seedless vine-ripened heirloom cherry seeded unsalted untreated untoasted food-grade
	powdered prepared cured english regular-sized standard boneless skinless bone-in skin-on lean extra-lean low-sodium reduced-sodium salted no-salt-added salt-free low-fat reduced-fat fat-free nonfat all-purpose frozen canned tart ripest juicy mild
	ready-to-eat ready-to-use homemade room-temperature light-colored dark-colored`)

// portions are words for the shape a food is in, behind its name.
var portions = wordSet(`slices slice rings ring florets floret sticks halves half wedges wedge strips strip spears spear cubes cube pieces piece chunks chunk rounds round coins kernels kernel quarters
	cloves clove heads head sprigs sprig stalks stalk ribs rib ears ear bunches bunch leaves bulbs bulb flesh meat root roots pods pod berries spear stems tips fronds crowns matchsticks disks discs
	umbels flowers breasts breast thighs thigh drumsticks fillets fillet steaks chops roast shoulder loin tenderloin whole crystals granules flakes powder fresh ground dried bottled canned chopped sliced diced minced`)

// stops end a name: what follows says what for, how, or how much more.
var stops = wordSet(`for to plus such preferably about at if cut with without from in into on per as until depending see like note more optional approximately approx enough recipe using divided reserved
	leaving which that each total yield weighing preferrably such-as labeled labelled containing having or and/or i.e e.g is are just made`)

func wordSet(text string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(text) {
		set[word] = true
	}
	return set
}

// longestName is the most words that are looked at for a name: no food has so many, and the search is not linear.
const longestName = 24

// readyTo keeps "to" from ending the name.
var readyTo = strings.NewReplacer("ready to eat", "ready-to-eat", "ready to use", "ready-to-use")

// nameOf parts what is left of a line, after its amount, into the name of the food, its preparation and remarks.
func (r *Reader) nameOf(rest string) named {
	var n named
	rest, n.remarks = withoutBrackets(readyTo.Replace(rest))
	head, tail := r.headOf(rest)
	if head == "" && len(n.remarks) > 0 { // "(5%) vinegar" leaves its head; a line all in brackets is its own name
		head, n.remarks = n.remarks[0], n.remarks[1:]
		head, tail = r.headOf(head)
	}
	words := strings.Fields(head)
	if len(words) > longestName {
		words, tail = words[:longestName], join(strings.Join(words[longestName:], " "), tail)
	}
	words, n.size = withoutSize(words)
	words, n.before = r.leading(words)
	// The name ends at the first word that says what for or how, or at a participle behind it.
	end := len(words)
	for i := 1; i < len(words); i++ {
		lower := bare(words[i])
		if stops[lower] && !r.spans(words, i) || r.preparesAfter(words, i) || i+1 < len(words) && strings.HasSuffix(lower, "ed") && bare(words[i+1]) == "with" { // "mixed with"
			end = i
			break
		}
	}
	if end < len(words) && isChoice(bare(words[end])) {
		n.orElse(r, words, end)
	} else {
		n.name = strings.Join(words[:end], " ")
		if behind := strings.Join(words[end:], " "); behind != "" {
			tail = join(behind, tail)
		}
	}
	n.name = strings.Trim(n.name, " .,;:*-\"'")
	n.after = strings.Trim(tail, " .,;:")
	n.resolve(r)
	return n
}

// isChoice tells the words that join what a cook may choose from.
func isChoice(lower string) bool { return lower == "or" || lower == "and/or" }

// preparesAfter tells whether the word at i, behind a name, says what is done to the food: "onions chopped fine". It does
// not where nothing before it names a food and a noun follows: "frozen chopped spinach".
func (r *Reader) preparesAfter(words []string, i int) bool {
	lower := bare(words[i])
	if !preparing[lower] && !(adverbs[lower] && i+1 < len(words) && preparing[bare(words[i+1])]) {
		return false
	}
	before := strings.Join(words[:i], " ")
	if stops[bare(words[i-1])] || allQualifiers(before) || r.spans(words, i) {
		return false
	}
	return !nounFollows(words, i) || r.knowsLoosely(before)
}

// nounFollows tells whether a word that can be a food stands behind the words of preparation at i.
func nounFollows(words []string, i int) bool {
	for ; i < len(words); i++ {
		lower := bare(words[i])
		if isQualifier(lower) && !strings.ContainsAny(lower, "0123456789") {
			continue
		}
		return !stops[lower] && !isQualifier(lower) && !portions[lower]
	}
	return false
}

// withoutSize takes a size off the front: "3- to 4-inch long cucumbers", "1/4-inch slices".
func withoutSize(words []string) (rest []string, size string) {
	const longest = 5
	if len(words) < 2 || words[0][0] < '0' || words[0][0] > '9' {
		return words, ""
	}
	for i := range words[:min(longest, len(words)-1)] {
		lower := bare(words[i])
		if !strings.HasSuffix(lower, "inch") && !strings.HasSuffix(lower, "inches") && lower != "in" && lower != "cm" && lower != "mm" && !strings.Contains(lower, "inch-") && !strings.HasSuffix(lower, "-cm") && !strings.HasSuffix(lower, "-mm") {
			continue
		}
		end := i + 1
		for end < len(words)-1 && slices.Contains([]string{"long", "wide", "thick", "diameter", "square", "in", "around", "or", "less"}, bare(words[end])) {
			end++
		}
		return words[end:], strings.Join(words[:end], " ")
	}
	return words, ""
}

// bare is a word in lower case without the signs around it.
func bare(word string) string { return strings.ToLower(strings.Trim(word, ".,;:()[]\"'*")) }

func join(a, b string) string {
	switch {
	case a == "":
		return b
	case b == "":
		return a
	}
	return a + ", " + b
}

// spans tells whether a name of the catalog goes across the word at i: "cream of tartar", "onion and/or pepper".
func (r *Reader) spans(words []string, i int) bool {
	const longest = 5
	for end := i + 1; end <= min(len(words), i+longest-1); end++ {
		for start := max(0, i-longest); start <= i; start++ {
			if end-start < 2 {
				continue
			}
			if _, ok := r.tables.Resolve(strings.Join(words[start:end], " ")); ok && start < i {
				return true
			}
		}
	}
	return false
}

// orElse reads "cider or white vinegar", "canning or pickling salt", "lemon juice or citric acid".
func (n *named) orElse(r *Reader, words []string, at int) {
	left, right := strings.Join(words[:at], " "), words[at+1:]
	end := len(right)
	for i := range right {
		if lower := bare(right[i]); i > 0 && stops[lower] && lower != "or" {
			end = i
			break
		}
	}
	if end < len(right) {
		n.after = join(strings.Join(right[end:], " "), n.after)
	}
	right = right[:end]
	other := strings.Join(right, " ")
	if whole := left + " or " + other; r.knows(whole) {
		n.name = whole
		return
	}
	n.name, n.alternatives = left, []string{other}
	if allQualifiers(left) { // "fresh or dried linguine"
		for noun, word := range right {
			if !isQualifier(bare(word)) {
				n.name = left + " " + strings.Join(right[noun:], " ")
				break
			}
		}
	}
	// "white or cider vinegar": the first shares the noun of the second.
	if len(right) > 1 && (right[0][0] < '0' || right[0][0] > '9') {
		loosely := !r.knowsLoosely(left)
		for noun := 1; noun < len(right); noun++ {
			shared := left + " " + strings.Join(right[noun:], " ")
			if r.endsName(shared, len(right)-noun) || loosely && r.knowsLoosely(shared) {
				n.name = shared
				return
			}
		}
	}
}

// endsName tells whether the catalog knows the end of a name that takes in more than its last words: "organic lemon juice".
func (r *Reader) endsName(name string, last int) bool {
	words := strings.Fields(name)
	for start := range len(words) - last {
		if r.knows(strings.Join(words[start:], " ")) {
			return true
		}
	}
	return false
}

func (r *Reader) knows(name string) bool { _, ok := r.tables.Resolve(name); return ok }

func (r *Reader) knowsLoosely(name string) bool {
	probe := named{name: name}
	probe.resolve(r)
	return probe.known
}

// headOf parts a line at its first comma, semicolon or spaced dash, but not inside a name of the catalog ("onion, red")
// nor within a row of adjectives ("fresh, ripe tomatoes").
func (r *Reader) headOf(rest string) (head, tail string) {
	rest = strings.Trim(rest, " ,;:-")
	from := 0
	for {
		at := strings.IndexAny(rest[from:], ",;")
		if dash := strings.Index(rest[from:], " - "); dash >= 0 && (at < 0 || dash < at) {
			at = dash
		}
		if colon := strings.Index(rest[from:], ": "); colon > 0 && (at < 0 || colon < at) {
			at = colon
		}
		if at < 0 {
			return rest, ""
		}
		at += from
		head, tail = strings.TrimSpace(rest[:at]), strings.Trim(rest[at:], " ,;:-")
		if allQualifiers(head) && tail != "" {
			from = at + 1
			continue
		}
		next, more, _ := strings.Cut(tail, ",")
		if turned := head + ", " + strings.TrimSpace(next); rest[at] == ',' && len(strings.Fields(next)) <= 3 && !prepares(strings.Fields(next), 0) && r.knows(turned) && !r.goesOn(head, next, more) {
			return turned, strings.Trim(more, " ,;:")
		}
		return head, tail
	}
}

// goesOn tells the list "apple, pear, or quince" from the name that is turned about in "apple, pear".
func (r *Reader) goesOn(head, next, more string) bool {
	first, _, _ := strings.Cut(strings.TrimSpace(more), " ")
	return (isChoice(first) || first == "and") && r.knows(head) && r.knows(next)
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

// isQualifier tells a word of state, size or preparation, also of two that are joined ("firm-ripe"), a figure, and the words between.
func isQualifier(lower string) bool {
	if preparing[lower] || adverbs[lower] || sizing[lower] || lower == "and" || lower == "or" || lower == "and/or" || lower == "&" || strings.ContainsAny(lower, "0123456789") {
		return true
	}
	first, second, joined := strings.Cut(lower, "-")
	return joined && (sizing[first] || adverbs[first]) && (sizing[second] || preparing[second])
}

// withoutBrackets takes out what stands in brackets.
func withoutBrackets(text string) (string, []string) {
	if !strings.ContainsAny(text, "([{") {
		return text, nil
	}
	var outside strings.Builder
	var inside strings.Builder
	var remarks []string
	depth := 0
	for _, r := range text {
		switch r {
		case '(', '[', '{':
			if depth++; depth == 1 {
				outside.WriteByte(' ')
				continue
			}
		case ')', ']', '}':
			if depth > 0 {
				if depth--; depth == 0 {
					if remark := strings.Trim(inside.String(), " ,;:"); remark != "" {
						remarks = append(remarks, remark)
					}
					inside.Reset()
					continue
				}
			}
		}
		if depth > 0 {
			inside.WriteRune(r)
		} else {
			outside.WriteRune(r)
		}
	}
	if remark := strings.Trim(inside.String(), " ,;:"); remark != "" {
		remarks = append(remarks, remark)
	}
	return strings.ReplaceAll(strings.Join(strings.Fields(outside.String()), " "), " ,", ","), remarks
}

// leading takes the words of preparation off the front: "peeled and thinly sliced carrots".
func (r *Reader) leading(words []string) (rest, before []string) {
	i := 0
	for i < len(words)-1 {
		lower := bare(words[i])
		switch {
		case adverbs[lower] && i+2 < len(words) && bare(words[i+1]) == "ground" && r.same(words[i+1:], words[i+2:]):
			before = append(before, words[i]) // "freshly ground black pepper"
			i++
		case namesake[lower] && r.beginsName(words[i:]), lower == "roasted":
			return words[i:], before
		case lower == "fresh" && preparing[bare(words[i+1])] && i+2 < len(words): // "fresh chopped tarragon": still fresh tarragon
			before = append(before, strings.Trim(words[i+1], ","))
			words = slices.Delete(slices.Clone(words), i+1, i+2)
			continue
		case i+2 < len(words) && portions[lower] && bare(words[i+1]) == "of": // "matchsticks of ginger"
		case preparing[lower]:
		case adverbs[lower] && prepares(words, i+1), lower == "freshly", lower == "of", lower == "the" && i == 0:
		case (lower == "and" || lower == "or" || lower == "&" || lower == "then") && i > 0 && prepares(words, i+1):
		default:
			return words[i:], before
		}
		if lower = bare(words[i]); lower != "of" && lower != "the" {
			before = append(before, strings.Trim(words[i], ","))
		}
		i++
	}
	return words[i:], before
}

// beginsName tells whether a name of the catalog begins with the first word.
func (r *Reader) beginsName(words []string) bool {
	const longest = 4
	for end := 2; end <= min(longest, len(words)); end++ {
		if r.knows(strings.Join(words[:end], " ")) {
			return true
		}
	}
	return false
}

// same tells whether two names stand for one item: "ground black pepper" and "black pepper", not "ground coriander" and "coriander".
func (r *Reader) same(a, b []string) bool {
	one, knowsOne := r.tables.Resolve(strings.Join(a, " "))
	other, knowsOther := r.tables.Resolve(strings.Join(b, " "))
	return !knowsOne || knowsOther && one.Item == other.Item
}

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

// resolve finds the item that the name stands for: the whole name first, then without words of shape behind it, then
// without words in front of it.
func (n *named) resolve(r *Reader) {
	words := strings.Fields(n.name)
	if len(words) == 0 {
		return
	}
	const longest = 12
	if len(words) > longest {
		words = words[:longest]
	}
	for start := range words {
		for end := len(words); end > start; end-- {
			if end < len(words) && !portions[bare(words[end])] {
				break
			}
			found, ok := r.lookUp(words[start:end])
			if !ok || !mayHavePrefix(found.Item, words[:start]) {
				continue
			}
			n.found, n.known = found, true
			n.prefix, n.suffix = strings.Join(words[:start], " "), strings.Join(words[end:], " ")
			return
		}
	}
}

// lookUp asks the catalog for the words, and for "basil, fresh" where they are "fresh basil".
func (r *Reader) lookUp(words []string) (catalog.Resolved, bool) {
	name := strings.Join(words, " ")
	if found, ok := r.tables.Resolve(name); ok {
		return found, true
	}
	first := bare(words[0])
	if len(words) > 1 && (first == "fresh" || first == "dried" || first == "ground" || first == "ripe" || first == "unripe") {
		if found, ok := r.tables.Resolve(strings.Join(words[1:], " ") + " " + first); ok {
			return found, true
		}
	}
	return catalog.Resolved{}, false
}

// mayHavePrefix says whether an item may be recognized behind words that the catalog does not know. A low-acid food, salt,
// vinegar or sugar is no less one for them; anything else could be made safer than it is by a name that only ends like it.
func mayHavePrefix(item *catalog.Item, prefix []string) bool {
	switch {
	case item.Class == catalog.LowAcid, item.Class == catalog.Egg, item.Class == catalog.Fat:
		return true
	case (item.Class == catalog.Salt || item.Family == "vinegar") && !slices.ContainsFunc(prefix, joinsFoods): // "secret mixture and vinegar"
		return true
	}
	return allQualifiers(strings.Join(prefix, " "))
}

func joinsFoods(word string) bool {
	lower := bare(word)
	return lower == "and" || lower == "&" || lower == "plus" || isChoice(lower)
}

// risk orders classes by what reading one for another could hide: the lower, the worse.
func risk(n *named) int {
	if !n.known {
		return 0
	}
	order := []catalog.Class{
		catalog.Egg, catalog.LowAcid, catalog.Fat, catalog.Thickener, catalog.FreshHerb, catalog.AcidFood, catalog.Water, catalog.Ice,
		catalog.Firming, catalog.Sugar, catalog.Sweetener, catalog.Salt, catalog.Seasoning, catalog.Acid,
	}
	at := slices.Index(order, n.found.Item.Class) + 1
	if n.found.Item.Family == "vinegar" && n.found.Item.ID != "vinegar" && n.found.Item.ID != "white-vinegar" && n.found.Item.ID != "cider-vinegar" {
		return at // rice, wine and other vinegars stand before the two that recipes were tested with
	}
	if n.found.Item.Class == catalog.Acid {
		return at + 1
	}
	return at
}
