package draft

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/draft/amount"
	"jarwright/validate/measure"
)

// Lengths that the request schema allows.
const (
	maxItem = 100
	maxForm = 200
	maxName = 200
)

func (w *writer) name() {
	n, ok := w.recipe.member("name")
	if !ok {
		n, ok = w.recipe.member("headline")
	}
	if !ok {
		return
	}
	text, at := n.text()
	text = amount.PlainText(text)
	if short := cut(text, maxName); short != text {
		w.notUnderstood(at, text, "The name is longer than 200 characters and was cut.")
		text = short
	}
	w.out.Request.Recipe.Name = text
}

// ingredients reads every ingredient line, however the list is shaped.
func (w *writer) ingredients() {
	list, ok := w.recipe.member("recipeIngredient")
	if old, has := w.recipe.member("ingredients"); has {
		if ok && len(list.list()) > 0 {
			w.notUnderstood(old.at, "", "The recipe lists its ingredients twice; only recipeIngredient is read.")
		} else {
			list, ok = old, true
			w.assume(old.at, "/recipe/ingredients", "The superseded property ingredients was read in place of recipeIngredient.")
		}
	}
	if !ok {
		if list, ok = w.recipe.member("supply"); !ok {
			return
		}
	}
	w.entries(list, 0)
	w.batchAssumed()
}

// entries reads one level of the list of ingredients.
func (w *writer) entries(n node, depth int) {
	const deepest = 8
	for _, each := range n.list() {
		switch value := each.value.(type) {
		case string:
			parts := strings.FieldsFunc(breaks.Replace(value), func(r rune) bool { return r == '\n' || r == '\r' })
			for _, part := range parts {
				w.line(each.at, part)
			}
		case map[string]any:
			if inner, ok := each.member("itemListElement"); ok && depth < deepest {
				if heading, ok := each.member("name"); ok {
					text, at := heading.text()
					w.heading(at, amount.PlainText(text))
				}
				w.entries(inner, depth+1)
				continue
			}
			if inner, ok := each.member("item"); ok && isContainer(inner.value) && depth < deepest {
				w.entries(inner, depth+1)
				continue
			}
			if text := composed(each); text != "" {
				w.line(each.at, text)
			} else {
				w.notUnderstood(each.at, "", "This ingredient has no text.")
				w.unknown(each.at, "ingredient without text")
			}
		case []any:
			if depth < deepest {
				w.entries(each, depth+1)
			}
		default:
			text, at := each.text()
			w.line(at, text)
		}
	}
}

// composed makes a line of a PropertyValue or a HowToSupply: its quantity before its name.
func composed(n node) string {
	name, _ := n.text()
	amount := ""
	for _, member := range []string{"requiredQuantity", "value", "amount", "quantity"} {
		quantity, ok := n.member(member)
		if !ok {
			continue
		}
		if quantity.object() != nil {
			value, hasValue := quantity.member("value")
			low, hasLow := quantity.member("minValue")
			high, hasHigh := quantity.member("maxValue")
			switch {
			case hasValue:
				amount, _ = value.text()
			case hasLow && hasHigh:
				from, _ := low.text()
				to, _ := high.text()
				amount = from + "-" + to
			}
			amount += unitText(quantity)
		} else {
			amount, _ = quantity.text()
		}
		break
	}
	if _, ok := n.member("name"); ok {
		name, _ = n.member2("name")
	}
	if amount != "" && amount != name {
		return amount + unitText(n) + " " + name
	}
	return name
}

func (n node) member2(name string) (string, string) {
	inner, _ := n.member(name)
	return inner.text()
}

// unitCodes are the UN/CEFACT codes of the units that lines of recipes use. From memory (Recommendation 20).
var unitCodes = map[string]string{
	"GRM": "g", "KGM": "kg", "LBR": "lb", "ONZ": "oz", "MLT": "ml", "LTR": "L", "G21": "cup", "G24": "tbsp", "G25": "tsp", "OZA": "fl oz", "PTL": "pint",
	"QTL": "quart", "GLL": "gallon", "BUA": "bushel", "G23": "peck", "CLT": "cl", "DLT": "dl",
}

func unitText(n node) string {
	if unit, ok := n.member("unitText"); ok {
		text, _ := unit.text()
		return " " + text
	}
	if code, ok := n.member("unitCode"); ok {
		text, _ := code.text()
		if name, known := unitCodes[text]; known {
			return " " + name
		}
		return " " + text
	}
	return ""
}

