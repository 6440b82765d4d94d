package draft

import (
	"strings"

	"jarwright/validate/draft/amount"
)

// A line is read in this order; each step takes its part and leaves the rest to the next:
//
//	line  = heading | equipment | food { ( "plus" | "and" | "with" | "," ) food }     foods with an amount each
//	food  = amount name                                                               package amount reads the amount
//	name  = [ size ] { preparation } food { "or" food } [ what for or how ] { "," part } { "(" remark ")" }
//	part  = further food | alternative | preparation
//
// name.go finds where the name of the food begins and ends, identify.go the item it stands for, further.go the foods behind
// it, choice.go the least safe of a choice, ingredient.go what goes into the request.

// No cook writes more into one line. What is beyond is not read, and told.
const (
	longestLine = 2000 // bytes of plain text
	mostFoods   = 24
	mostJoints  = 6 // places that might join two foods and do not
)

// line reads one ingredient line.
func (w *writer) line(at, raw string) {
	text := amount.PlainText(raw)
	if text == "" || w.isFull() {
		return
	}
	if len(text) > longestLine {
		into := w.unknown(at, text, "line that is too long to be read")
		w.notWritten(at, into, text, "This is longer than any line of a recipe and was not read; it stands in the request as an unknown ingredient.")
		return
	}
	written := w.r.amounts.Line(text)
	if w.r.isHeading(text, &written) {
		w.heading(at, text)
		return
	}
	if isEquipment(text) {
		w.equipment(at, text)
		return
	}
	joints := mostJoints
	for range mostFoods {
		first, second, ok := w.r.splitFoods(&written, &joints)
		if !ok {
			break
		}
		written.Rest = first
		w.food(at, raw, text, &written)
		raw, text, written = second, second, w.r.amounts.Line(second)
	}
	w.food(at, raw, text, &written)
}

// foodJoints may stand between two foods with an amount each.
var foodJoints = []string{" plus ", " + ", " and ", " with ", ", "}

// splitFoods splits two foods with an amount each: "1 cup vinegar plus 1 cup water", "6 tomatoes, 2 onions and 1 pepper". It
// counts down the joints that may yet be tried in vain.
func (r *Reader) splitFoods(written *amount.Line, joints *int) (first, second string, ok bool) {
	if written.Amount == nil || len(written.Rest) > longestList {
		return "", "", false
	}
	open, shut := false, false // a bracket before the joint
	for at := 1; at < len(written.Rest) && *joints > 0; at++ {
		switch written.Rest[at-1] {
		case '(':
			open = true
		case ')':
			shut = true
		}
		joint := beginsWithAny(written.Rest[at:], foodJoints)
		if joint == "" || open && !shut {
			continue
		}
		if second = strings.TrimSpace(written.Rest[at+len(joint):]); !startsWithDigit(second) {
			continue
		}
		first = strings.TrimRight(written.Rest[:at], " ,;")
		if !r.areTwoFoods(first, joint, second) {
			*joints--
			continue
		}
		if joint == " with " {
			first = withoutParticiple(first)
		}
		return first, second, true
	}
	return "", "", false
}

func beginsWithAny(text string, beginnings []string) string {
	if text[0] != ' ' && text[0] != ',' {
		return ""
	}
	for _, beginning := range beginnings {
		if strings.HasPrefix(text, beginning) {
			return beginning
		}
	}
	return ""
}

// areTwoFoods tells whether a joint stands between two foods: behind it stand an amount and another food.
func (r *Reader) areTwoFoods(first, joint, second string) bool {
	const enough = 120 // bytes in which an amount and the name of a food stand
	if len(second) > enough {
		second = second[:enough]
	}
	other := r.amounts.Line(second)
	if other.Amount == nil || other.Rest == "" || strings.HasPrefix(other.Rest, "for ") || strings.HasPrefix(other.Rest, "more") {
		return false
	}
	loose := joint == ", " || joint == " with " || other.Amount.Unit == ""
	return !loose || r.isAnother(first, other.Rest)
}

func startsWithDigit(text string) bool { return text != "" && text[0] >= '0' && text[0] <= '9' }

// withoutParticiple takes "mixed" off "cornstarch mixed with 1/4 cup water".
func withoutParticiple(food string) string {
	words := strings.Fields(food)
	if last := len(words) - 1; last > 0 && strings.HasSuffix(words[last], "ed") {
		return strings.Join(words[:last], " ")
	}
	return food
}

// isAnother tells "2 onions" behind "6 tomatoes" from "1 finely chopped" and "2 cups sliced tomatoes".
func (r *Reader) isAnother(first, second string) bool {
	other := r.nameOf(second)
	if !other.known {
		return false
	}
	one := r.nameOf(first)
	return !one.known || one.found.Item.Family != other.found.Item.Family
}

