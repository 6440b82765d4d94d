package composition

import (
	"fmt"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
)

// What a mark on a line comes to before a tested recipe is known, beside one that pours such a thing away, and beside one that does
// not. Food and what is mixed in stay in the jar; what soaks are made of, and acids, never do.
func TestMarks(t *testing.T) {
	k := loadKitchen(t)
	for _, c := range []struct {
		item                          string
		unknown, asPrinted, otherwise bool // in the jar
		printed                       Pouring
	}{
		{"onion", true, true, true, KeptAnyhow},
		{"tomato", true, true, true, KeptAnyhow},
		{"moon rock", true, true, true, KeptAnyhow},
		{"egg", true, true, true, KeptAnyhow},
		{"olive oil", true, false, true, PouredAway},
		{"cornstarch", true, false, true, PouredAway},
		{"sugar", false, false, true, PouredAway},
		{"sucralose", false, false, true, PouredAway},
		{"water", false, false, false, PouredAway},
		{"ice", false, false, false, PouredAway},
		{"salt", false, false, false, PouredAway},
		{"pickling lime", false, false, false, PouredAway},
		{"mustard seed", false, false, true, PouredAway},
		{"vinegar", false, false, false, PouredAway},
	} {
		t.Run(c.item, func(t *testing.T) {
			line := k.line(nil, document.Ingredient{Item: c.item, Amount: quantity(1, "cup"), Per: document.PerBatch, Drained: new(true)})
			if line.Pouring != PouredAway || line.InJar != c.unknown {
				t.Errorf("before a recipe is known: %v, in the jar %v", line.Pouring, line.InJar)
			}
			line.SettleAlone()
			if line.Pouring != PouredAway || line.InJar != stays(line.Class) {
				t.Errorf("where no recipe is near: %v, in the jar %v", line.Pouring, line.InJar)
			}
			line.Settle(true)
			if line.Pouring != c.printed || line.InJar != c.asPrinted {
				t.Errorf("as printed: %v, in the jar %v", line.Pouring, line.InJar)
			}
			line.Settle(false)
			if line.Pouring != MarkedWrong || line.InJar != c.otherwise {
				t.Errorf("otherwise: %v, in the jar %v", line.Pouring, line.InJar)
			}
			line.Settle(true)
			if line.Pouring != c.printed {
				t.Errorf("settled again: %v", line.Pouring)
			}
		})
	}
	for _, mark := range []*bool{nil, new(false)} {
		line := k.line(nil, document.Ingredient{Item: "salt", Amount: quantity(1, "cup"), Per: document.PerBatch, Drained: mark})
		line.Settle(false)
		line.SettleAlone()
		if line.Pouring != NotMarked || !line.InJar {
			t.Errorf("not marked: %v, in the jar %v", line.Pouring, line.InJar)
		}
	}
}

// Words that pour an acid away, and words that only pour it.
func TestPouredOff(t *testing.T) {
	k := loadKitchen(t)
	for form, inJar := range map[string]bool{
		"": true, "white": true, "poured boiling over the cucumbers": true, "poured on hot": true, "hot, poured in": true,
		"poured off": false, "cooked with the food and poured off": false, "poured": false, "drained": false, "boiled with the food, discarded": false,
		"poured over, then poured off": false,
	} {
		line := k.line(nil, document.Ingredient{Item: "vinegar", Form: form, Amount: quantity(1, "cup"), Per: document.PerBatch})
		if line.InJar != inJar || (line.Pouring == NotMarked) != inJar {
			t.Errorf("%q: in the jar %v, %v", form, line.InJar, line.Pouring)
		}
	}
	line := k.line(nil, document.Ingredient{Item: "vinegar", Form: "poured off", Amount: quantity(1, "cup"), Per: document.PerBatch, Drained: new(false)})
	if !line.InJar {
		t.Error("the member does not go before the words")
	}
}

// Words that say that a food did not ferment, and words that do not.
func TestUnfermented(t *testing.T) {
	for text, want := range map[string]bool{
		"shredded, cored": false, "": false, "fermented 4 weeks": false, "shredded, fermented, packed at once": false, "sour": false,
		"soured in the crock": false, "cored, packed": false, "packed tight": false, "used immediately": false,
		"not fermented": true, "shredded, never fermented": true, "not yet fermented": true, "no fermentation": true, "without fermenting": true,
		"unfermented": true, "fresh, not soured": true, "not fermented, packed right away": true, "shredded, packed right away": true,
		"canned straight away": true, "jarred at once": true, "filled immediately": true, "before fermenting": true, "instead of fermenting": true,
		"fermentation skipped": true, "half fermented": true, "only partly fermented": true, "Not Fermented": true, "fermented, not soured": true,
	} {
		if got := ReadForm(text).Unfermented; got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}

func TestPouringOfClasses(t *testing.T) {
	kept := ""
	for _, class := range catalog.Classes() {
		if stays(class) {
			kept += fmt.Sprint(class, " ")
		}
	}
	if want := "low_acid acid_food sugar sweetener fat thickener egg "; kept != want {
		t.Errorf("%q stay in the jar, want %q", kept, want)
	}
}