// unknown puts an ingredient nobody can identify into the recipe; it counts as low-acid food.
func (w *writer) unknown(at, text string) {
	into := w.add(document.Ingredient{Item: cut(text, maxItem), Per: document.PerBatch})
	w.out.Lines = append(w.out.Lines, Line{At: at, Text: shortened(text), Kind: LineIngredient, Into: []string{into}})
}

// add appends an ingredient and gives its pointer.
func (w *writer) add(ingredient document.Ingredient) string {
	recipe := &w.out.Request.Recipe
	recipe.Ingredients = append(recipe.Ingredients, ingredient)
	return "/recipe/ingredients/" + strconv.Itoa(len(recipe.Ingredients)-1)
}

var (
	perJarWords  = []string{"per jar", "each jar", "per pint", "per quart", "per half-pint", "every jar", "/jar", "to a jar"}
	soakingWords = []string{"for soaking", "soaking", "to soak", "soak in", "for the soak", "salt soak", "lime soak", "ice bath", "cooking water", "simmer water", "for blanching", "poured away", "discarded"}
)

func containsAny(text string, words []string) bool {
	return slices.ContainsFunc(words, func(word string) bool { return strings.Contains(text, word) })
}

var spiceBagWords = []string{"spice bag", "in a bag, removed", "tied in cheesecloth", "tied in a", "in cheesecloth", "taken out", "removed before"}

// heading takes note of a line that only names what follows.
func (w *writer) heading(at, text string) {
	lower := strings.ToLower(text)
	w.perJar, w.soaking = containsAny(lower, perJarWords), containsAny(lower, soakingWords)
	w.out.Lines = append(w.out.Lines, Line{At: at, Text: shortened(text), Kind: LineHeading, Understood: true, Into: []string{}})
}

// isHeading tells "For the brine:" from a line of food. A line that names something of the catalog is never a heading.
func (r *Reader) isHeading(text string, written amount.Line) bool {
	if written.Amount != nil || written.Open != "" {
		return false
	}
	lower := strings.ToLower(text)
	if !strings.HasSuffix(text, ":") && !strings.HasPrefix(lower, "for the ") && !strings.HasPrefix(text, "---") && !strings.HasPrefix(text, "==") {
		return false
	}
	return !r.knowsLoosely(strings.Trim(strings.TrimPrefix(lower, "for the "), " :-="))
}

// line reads one ingredient line.
func (w *writer) line(at, raw string) {
	text := amount.PlainText(raw)
	if text == "" {
		return
	}
	written := w.r.amounts.Line(text)
	if w.r.isHeading(text, written) {
		w.heading(at, text)
		return
	}
	if isEquipment(text) {
		w.equipment(at, text)
		return
	}
	const longest = 24 // no cook puts more into one line
	for range longest {
		first, second, ok := w.parted(written)
		if !ok {
			break
		}
		written.Rest = first
		w.food(at, raw, text, written)
		raw, text, written = second, second, w.r.amounts.Line(second)
	}
	w.food(at, raw, text, written)
}

// parted parts two foods with an amount each: "1 cup vinegar plus 1 cup water", "6 tomatoes, 2 onions and 1 pepper".
func (w *writer) parted(written amount.Line) (first, second string, ok bool) {
	if written.Amount == nil || len(written.Rest) > longestList {
		return "", "", false
	}
	for at := 1; at < len(written.Rest); at++ {
		mark := beginsWithAny(written.Rest[at:], " plus ", " + ", " and ", " with ", ", ")
		if mark == "" {
			continue
		}
		first, second = strings.TrimRight(written.Rest[:at], " ,;"), strings.TrimSpace(written.Rest[at+len(mark):])
		if strings.Contains(first, "(") && !strings.Contains(first, ")") || second == "" || second[0] < '0' || second[0] > '9' {
			continue
		}
		other := w.r.amounts.Line(second)
		if other.Amount == nil || other.Rest == "" || strings.HasPrefix(other.Rest, "for ") || strings.HasPrefix(other.Rest, "more") {
			continue
		}
		if (mark == ", " || mark == " with " || other.Amount.Unit == "") && !w.isAnother(first, other.Rest) {
			continue
		}
		if words := strings.Fields(first); mark == " with " && len(words) > 1 && strings.HasSuffix(words[len(words)-1], "ed") {
			first = strings.Join(words[:len(words)-1], " ") // "cornstarch mixed with 1/4 cup water"
		}
		return first, second, true
	}
	return "", "", false
}