// food writes the ingredients of one amount, usually one.
func (w *writer) food(at, raw, text string, written *amount.Line) {
	n := w.r.nameOf(juiceOf(written.Rest))
	further := w.furtherFoods(at, &n, written.Rest)
	line := w.draftLine(at, raw, &n, written)
	foods := w.r.splitName(&n, written.Each)
	for _, name := range further {
		line.Item += ", " + name
		foods = append(foods, w.r.nameOf(name))
	}
	if len(foods) == 1 {
		w.lessSafeAlternative(at, &foods[0], n.alternatives)
	}
	line.Understood = true
	lower := strings.ToLower(text)
	for i := range foods {
		into := w.ingredient(at, lower, written, &foods[i], len(foods) > 1)
		line.Into = append(line.Into, into)
		if foods[i].known {
			if line.ItemID == "" {
				line.ItemID = foods[i].found.Item.ID
			}
			continue
		}
		line.Understood = false
		what := "The catalog does not know this food, so it counts as low-acid food of unknown acidity."
		if foods[i].name == "" {
			what = "No food was found in this line; it stands in the request as an unknown ingredient."
		}
		w.notWritten(at, into, text, what)
	}
	if len(line.Into) == 1 {
		ingredients := w.out.Request.Recipe.Ingredients
		line.Form = ingredients[len(ingredients)-1].Form
	}
	w.out.Lines = append(w.out.Lines, line)
}

// draftLine is what the draft says of a line.
func (w *writer) draftLine(at, raw string, n *named, written *amount.Line) Line {
	return Line{
		At: at, Text: shortened(strings.TrimSpace(raw)), Kind: LineIngredient, Into: []string{},
		Amount: w.amount(written.Amount), Plus: w.amounts(written.Plus), Also: w.amounts(written.Also), Package: w.amount(written.Package),
		Container: written.Container, Sizes: written.Sizes, Open: written.Open, Optional: written.Optional,
		Item: n.name, Preparation: join(join(n.size, strings.Join(n.before, " ")), n.after), Alternatives: n.alternatives,
		Remarks: append(n.remarks, written.Notes...),
	}
}

func (w *writer) amounts(all []amount.Amount) []Amount {
	var shown []Amount
	for i := range all {
		if each := w.amount(&all[i]); each != nil { // "1 cup plus 0 tbsp" is 1 cup
			shown = append(shown, *each)
		}
	}
	return shown
}

// amount is an amount as the draft tells it, or nil for none. Code stands where one of the unit is one of the code.
func (w *writer) amount(a *amount.Amount) *Amount {
	if a == nil || a.High == 0 {
		return nil
	}
	shown := &Amount{Value: a.Low, Unit: a.Unit, About: a.About}
	if a.High != a.Low {
		shown.Max = new(a.High)
	}
	if word, ok := w.r.amounts.Word(a.Unit); ok && word.Factor == 1 {
		shown.Code = word.Code
	}
	return shown
}

// fruitParts are what is taken of a fruit.
var fruitParts = []string{"juice", "zest", "peel", "rind"}

// juiceOf turns "juice of lemons" about: it names the juice.
func juiceOf(rest string) string {
	lower := strings.ToLower(rest)
	if strings.Contains(lower, "from concentrate") {
		return rest
	}
	const mostBefore = 24 // bytes of "finely grated zest and"
	for _, part := range fruitParts {
		for _, link := range []string{" of ", " from "} {
			at := strings.Index(lower, part+link)
			if at < 0 || at > mostBefore {
				continue
			}
			return turnedAbout(strings.TrimSpace(rest[:at]), part, rest[at+len(part)+len(link):])
		}
	}
	return rest
}

// turnedAbout writes a fruit and a part of it as "lemon juice", "lemon zest and juice".
func turnedAbout(before, part, fruit string) string {
	fruit, more, _ := strings.Cut(fruit, ",")
	fruit = strings.TrimPrefix(strings.TrimPrefix(strings.TrimSpace(fruit), "a "), "an ")
	fruit, more = strings.TrimSuffix(fruit, "s"), strings.TrimSpace(more)
	name := fruit + " " + part
	whole := strings.ToLower(before)
	if lead := strings.TrimSuffix(strings.TrimSuffix(whole, " and"), " &"); lead != whole && lead != "" { // "zest and juice of"
		name = fruit + " " + lead + " and " + name
		before = ""
	}
	if part == "juice" {
		more = join("fresh", more)
	}
	return strings.TrimSpace(before + " " + join(name, more))
}

// nameJoints stand between foods of one name.
var nameJoints = []string{" and ", " & ", "/"}

// splitName splits one name for several foods, where the catalog knows each and not the whole: "salt and pepper". Foods
// that are written with "each" are split at commas too.
func (r *Reader) splitName(n *named, each bool) []named {
	if each && n.after != "" { // "1 tsp each cumin, coriander"
		if foods := r.splitAt(&named{name: n.name + ", " + n.after}, ",", true); foods != nil {
			return foods
		}
	}
	if !n.known || n.prefix != "" || n.suffix != "" {
		for _, joint := range nameJoints {
			if foods := r.splitAt(n, joint, each); foods != nil {
				return foods
			}
		}
	}
	return []named{*n}
}

// splitAt splits a name at a joint, or gives nil where the catalog does not know every food of it.
func (r *Reader) splitAt(n *named, joint string, each bool) []named {
	if !strings.Contains(n.name, joint) {
		return nil
	}
	separated := strings.ReplaceAll(n.name, joint, "\n")
	if each {
		separated = strings.ReplaceAll(strings.ReplaceAll(separated, ",", "\n"), " and ", "\n")
	}
	if strings.Count(separated, "\n") > 2*mostFoods {
		return nil
	}
	var foods []named
	for text := range strings.SplitSeq(separated, "\n") {
		if text = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(text), "and ")); text == "" {
			continue
		}
		food := r.nameOf(text)
		if !food.known {
			return nil
		}
		foods = append(foods, food)
	}
	if len(foods) < 2 || len(foods) > mostFoods {
		return nil
	}
	last := &foods[len(foods)-1]
	last.after, last.remarks = n.after, n.remarks
	return foods
}
