package words

import (
	"slices"

	"jarwright/validate/catalog"
)

// pouredOff is why a tomato without its juice is another food.
var pouredOff = Row{
	Phrase: "juice poured off", Part: "treatment", Effect: WeakensAcid, Meaning: "the juice carries the acid of a tomato, and it went with it",
	Citation: catalog.Citation{Source: "usda-2015", Locator: "p. 3-5", Verified: catalog.Read},
}

// Words by which a liquid leaves a food: the first with the juice named, the second by themselves.
var (
	pouring = map[string]bool{
		"thrown": true, "throw": true, "discard": true, "discarded": true, "drain": true, "drained": true, "draining": true, "pour": true, "poured": true,
		"removed": true, "tipped": true, "away": true, "dumped": true, "without": true, "no": true, "out": true, "off": true,
	}
	squeezing = map[string]bool{"squeezed": true, "wrung": true, "strained": true, "squeeze": true, "squeezing": true}
	juices    = map[string]bool{"juice": true, "liquid": true}
)

// pourings is what a text says of a juice so far.
type pourings struct {
	first, last            int // tokens
	juice, poured, printed bool
}

// thrownAway finds tomatoes whose juice is poured off, in whatever words, unless the tested recipe prints them. Juice that the
// tested recipe prints counts in its own clause only.
func (r *reading) thrownAway() {
	if r.of.Item == nil || r.of.Item.Family != "tomato" {
		return
	}
	said := pourings{first: -1}
	for at := range r.all {
		if r.all[at].kind == stop {
			if said.printed || said.first < 0 {
				said = pourings{first: -1}
			}
			continue
		}
		r.pours(at, &said)
		if said.juice && said.poured && said.printed {
			break
		}
	}
	if !said.juice || !said.poured {
		return
	}
	from, to := r.all[said.first].start, r.all[said.last].end
	r.spans = slices.DeleteFunc(r.spans, func(s Span) bool { return s.Kind != Fails && s.End > from && s.Start < to })
	r.add(Span{Kind: Fails, Row: &pouredOff}, said.first, said.last+1)
}

// pours takes in what one token says of a juice.
func (r *reading) pours(at int, said *pourings) {
	stem := r.all[at].stem
	if !juices[stem] && !pouring[stem] && !squeezing[stem] {
		return
	}
	isPrinted := r.isPrinted(&Span{}, at, at+1)
	switch {
	case juices[stem]:
		said.juice, said.printed = true, said.printed || isPrinted
	case isPrinted:
		return
	case squeezing[stem]:
		said.juice, said.poured = true, true
	default:
		said.poured = true
	}
	if said.first < 0 {
		said.first = at
	}
	said.last = at
}

// removing are the words by which a part of a plant is taken off or stays where it is.
var removing = map[string]bool{
	"remove": true, "removed": true, "removing": true, "trim": true, "trimmed": true, "discard": true, "discarded": true, "off": true, "out": true,
	"on": true, "intact": true, "attached": true, "with": true, "cut": true, "scraped": true, "snipped": true, "left": true, "stripped": true,
	"peeled": true, "pulled": true, "picked": true, "only": true, "snapped": true, "pinched": true, "scooped": true, "separated": true,
	"leave": true, "leaving": true, "stay": true, "broken": true, "reserved": true, "tough": true, "outer": true, "bad": true,
}

// bareParts finds parts of a plant that nothing is done to: "cucumbers and seeds" are two foods.
func (r *reading) bareParts() {
	if !isFood(r.of.Class) {
		return
	}
	done, from := false, 0
	var bare []int
	endClause := func() {
		for _, at := range bare {
			if !done {
				r.add(Span{Kind: Question, Code: "part"}, at, at+1)
			}
		}
		bare, done = bare[:0], false
	}
	for at := range r.all {
		t := &r.all[at]
		switch {
		case t.kind == stop:
			endClause()
			from = at + 1
		case removing[t.stem]:
			done = true
		case partsOfPlants[t.stem] && at > from && r.all[at-1].stem == "and":
			bare = append(bare, at)
		}
	}
	endClause()
}

// partsOfPlants are what is mostly cut off.
var partsOfPlants = map[string]bool{
	"seed": true, "skin": true, "stem": true, "tops": true, "top": true, "leaf": true, "peel": true, "core": true, "rib": true, "root": true,
	"stalk": true, "rind": true, "pit": true, "tail": true, "blossom": true, "flower": true,
}