func beginsWithAny(text string, beginnings ...string) string {
	for _, beginning := range beginnings {
		if strings.HasPrefix(text, beginning) {
			return beginning
		}
	}
	return ""
}

// isAnother tells "2 onions" behind "6 tomatoes" from "1 finely chopped" and "2 cups sliced tomatoes".
func (w *writer) isAnother(first, second string) bool {
	one, other := w.r.nameOf(first), w.r.nameOf(second)
	return other.known && (!one.known || one.found.Item.Family != other.found.Item.Family)
}

// food writes the ingredients of one line, usually one.
func (w *writer) food(at, raw, text string, written amount.Line) {
	n := w.r.nameOf(juiceOf(written.Rest))
	others := w.others(at, &n, written.Rest)
	line := Line{
		At: at, Text: shortened(strings.TrimSpace(raw)), Kind: LineIngredient, Container: written.Container, Sizes: written.Sizes, Open: written.Open,
		Optional: written.Optional, Item: n.name, Preparation: join(join(n.size, strings.Join(n.before, " ")), n.after), Alternatives: n.alternatives,
		Remarks: append(n.remarks, written.Notes...), Amount: w.amount(written.Amount), Plus: w.amounts(written.Plus), Also: w.amounts(written.Also), Package: w.amount(written.Package), Into: []string{},
	}
	parts := w.parts(&n, written)
	for _, other := range others {
		line.Item += ", " + other
		parts = append(parts, w.r.nameOf(other))
	}
	if len(parts) == 1 {
		w.worse(at, &parts[0], n.alternatives)
	}
	understood := true
	for i := range parts {
		into := w.ingredient(at, strings.ToLower(text), written, &parts[i], len(parts) > 1)
		line.Into = append(line.Into, into)
		if parts[i].known {
			if line.ItemID == "" {
				line.ItemID = parts[i].found.Item.ID
			}
			continue
		}
		understood = false
		what := "The catalog does not know this food, so it counts as low-acid food of unknown acidity."
		if parts[i].name == "" {
			what = "No food was found in this line; it stands in the request as an unknown ingredient."
		}
		w.out.NotUnderstood = append(w.out.NotUnderstood, Note{At: at, Into: into, Text: shortened(text), What: what})
	}
	if len(line.Into) == 1 {
		index := len(w.out.Request.Recipe.Ingredients) - 1
		line.Form = w.out.Request.Recipe.Ingredients[index].Form
	}
	line.Understood = understood
	w.out.Lines = append(w.out.Lines, line)
}

// others takes the further foods out of what stands behind the first. Those that the cook may choose instead become
// alternatives of it.
func (w *writer) others(at string, n *named, rest string) []string {
	for _, remark := range n.remarks { // "vinegar (or water)", but not "lime (or lemon) juice"
		pieces, link := joinedPieces(remark)
		_, behind, _ := strings.Cut(rest, remark+")")
		if isChoice(link) && len(pieces) == 1 && strings.HasPrefix(strings.ToLower(remark), link) && mayBeFood(pieces[0]) && (behind == "" || behind[0] == ',') {
			n.alternatives = append(n.alternatives, pieces[0])
		}
	}
	if len(n.after) > longestList {
		w.notUnderstood(at, n.after, "The line is too long to be read to its end.")
	}
	m, found := w.r.listed(n)
	if !found {
		return nil
	}
	n.after = m.rest
	if m.choice {
		w.r.withNoun(n, m.foods)
		n.alternatives = append(n.alternatives, m.foods...)
		return nil
	}
	return m.foods
}

// juiceOf turns "juice of lemons" about: it names the juice.
func juiceOf(rest string) string {
	lower := strings.ToLower(rest)
	if strings.Contains(lower, "from concentrate") {
		return rest
	}
	for _, part := range []string{"juice", "zest", "peel", "rind"} {
		for _, link := range []string{" of ", " from "} {
			at := strings.Index(lower, part+link)
			if at < 0 || at > 24 {
				continue
			}
			before := strings.TrimSpace(rest[:at])
			fruit := rest[at+len(part)+len(link):]
			fruit, more, _ := strings.Cut(fruit, ",")
			fruit = strings.TrimPrefix(strings.TrimPrefix(strings.TrimSpace(fruit), "a "), "an ")
			name := strings.TrimSuffix(fruit, "s") + " " + part
			if lead := strings.TrimSuffix(strings.TrimSuffix(strings.ToLower(before), " and"), " &"); lead != strings.ToLower(before) && lead != "" { // "zest and juice of"
				name = strings.TrimSuffix(fruit, "s") + " " + lead + " and " + name
				before = ""
			}
			if part == "juice" {
				more = join("fresh", strings.TrimSpace(more))
			}
			return strings.TrimSpace(before + " " + join(name, strings.TrimSpace(more)))
		}
	}
	return rest
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

func (w *writer) amount(a *amount.Amount) *Amount {
	if a == nil || a.High == 0 {
		return nil
	}
	shown := &Amount{Value: a.Low, Unit: a.Unit, About: a.About}
	if a.High != a.Low {
		shown.Max = new(a.High)
	}
	if word, ok := w.r.amounts.Word(a.Unit); ok && (word.Kind == amount.UnitMeasure || word.Factor == 1) {
		if word.Factor == 1 {
			shown.Code = word.Code
		}
	}
	return shown
}

// parts takes one name for several foods apart, where the catalog knows each and not the whole: "salt and pepper".
func (w *writer) parts(n *named, written amount.Line) []named {
	one := []named{*n}
	if written.Each && n.after != "" { // "1 tsp each cumin, coriander"
		if pieces := w.split(&named{name: n.name + ", " + n.after}, ",", true); pieces != nil {
			return pieces
		}
	}
	if n.known && n.prefix == "" && n.suffix == "" {
		return one
	}
	for _, mark := range []string{" and ", " & ", "/"} {
		if pieces := w.split(n, mark, written.Each); pieces != nil {
			return pieces
		}
	}
	return one
}

func (w *writer) split(n *named, mark string, each bool) []named {
	if !strings.Contains(n.name, mark) {
		return nil
	}
	separated := strings.ReplaceAll(n.name, mark, "\n")
	if each {
		separated = strings.ReplaceAll(strings.ReplaceAll(separated, ",", "\n"), " and ", "\n")
	}
	var pieces []named
	for text := range strings.SplitSeq(separated, "\n") {
		if text = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(text), "and ")); text == "" {
			continue
		}
		piece := w.r.nameOf(text)
		if !piece.known {
			return nil
		}
		pieces = append(pieces, piece)
	}
	if len(pieces) < 2 {
		return nil
	}
	last := &pieces[len(pieces)-1]
	last.after, last.remarks = n.after, n.remarks
	return pieces
}

// worse takes the alternative that is worse for safety in place of the food named first.
func (w *writer) worse(at string, n *named, alternatives []string) {
	for _, text := range alternatives {
		if written := w.r.amounts.Line(text); written.Amount != nil { // "or 1 cup water"
			text = written.Rest
		}
		if text == "" || allQualifiers(text) { // "or 1 tsp dried"
			continue
		}
		other := w.r.nameOf(text)
		if other.name == "" || !other.known && n.known && len(strings.Fields(other.name)) > 4 {
			continue
		}
		if risk(&other) < risk(n) {
			if !other.known {
				w.notUnderstood(at, text, "The line leaves a choice, and the catalog does not know this alternative. The first was taken.")
				continue
			}
			w.assume(at, "/recipe/ingredients/"+strconv.Itoa(len(w.out.Request.Recipe.Ingredients)), "The line leaves a choice; "+other.name+" is the less safe one and was taken.")
			other.size = n.size
			other.after, other.before, other.remarks = join(other.after, n.after), n.before, n.remarks
			*n = other
		}
	}
}

var percentPattern = regexp.MustCompile(`(\d+(?:[.,]\d+)?)(?:\s*(?:-|to)\s*(\d+(?:[.]\d+)?))?\s*(?:%|per ?cent\b)`)

// percent finds a strength in a text; of a range it takes the lower end.
func percent(lower string) (float64, bool) {
	if !strings.Contains(lower, "%") && !strings.Contains(lower, "cent") {
		return 0, false
	}
	m := percentPattern.FindStringSubmatch(lower)
	if m == nil {
		return 0, false
	}
	value, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", "."), 64)
	return value, err == nil && value <= 100
}

// ingredient writes one ingredient of the request.
func (w *writer) ingredient(at, lower string, written amount.Line, n *named, shared bool) string {
	into := "/recipe/ingredients/" + strconv.Itoa(len(w.out.Request.Recipe.Ingredients))
	w.special(at, into, lower, written, n)
	g := document.Ingredient{Per: document.PerBatch, Item: cut(n.name, maxItem), Form: w.form(written, n)}
	if w.perJar || containsAny(lower, perJarWords) {
		g.Per = document.PerJar
	} else {
		w.batch = true
	}
	class := catalog.LowAcid
	if n.known {
		g.Item, class = n.found.Item.ID, n.found.Item.Class
		g.Bottled, g.SaltKind = n.found.Bottled, n.found.SaltKind
	}
	if strings.TrimSpace(g.Item) == "" {
		g.Item = cut(lower, maxItem)
	}
	w.setAmount(at, into, written, class, shared, &g)
	w.members(at, into, lower, class, n, &g)
	return w.add(g)
}

// special reads names that mean another thing with another amount: pepper by the spoon is the spice.
func (w *writer) special(at, into, lower string, written amount.Line, n *named) {
	if !n.known {
		return
	}
	swap := func(id, what string) {
		if found, ok := w.r.tables.Resolve(id); ok {
			n.found = found
			w.assume(at, into, what)
		}
	}
	spoon := written.Amount == nil
	if written.Amount != nil {
		switch written.Amount.Unit {
		case "tsp", "tbsp", "pinch", "dash", "dessertspoon":
			spoon = true
		}
	}
	name := strings.ToLower(n.name)
	switch {
	case n.found.Item.ID == "any-pepper" && (name == "pepper" || strings.HasSuffix(name, "ground pepper") || name == "cracked pepper") && spoon:
		swap("black-pepper", "Pepper by the spoon or without an amount is taken for the spice.")
	case n.found.Item.ID == "ginger" && name == "ginger" && (written.Package != nil || written.Container != "" || containsAny(lower, []string{"grated", "minced", "peeled", "sliced", "piece", "knob", "inch", "chopped"})):
		swap("ginger-root", "Ginger that is peeled, cut or counted is taken for the fresh root.")
	case n.found.Item.ID == "fresh-dill" && written.Amount != nil && written.Amount.Unit == "head":
		swap("dill-head", "A head of dill.")
	case n.found.Item.ID == "cinnamon" && (written.Amount != nil && (written.Amount.Unit == "stick" || written.Amount.Unit == "in" || written.Amount.Unit == "piece")):
		swap("cinnamon-stick", "Cinnamon by the stick.")
	case n.found.Item.Class == catalog.Seasoning && written.Amount != nil && slices.Contains([]string{"sprig", "bunch", "handful", "stem", "leaf"}, written.Amount.Unit):
		if fresh, ok := w.r.tables.Resolve(name + " fresh"); ok {
			n.found = fresh
			w.assume(at, into, "Sprigs, bunches and leaves are taken for the fresh herb.")
		}
	case n.found.Item.ID == "clove" && name == "cloves" && strings.Contains(lower, "garlic"):
		swap("garlic", "Cloves of garlic.")
	case (n.found.Item.ID == "lemon" || n.found.Item.ID == "lime") && containsAny(lower, []string{"juiced", "juice of", "juice from", "juice only"}):
		swap("fresh "+n.found.Item.ID+" juice", "The fruit is juiced; only fresh juice is counted.")
	}
}

// form gathers what the line says of the state and cut of the food.
func (w *writer) form(written amount.Line, n *named) string {
	var parts []string
	add := func(text string) {
		if text = strings.Trim(text, " ,;"); text != "" && !slices.Contains(parts, text) {
			parts = append(parts, text)
		}
	}
	for _, size := range written.Sizes {
		switch size {
		case "scant", "heaping", "heaped", "level", "rounded", "generous", "good":
		default:
			add(size)
		}
	}
	if written.Package != nil {
		if word, ok := w.r.amounts.Word(written.Package.Unit); ok && word.Kind == amount.UnitLength {
			add(measure.FormatNumber(written.Package.High) + " " + word.Code)
		}
	}
	if written.Amount != nil {
		if word, ok := w.r.amounts.Word(written.Amount.Unit); ok && (word.Name == "can" || word.Name == "tin") || written.Container == "can" || written.Container == "tin" {
			add("canned")
		}
	}
	add(n.size)
	if n.known {
		add(n.prefix)
		add(n.suffix)
		add(n.found.Form)
	}
	add(strings.Join(n.before, " "))
	add(n.after)
	for _, remark := range n.remarks {
		add(remark)
	}
	return cut(strings.Join(parts, ", "), maxForm)
}

// leastCounts are the classes of which a range counts with its lower end: less of them is less safe. Acid food is not among
// them: with the added acid the same, more of it leaves less acid for each part.
func leastCounts(class catalog.Class) bool {
	switch class {
	case catalog.Acid, catalog.Salt, catalog.Sugar, catalog.Sweetener, catalog.Seasoning, catalog.Firming:
		return true
	}
	return false
}

func (w *writer) setAmount(at, into string, written amount.Line, class catalog.Class, shared bool, g *document.Ingredient) {
	low, high, code, ok := w.r.amounts.Total(written)
	switch {
	case ok && shared && !written.Each && leastCounts(class):
		w.assume(at, into+"/amount", "One amount stands for several foods; how much of it is this one is not said, so its amount is left open.")
		return
	case ok:
		value := high
		if leastCounts(class) {
			value = low
		}
		if high > low {
			end := "larger"
			if leastCounts(class) {
				end = "smaller"
			}
			w.assume(at, into+"/amount", "The line gives a range; the "+end+" end is the less safe one and was taken.")
		}
		const most = 1e6 // as the schema has it
		if value > most || !(value >= 0) || !w.r.bounds.Allows(into+"/amount", value, code) {
			w.out.NotUnderstood = append(w.out.NotUnderstood, Note{At: at, Into: into + "/amount", What: "The amount is larger than any kitchen's and was left out."})
			return
		}
		g.Amount = &document.Quantity{Value: &value, Unit: code}
	case written.Open != "":
		g.Amount = &document.Quantity{Unit: written.Open}
	case written.Amount != nil:
		w.out.NotUnderstood = append(w.out.NotUnderstood, Note{At: at, Into: into + "/amount", What: "The amount cannot be turned into a measure and was left out."})
	default:
		w.out.NotUnderstood = append(w.out.NotUnderstood, Note{At: at, Into: into + "/amount", What: "The line gives no amount."})
	}
}

// members reads what a line says beyond the amount: strength, bottled or fresh, kind of salt, poured away.
func (w *writer) members(at, into, lower string, class catalog.Class, n *named, g *document.Ingredient) {
	if class == catalog.Acid {
		if value, ok := percent(lower); ok {
			g.AcidityPercent = &value
		}
		switch {
		case containsAny(lower, []string{"bottled", "store-bought", "store bought", "commercial", "from concentrate"}):
			g.Bottled = new(true)
		case containsAny(lower, []string{"fresh", "squeezed", "homemade", "home-made", "juice of", "juice from"}) && !strings.Contains(lower, "fresh bottle"):
			g.Bottled = new(false)
		case g.AcidityPercent != nil && n.found.Item.Family == "vinegar":
			g.Bottled = new(true)
			w.assume(at, into+"/bottled", "A vinegar whose strength is stated is taken for a bought one.")
		}
	}
	if class == catalog.Salt && g.SaltKind == "" {
		g.SaltKind = saltKind(lower)
	}
	// Only what makes a jar safer or no different may be taken out of it on the strength of a word; food never is.
	poured := w.soaking || containsAny(lower, soakingWords)
	switch class {
	case catalog.Water, catalog.Salt, catalog.Ice, catalog.Firming, catalog.Acid, catalog.Sugar, catalog.Sweetener:
		if poured {
			g.Drained = new(true)
			w.assume(at, into+"/drained", "The line speaks of a soak or of cooking water, which is poured away.")
		}
	case catalog.Seasoning, catalog.FreshHerb:
		if containsAny(lower, spiceBagWords) {
			g.Drained = new(true)
			w.assume(at, into+"/drained", "The line speaks of a spice bag that is taken out.")
		}
	}
}

func saltKind(lower string) string {
	switch {
	case containsAny(lower, []string{"canning", "pickling salt", "preserving salt"}):
		return document.SaltCanning
	case strings.Contains(lower, "kosher"):
		return document.SaltKosherFlake
	case containsAny(lower, []string{"table salt", "iodized", "iodised"}):
		return document.SaltTable
	}
	return ""
}

func (w *writer) batchAssumed() {
	if w.batch {
		w.assume(w.recipe.at, "/recipe/ingredients", "Amounts are taken for the whole batch, except where a line or its heading speaks of each jar.")
	}
}
