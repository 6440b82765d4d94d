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

// sentence is one sentence of the steps, plain and in lower case.
type sentence struct {
	at    string
	text  string
	lower string
	title bool // of the recipe's name, description, yield or category: no instruction
}

// facts reads what the recipe says beside its ingredients.
func (w *writer) facts() {
	sentences := w.sentences()
	w.yield()
	for i := range sentences {
		s := &sentences[i]
		if s.title {
			continue
		}
		if warns(s.lower) {
			continue
		}
		w.method(s)
		w.time(s)
		w.headspace(s)
		w.jarIn(s)
		w.pack(s)
		w.sterilizing(s)
		w.waterOverLids(s)
		w.rest(s)
	}
	for i := range sentences {
		w.vinegar(&sentences[i])
		w.elevation(&sentences[i])
		w.rinses(&sentences[i])
	}
	w.keep(sentences)
	w.kind(sentences)
	w.settle()
}

// warns tells a sentence that says what not to do.
func warns(lower string) bool {
	return containsAny(lower, []string{"do not", "don't", "never ", "not recommended", "unsafe", "instead of process", "is not safe", "avoid "})
}

// instructionMembers are the members that hold steps, the first that is there.
var instructionMembers = []string{"recipeInstructions", "step", "steps", "instructions", "text"}

func (w *writer) sentences() []sentence {
	var all []sentence
	add := func(pieces []words, title bool) {
		for _, piece := range pieces {
			for _, text := range inSentences(piece.text) {
				all = append(all, sentence{at: piece.at, text: text, lower: strings.ToLower(text), title: title})
			}
		}
	}
	for _, name := range instructionMembers {
		if n, ok := w.recipe.member(name); ok {
			if pieces := n.steps(); len(pieces) > 0 {
				add(pieces, false)
				break
			}
		}
	}
	for _, name := range []string{"name", "description", "recipeCategory", "keywords", "cookingMethod", "recipeNotes", "tool"} {
		if n, ok := w.recipe.member(name); ok {
			add(n.steps(), true)
		}
	}
	return all
}

// inSentences parts a text after full stops that end a sentence, not those of "1 in." or "12.5".
func inSentences(text string) []string {
	var all []string
	from := 0
	for at := 0; at < len(text); at++ {
		switch text[at] {
		case '.', '!', '?', ';':
		default:
			continue
		}
		if at+2 < len(text) && text[at+1] == ' ' && (text[at+2] >= 'A' && text[at+2] <= 'Z' || text[at] == ';' || text[at+2] >= 0x80) {
			word := text[strings.LastIndexByte(text[:at], ' ')+1 : at]
			if text[at] == '.' && slices.Contains([]string{"in", "min", "oz", "lb", "tsp", "tbsp", "approx", "ft", "qt", "pt", "hr", "mins"}, strings.ToLower(word)) && text[at+2] >= 'a' {
				continue
			}
			all = append(all, strings.TrimSpace(text[from:at+1]))
			from = at + 1
		}
	}
	if rest := strings.TrimSpace(text[from:]); rest != "" {
		all = append(all, rest)
	}
	return all
}

func (w *writer) fact(f Fact) {
	f.Text = shortened(f.Text)
	w.out.Facts = append(w.out.Facts, f)
}

func (w *writer) process() *document.Process {
	recipe := &w.out.Request.Recipe
	if recipe.Process == nil {
		recipe.Process = &document.Process{}
	}
	return recipe.Process
}

// Paths of the request that facts go into.
const (
	intoMethod        = "/recipe/process/method"
	intoTime          = "/recipe/process/time"
	intoTemperature   = "/recipe/process/temperature"
	intoWaterOverLids = "/recipe/process/water_over_lids"
	intoHeadspace     = "/recipe/headspace"
	intoJar           = "/recipe/jar"
	intoJars          = "/recipe/jars"
	intoPack          = "/recipe/pack"
	intoJarPrep       = "/recipe/jar_preparation"
	intoKeep          = "/recipe/keep"
	intoKind          = "/recipe/kind"
	intoRest          = "/recipe/rest"
)

// methods are the words for each way of heating closed jars, the more telling ones first. Common practice, no source: they
// are English.
var methods = []struct {
	method string
	words  []string
}{
	{document.MethodPressure, []string{"pressure canner", "pressure can ", "pressure-can", "pressure cook the jars", "pounds pressure", " psi", "lbs pressure", "lb pressure"}},
	{document.MethodMulticooker, []string{"multicooker", "multi-cooker", "instant pot canner", "electric canner"}},
	{document.MethodLowTemperature, []string{"low-temperature", "low temperature", "180 to 185", "180-185", "180°f", "180 °f", "180 f", "180f ", "180 degrees", "82°c", "82 °c", "pasteuriz", "pasteuris"}},
	{document.MethodSteam, []string{"steam canner", "steam canning", "atmospheric steam", "steam-canner"}},
	{document.MethodBoilingWater, []string{"boiling water bath", "boiling-water bath", "boiling water canner", "boiling-water canner", "boiling-water-canner", "water bath", "water-bath", "waterbath", "hot water bath", "process in boiling water", "process in a boiling", "process jars in boiling", "boiling water process", "processed in boiling", "boiling-water process", "process the jars in boiling"}},
	{document.MethodOven, []string{"oven canning", "jars in the oven to seal", "process in the oven", "process jars in the oven", "process in a 2", "seal in the oven"}},
	{document.MethodDishwasher, []string{"dishwasher canning", "process in the dishwasher", "seal in the dishwasher"}},
	{document.MethodMicrowave, []string{"process in the microwave", "microwave the jars to seal", "microwave canning"}},
	{document.MethodOpenKettle, []string{"open kettle", "open-kettle", "turn jars upside down", "turn the jars upside down", "invert the jars", "invert jars", "turn upside down", "flip the jars", "no processing", "jars upside down"}},
}

// method finds how the closed jars are heated. The first method that the steps name is taken; further ones are reported.
func (w *writer) method(s *sentence) {
	for _, each := range methods {
		if !containsAny(s.lower, each.words) {
			continue
		}
		if each.method == document.MethodLowTemperature && !strings.Contains(s.lower, "process") && !strings.Contains(s.lower, "water") && !strings.Contains(s.lower, "jar") {
			continue
		}
		if each.method == document.MethodPressure && containsAny(s.lower, []string{"or pressure", "pressure cooker as"}) {
			continue
		}
		f := Fact{Name: FactMethod, At: s.at, Text: s.text, Is: each.method}
		process := w.process()
		switch {
		case process.Method == "":
			process.Method, f.Into = each.method, intoMethod
		case process.Method == each.method:
			return
		case process.Method == document.MethodBoilingWater && each.method == document.MethodOpenKettle:
			return // turning the jars over after a real process changes nothing
		default:
			w.assume(s.at, intoMethod, "The steps name more than one method; the first, "+strings.ReplaceAll(process.Method, "_", " ")+", was taken.")
		}
		w.fact(f)
		if each.method == document.MethodLowTemperature {
			w.temperature(s)
		}
		return
	}
}

var temperaturePattern = regexp.MustCompile(`(\d{2,3})(?:\s*(?:-|to|and)\s*(\d{2,3}))? ?(?:°|degrees?)? ?([fc])\b`)

// temperature reads how hot the water of the low-temperature process is; of a range it takes the lower end.
func (w *writer) temperature(s *sentence) {
	m := temperaturePattern.FindStringSubmatch(s.lower)
	if m == nil {
		return
	}
	value := measure.MixedNumber(m[1])
	f := Fact{Name: FactTemperature, At: s.at, Text: s.text, Value: &value, Unit: strings.ToUpper(m[3])}
	if m[2] != "" {
		f.Max = new(measure.MixedNumber(m[2]))
	}
	w.put(&w.process().Temperature, &f, intoTemperature, value, f.Unit)
	w.fact(f)
}

const numberText = `(\d+(?:[.,]\d+)?(?:[ -]\d+/\d+)?|\d+/\d+)`

var (
	minutesPattern   = regexp.MustCompile(numberText + `(?:\s*(?:-|to|or)\s*` + numberText + `)?[ -]*(?:minutes?|mins?\b)`)
	hoursPattern     = regexp.MustCompile(numberText + `[ -]*(?:hours?|hrs?\b)`)
	elevationPattern = regexp.MustCompile(`\d[\d,.]* ?(?:-|to) ?\d[\d,.]* ?(?:ft|feet|m\b|metres|meters)|(?:above|over|at) \d[\d,.]* ?(?:ft|feet|m\b|metres|meters)`)
	lowestPattern    = regexp.MustCompile(`\b0 ?(?:ft|feet|m)? ?(?:-|to) |sea level|up to 1,?000|below 1,?0`)
	sizePattern      = regexp.MustCompile(numberText + `(?:\s*(?:-|to)\s*` + numberText + `)?[ -]*(inch(?:es)?|in\b|"|cm\b|mm\b|centim)`)
)

// processing are the words that make a time one of the canner, where jars are meant.
var processing = []string{"process", "water bath", "water-bath", "waterbath", "canner", "boiling water", "boil the jars", "boil jars", "boil the filled", "boil filled", "simmer the jars", "steam for", "return to a boil"}

// time finds the minutes of the process. Where there are several the one beside the recipe's jar is taken, else the least.
func (w *writer) time(s *sentence) {
	if !strings.Contains(s.lower, "min") && !strings.Contains(s.lower, "hour") || !containsAny(s.lower, processing) {
		return
	}
	if strings.Contains(s.lower, "food processor") && !containsAny(s.lower, []string{"water bath", "canner", "jar"}) {
		return
	}
	if containsAny(s.lower, []string{"heat off", "turn off the heat", "turn the heat off", "standing in the canner", "sit in the canner", "rest in the canner", "stand in the canner", "remain in the canner", "before removing", "before taking"}) && !strings.Contains(s.lower, "process ") {
		return
	}
	if containsAny(s.lower, []string{"blanch", "sterili", "soak", "empty jars"}) && !strings.Contains(s.lower, "process ") && !strings.Contains(s.lower, "water bath") {
		return
	}
	if !containsAny(s.lower, []string{"process", "bath", "canner"}) && !strings.Contains(s.lower, "jar") {
		return
	}
	from := firstOf(s.lower, []string{"process", "water bath", "water-bath", "waterbath", "canner", "boil"})
	matches := minutesPattern.FindAllStringSubmatchIndex(s.lower, -1)
	for i, m := range matches {
		if m[1] <= from-40 {
			continue
		}
		previous, next := 0, len(s.lower)
		if i > 0 {
			previous = matches[i-1][1]
		}
		if i+1 < len(matches) {
			next = matches[i+1][0]
		}
		low := measure.MixedNumber(s.lower[m[2]:m[3]])
		f := Fact{Name: FactMinutes, At: s.at, Text: s.text, Value: &low, Unit: "min"}
		if m[4] >= 0 {
			f.Max = new(measure.MixedNumber(s.lower[m[4]:m[5]]))
		}
		// The words around the time say which jar it is for, or that it is for another elevation.
		before, after := s.lower[max(previous, m[0]-60):m[0]], s.lower[m[1]:min(next, m[1]+60)]
		for _, mark := range []string{", ", "; ", "("} {
			if clause := strings.LastIndex(before, mark); clause >= 0 {
				before = before[clause:]
			}
		}
		for _, mark := range []string{", ", "; ", ")"} {
			if clause := strings.Index(after, mark); clause >= 0 {
				after = after[:clause]
			}
		}
		elsewhere := elevationPattern.MatchString(before+after) && !lowestPattern.MatchString(before+after)
		if elsewhere || strings.Contains(before+after, "add ") || strings.Contains(after, "more for") || strings.Contains(before+after, "additional") {
			f.Name = FactElevation
			w.fact(f)
			continue
		}
		if f.Is = jarNamed(before); f.Is == "" {
			f.Is = jarNamed(after)
		}
		w.fact(f)
	}
	if len(matches) == 0 {
		if m := hoursPattern.FindStringSubmatch(s.lower); m != nil && strings.Contains(s.lower, "process") {
			w.fact(Fact{Name: FactMinutes, At: s.at, Text: s.text, Value: new(measure.MixedNumber(m[1]) * 60), Unit: "min"})
		}
	}
}

func firstOf(text string, words []string) int {
	first := len(text)
	for _, word := range words {
		if at := strings.Index(text, word); at >= 0 && at < first {
			first = at
		}
	}
	return first
}

func (w *writer) headspace(s *sentence) {
	if !containsAny(s.lower, []string{"headspace", "head space", "head-space", "headroom", "of the top", "of the rim", "from the top", "from the rim", "to the top of the jar", "below the rim", "head room"}) {
		return
	}
	// The size next to the word counts: a sentence may also say how long the pieces are.
	anchor := firstOf(s.lower, []string{"headspace", "head space", "head-space", "headroom", "head room", "of the top", "of the rim", "from the top", "from the rim", "below the rim"})
	var best []int
	for _, m := range sizePattern.FindAllStringSubmatchIndex(s.lower, -1) {
		if best != nil && m[0] > 0 && s.lower[m[0]-1] == '(' && m[0]-best[1] <= len("ches (") {
			continue // "1/2 in (13 mm)": the same size again
		}
		if best == nil || distance(m, anchor) < distance(best, anchor) {
			best = m
		}
	}
	if best == nil {
		return
	}
	value := measure.MixedNumber(s.lower[best[2]:best[3]])
	f := Fact{Name: FactHeadspace, At: s.at, Text: s.text, Value: &value, Unit: lengthUnit(s.lower[best[6]:best[7]])}
	if best[4] >= 0 {
		f.Max = new(measure.MixedNumber(s.lower[best[4]:best[5]]))
	}
	w.put(&w.out.Request.Recipe.Headspace, &f, intoHeadspace, value, f.Unit)
	if f.Into != "" && f.Max != nil {
		w.assume(s.at, intoHeadspace, "The headspace is a range; the smaller end was taken.")
	}
	w.fact(f)
}

func distance(m []int, anchor int) int {
	if m[0] > anchor {
		return m[0] - anchor
	}
	return anchor - m[1] + 0
}

func lengthUnit(text string) string {
	switch {
	case strings.HasPrefix(text, "cm"), strings.HasPrefix(text, "centim"):
		return "cm"
	case text == "mm":
		return "mm"
	}
	return "in"
}

// jarWords are the sizes of jars as steps and yields name them, those that hold others first. The ids are of the jar table.
var jarWords = []struct{ words, id string }{
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

// jarNamed finds the first size of jar in a text; of several the largest is not looked for.
func jarNamed(lower string) string {
	for _, each := range jarWords {
		if strings.Contains(lower, each.words) {
			return each.id
		}
	}
	return ""
}

// jarsNamed lists every size of jar that a text names, each once.
func jarsNamed(lower string) []string {
	var ids []string
	for _, each := range jarWords {
		for at := strings.Index(lower, each.words); at >= 0; at = strings.Index(lower, each.words) {
			if !slices.Contains(ids, each.id) {
				ids = append(ids, each.id)
			}
			lower = lower[:at] + strings.Repeat(" ", len(each.words)) + lower[at+len(each.words):]
		}
	}
	return ids
}

// yield reads how many jars of which size the recipe makes.
func (w *writer) yield() {
	for _, name := range []string{"recipeYield", "yield"} {
		n, ok := w.recipe.member(name)
		if !ok {
			continue
		}
		for _, each := range n.list() {
			text, at := each.text()
			if each.object() != nil {
				text = composed(each)
				at = each.at
			}
			if w.yieldOf(at, amount.PlainText(text)) {
				return
			}
		}
	}
}

func (w *writer) yieldOf(at, text string) bool {
	lower := strings.ToLower(text)
	ids := jarsNamed(lower)
	if len(ids) == 0 {
		return false
	}
	w.setJar(at, text, ids)
	written := w.r.amounts.Line(text)
	if written.Amount == nil || len(ids) > 1 {
		return true
	}
	count := written.Amount.High
	if word, ok := w.r.amounts.Word(written.Amount.Unit); ok && word.Kind == amount.UnitMeasure && written.Package == nil {
		switch word.Name {
		case "half-pint", "pt", "qt", "gal":
		default:
			return true
		}
	}
	recipe := &w.out.Request.Recipe
	const most = 10000 // as the schema has it
	if count != float64(int(count)) {
		count = float64(int(count) + 1)
	}
	if recipe.Jars == nil && count >= 1 && count <= most {
		recipe.Jars = &count
		w.fact(Fact{Name: FactJars, At: at, Text: text, Value: &count, Into: intoJars})
		if written.Amount.Low < written.Amount.High {
			w.assume(at, intoJars, "The yield is a range; the larger number of jars was taken.")
		}
	}
	return true
}

// jarIn reads the size of the jars from a step.
func (w *writer) jarIn(s *sentence) {
	if !strings.Contains(s.lower, "jar") && !strings.Contains(s.lower, "process") {
		return
	}
	ids := jarsNamed(s.lower)
	if len(ids) == 0 {
		return
	}
	if !strings.Contains(s.lower, "jar") && w.out.Request.Recipe.Jar != nil {
		return
	}
	w.setJar(s.at, s.text, ids)
}

// setJar takes the largest of the jars named at one place: heat needs longest to reach its middle.
func (w *writer) setJar(at, text string, ids []string) {
	largest, capacity := "", 0.0
	for _, id := range ids {
		if jar, ok := w.r.tables.Jar(id); ok && jar.CapacityML > capacity {
			largest, capacity = jar.ID, jar.CapacityML
		}
	}
	if largest == "" {
		return
	}
	recipe := &w.out.Request.Recipe
	f := Fact{Name: FactJar, At: at, Text: text, Is: largest}
	switch {
	case recipe.Jar == nil:
		recipe.Jar = &document.Jar{ID: largest}
		f.Into = intoJar
		if len(ids) > 1 {
			w.assume(at, intoJar, "Several sizes of jar are named; the largest was taken.")
		}
	case recipe.Jar.ID == largest:
		return
	default:
		w.assume(at, intoJar, "Another size of jar is named here too; the first found, "+recipe.Jar.ID+", was taken.")
	}
	w.fact(f)
}

// packs are the words for how jars are filled. Common practice, no source: they are English.
var packs = []struct {
	pack  string
	words []string
}{
	{document.PackRaw, []string{"raw pack", "raw-pack", "cold pack", "cold-pack", "fill the raw food", "raw food into"}},
	{document.PackHot, []string{"hot pack", "hot-pack", "fill the hot food", "hot food into", "ladle hot", "spoon hot", "fill hot", "ladle the hot", "spoon the hot", "pack hot", "fill jars with hot", "fill hot jars with hot", "fill jars with the hot", "pour the hot", "pour hot salsa", "pour hot sauce", "fill the jars with hot", "ladle boiling", "pack the hot", "hot mixture into", "hot relish into", "hot salsa into", "hot chutney into"}},
	{document.PackRaw, []string{"pour boiling brine over", "pour hot brine over", "pour the hot brine over", "pour hot liquid over", "cover with hot brine", "cover with boiling", "pour the boiling brine", "pour boiling vinegar", "pour hot vinegar", "fill with hot brine", "pour hot pickling", "cover with hot pickling", "ladle hot brine over", "fill with boiling", "add hot brine", "fill jars with hot brine", "ladle hot liquid over", "pour the hot liquid"}},
	{document.PackCold, []string{"pour cold brine", "pour cooled brine", "cover with cold brine", "pour the cooled brine", "fill with cold brine"}},
}

func (w *writer) pack(s *sentence) {
	if !strings.Contains(s.lower, "pack") && !strings.Contains(s.lower, "hot") && !strings.Contains(s.lower, "boiling") && !strings.Contains(s.lower, "brine") {
		return
	}
	recipe := &w.out.Request.Recipe
	for i, each := range packs {
		if !containsAny(s.lower, each.words) {
			continue
		}
		// Liquid poured over food that was packed cold is a raw pack; "fill jars with hot brine" is about the liquid.
		if each.pack == document.PackHot && containsAny(s.lower, []string{"hot brine", "hot liquid", "hot vinegar", "hot syrup", "hot pickling"}) && !containsAny(s.lower, packs[1].words[:4]) {
			continue
		}
		f := Fact{Name: FactPack, At: s.at, Text: s.text, Is: each.pack}
		if recipe.Pack == "" {
			recipe.Pack, f.Into = each.pack, intoPack
			if i > 0 && !containsAny(s.lower, []string{"hot pack", "hot-pack"}) {
				w.assume(s.at, intoPack, "How the jars are filled was taken from the words of this step.")
			}
		}
		w.fact(f)
		return
	}
}

func (w *writer) sterilizing(s *sentence) {
	if !strings.Contains(s.lower, "jar") && !strings.Contains(s.lower, "sterili") { // "Wash the jars. Sterilize them."
		return
	}
	var value string
	switch {
	case containsAny(s.lower, []string{"steriliz", "sterilis"}):
		value = document.JarsSterilized
	case containsAny(s.lower, []string{"hot jar", "warm jar", "keep jars hot", "keep the jars hot", "jars hot", "hot, clean", "hot clean", "warm, clean", "hot pint", "hot half-pint", "hot quart", "hot, sterile", "hot mason", "hot canning"}):
		value = document.JarsHot
	case containsAny(s.lower, []string{"clean jar", "wash jars", "wash the jars", "clean pint", "clean quart", "clean half-pint", "clean, "}):
		value = document.JarsClean
	default:
		return
	}
	f := Fact{Name: FactSterilizing, At: s.at, Text: s.text, Is: value}
	recipe := &w.out.Request.Recipe
	order := []string{"", document.JarsClean, document.JarsHot, document.JarsSterilized}
	if slices.Index(order, value) > slices.Index(order, recipe.JarPreparation) {
		recipe.JarPreparation, f.Into = value, intoJarPrep
	}
	w.fact(f)
}

func (w *writer) waterOverLids(s *sentence) {
	if !containsAny(s.lower, []string{"over the lids", "above the lids", "over the jars", "above the jars", "over lids", "above lids", "over the tops", "above the tops", "over jars", "above jars", "over tops", "inches of water", "inch of water", "covered by", "over jar tops", "cover the jars by", "cover jars by", "cover the lids", "cover lids"}) || !strings.Contains(s.lower, "water") && !strings.Contains(s.lower, "cover") {
		return
	}
	m := sizePattern.FindStringSubmatch(s.lower)
	if m == nil {
		return
	}
	value := measure.MixedNumber(m[1])
	f := Fact{Name: FactWaterOverLids, At: s.at, Text: s.text, Value: &value, Unit: lengthUnit(m[3])}
	w.put(&w.process().WaterOverLids, &f, intoWaterOverLids, value, f.Unit)
	w.fact(f)
	if more := longerPattern.FindStringSubmatch(s.lower); more != nil && f.Into != "" {
		w.longer = &longer{
			over: measure.MixedNumber(more[3]), at: len(w.out.Facts) - 1,
			fact: Fact{Name: FactWaterOverLids, At: s.at, Text: s.text, Value: new(measure.MixedNumber(more[1])), Unit: lengthUnit(more[2])},
		}
	}
}

// longerPattern finds the depth that holds for long times: "2 in (50 mm) where the time is over 30 minutes".
var longerPattern = regexp.MustCompile(`,? ` + numberText + `[ -]*(inch(?:es)?|in\b|cm\b)(?: \([^)]*\))? (?:where|when|if|for)[^.;]*?over ` + numberText + ` min`)

// longer is the second depth of the water, for times over a number of minutes.
type longer struct {
	over float64
	at   int // of the fact with the first depth
	fact Fact
}

var restPattern = regexp.MustCompile(numberText + `(?:\s*(?:-|to)\s*` + numberText + `)?\s*(days?|weeks?|months?)`)

func (w *writer) rest(s *sentence) {
	if !containsAny(s.lower, []string{"before eating", "before opening", "before serving", "before using", "before you eat", "before tasting", "to cure", "flavors to develop", "flavours to develop", "let stand", "before consuming", "wait "}) {
		return
	}
	m := restPattern.FindStringSubmatch(s.lower)
	if m == nil {
		return
	}
	value := measure.MixedNumber(m[1])
	unit := map[byte]string{'d': "d", 'w': "wk", 'm': "mo"}[m[3][0]]
	f := Fact{Name: FactRest, At: s.at, Text: s.text, Value: &value, Unit: unit}
	if m[2] != "" {
		f.Max = new(measure.MixedNumber(m[2]))
	}
	w.put(&w.out.Request.Recipe.Rest, &f, intoRest, value, unit)
	w.fact(f)
}

// vinegar reads a strength that the text demands of the vinegar, for those lines that give none.
func (w *writer) vinegar(s *sentence) {
	if !strings.Contains(s.lower, "vinegar") && !strings.Contains(s.lower, "acidity") {
		return
	}
	value, ok := percent(s.lower)
	if !ok {
		return
	}
	f := Fact{Name: FactVinegar, At: s.at, Text: s.text, Value: &value, Unit: "percent"}
	for i := range w.out.Request.Recipe.Ingredients {
		g := &w.out.Request.Recipe.Ingredients[i]
		item, known := w.r.tables.Item(g.Item)
		if !known || item.Class != catalog.Acid || item.Family != "vinegar" || g.AcidityPercent != nil || warns(s.lower) && !strings.Contains(s.lower, "less than") {
			continue
		}
		g.AcidityPercent = new(value)
		f.Into = "/recipe/ingredients/" + strconv.Itoa(i) + "/acidity_percent"
		if g.Bottled == nil {
			g.Bottled = new(true)
			w.assume(s.at, "/recipe/ingredients/"+strconv.Itoa(i)+"/bottled", "A vinegar whose strength is stated is taken for a bought one.")
		}
	}
	w.fact(f)
}

func (w *writer) elevation(s *sentence) {
	if !containsAny(s.lower, []string{"altitude", "elevation", "sea level", " ft", "feet above", "1,000 feet", "1000 feet"}) || !containsAny(s.lower, []string{"altitude", "elevation", "sea level", "feet", " ft"}) {
		return
	}
	for _, known := range w.out.Facts {
		if known.Name == FactElevation && known.At == s.at && known.Text == shortened(s.text) {
			return
		}
	}
	w.fact(Fact{Name: FactElevation, At: s.at, Text: s.text})
}

func (w *writer) rinses(s *sentence) {
	soaks := strings.Contains(s.lower, "water") && strings.Contains(s.lower, "fresh") && strings.Contains(s.lower, "times")
	if !soaks && (!strings.Contains(s.lower, "rins") || !containsAny(s.lower, []string{"lime", "three times", "3 times", "times in fresh"})) {
		return
	}
	counts := []struct {
		words string
		value float64
	}{{"three", 3}, {"3 times", 3}, {"twice", 2}, {"two ", 2}, {"2 times", 2}, {"four", 4}, {"4 times", 4}}
	for _, each := range counts {
		if !strings.Contains(s.lower, each.words) {
			continue
		}
		f := Fact{Name: FactRinses, At: s.at, Text: s.text, Value: new(each.value)}
		for i := range w.out.Request.Recipe.Ingredients {
			if g := &w.out.Request.Recipe.Ingredients[i]; g.Item == "pickling-lime" && g.Rinses == nil {
				g.Rinses, f.Into = new(each.value), "/recipe/ingredients/"+strconv.Itoa(i)+"/rinses"
			}
		}
		w.fact(f)
		return
	}
}

// keep finds out whether the jars are meant for the shelf or the refrigerator.
func (w *writer) keep(sentences []sentence) {
	recipe := &w.out.Request.Recipe
	for i := range sentences {
		s := &sentences[i]
		cold := containsAny(s.lower, []string{"refrigerat", "fridge"}) && !containsAny(s.lower, []string{"after opening", "once opened", "any unsealed", "not sealed", "did not seal", "didn't seal", "don't seal", "do not seal", "refrigerate overnight", "unsealed", "has not sealed", "fail to seal", "if not sealed"})
		dry := containsAny(s.lower, []string{"shelf-stable", "shelf stable", "pantry", "cool, dark", "cool dark", "dark, cool", "dry place", "cupboard", "room temperature for up to a year", "store sealed", "shelf for", "for the shelf"})
		switch {
		case cold && !dry:
			w.fact(Fact{Name: FactKeep, At: s.at, Text: s.text, Is: document.KeepRefrigerator})
		case dry:
			w.fact(Fact{Name: FactKeep, At: s.at, Text: s.text, Is: document.KeepShelf})
		}
	}
	heated := recipe.Process != nil && recipe.Process.Method != "" || w.has(FactMinutes)
	for i := range w.out.Facts {
		f := &w.out.Facts[i]
		if f.Name != FactKeep || recipe.Keep != "" || heated && f.Is == document.KeepRefrigerator {
			continue
		}
		recipe.Keep, f.Into = f.Is, intoKeep
	}
	if recipe.Keep == "" && heated {
		recipe.Keep = document.KeepShelf
		w.assume(w.recipe.at, intoKeep, "Jars that are heated when closed are taken to be meant for the shelf.")
	}
}

func (w *writer) has(name string) bool {
	return slices.ContainsFunc(w.out.Facts, func(f Fact) bool { return f.Name == name && f.Value != nil })
}

// kinds are the words of titles and categories for each kind of product, the more telling ones first.
var kinds = []struct {
	kind  string
	words []string
}{
	{document.KindFermented, []string{"ferment", "sauerkraut", "kimchi", "lacto"}},
	{document.KindRelish, []string{"relish", "piccalilli", "chow-chow", "chow chow", "chowchow"}},
	{document.KindSauce, []string{"salsa", "ketchup", "catsup", "sauce", "juice", "crushed tomatoes"}},
	{document.KindFruit, []string{"chutney", "jam", "jelly", "marmalade", "butter", "preserve", "pie filling", "spiced apple", "spiced crab"}},
}

func (w *writer) kind(sentences []sentence) {
	recipe := &w.out.Request.Recipe
	if n, ok := w.recipe.member("recipeCategory"); ok { // a category in the words of the request decides
		for _, each := range n.list() {
			text, at := each.text()
			if w.kindIs(at, text, strings.ToLower(strings.TrimSpace(text))) {
				return
			}
		}
	}
	if n, ok := w.recipe.member("keywords"); ok {
		text, at := n.text()
		for word := range strings.SplitSeq(strings.ToLower(text), ",") {
			if w.kindIs(at, text, strings.TrimSpace(word)) {
				return
			}
		}
	}
	for i := range sentences {
		s := &sentences[i]
		if !s.title || s.at != w.recipe.at+"/name" && !strings.HasSuffix(s.at, "recipeCategory") && !strings.HasSuffix(s.at, "keywords") {
			continue
		}
		for _, each := range kinds {
			if containsAny(s.lower, each.words) && recipe.Kind == "" && !strings.Contains(s.lower, "bread and butter") && !strings.Contains(s.lower, "bread-and-butter") {
				recipe.Kind = each.kind
				w.fact(Fact{Name: FactKind, At: s.at, Text: s.text, Is: each.kind, Into: intoKind})
			}
		}
	}
	if recipe.Kind != "" {
		return
	}
	for i := range recipe.Ingredients {
		if item, ok := w.r.tables.Item(recipe.Ingredients[i].Item); ok && item.Class == catalog.Acid {
			recipe.Kind = document.KindBrined
			w.assume(w.recipe.at, intoKind, "With an acid among the ingredients and no other word for it, the recipe is taken for pieces under an acid brine.")
			return
		}
	}
}

// kindIs takes a word that is a kind of the request to the letter.
func (w *writer) kindIs(at, text, kind string) bool {
	switch kind {
	case document.KindBrined, document.KindRelish, document.KindSauce, document.KindFermented:
	case document.KindFruit, document.KindFresh:
	default:
		return false
	}
	w.out.Request.Recipe.Kind = kind
	w.fact(Fact{Name: FactKind, At: at, Text: text, Is: kind, Into: intoKind})
	return true
}

// settle chooses among the times that were found.
func (w *writer) settle() {
	recipe := &w.out.Request.Recipe
	jar := ""
	if recipe.Jar != nil {
		jar = recipe.Jar.ID
	}
	chosen, least := -1, 0.0
	for i := range w.out.Facts {
		f := &w.out.Facts[i]
		if f.Name != FactMinutes || f.Value == nil || *f.Value <= 0 {
			continue
		}
		if jar != "" && f.Is != "" && f.Is != jar {
			continue
		}
		better := chosen < 0 || *f.Value < least
		if chosen >= 0 && jar != "" {
			was, is := w.out.Facts[chosen].Is == jar, f.Is == jar
			better = is && !was || is == was && *f.Value < least
		}
		if better {
			chosen, least = i, *f.Value
		}
	}
	if chosen < 0 {
		return
	}
	f := &w.out.Facts[chosen]
	if w.put(&w.process().Time, f, intoTime, *f.Value, "min"); f.Into == "" {
		return
	}
	if w.longer != nil && *f.Value > w.longer.over {
		w.out.Facts[w.longer.at].Into = ""
		w.process().WaterOverLids = nil
		deeper := w.longer.fact
		w.put(&w.process().WaterOverLids, &deeper, intoWaterOverLids, *deeper.Value, deeper.Unit)
		w.fact(deeper)
		f = &w.out.Facts[chosen] // the list may have moved
	}
	times := 0
	for i := range w.out.Facts {
		if w.out.Facts[i].Name == FactMinutes {
			times++
		}
	}
	if times > 1 {
		w.assume(f.At, intoTime, "Several times are named; the one for the recipe's jar, or else the shortest, was taken.")
	}
	if recipe.Process.Method == "" {
		w.out.NotUnderstood = append(w.out.NotUnderstood, Note{At: f.At, Into: intoMethod, Text: f.Text, What: "A time of processing is given, but not the method."})
	}
}

// readMembers are the members of a Recipe that are read or have no bearing on safety.
var readMembers = wordSet(`@type @id @context type id name headline description recipeIngredient ingredients recipeInstructions step steps instructions text recipeYield yield recipeCategory keywords
	cookingMethod recipeNotes tool supply image video author publisher datePublished dateModified dateCreated url mainEntityOfPage aggregateRating review reviews comment commentCount nutrition license
	copyrightHolder copyrightYear inLanguage isPartOf identifier thumbnailUrl recipeCuisine suitableForDiet interactionStatistic isAccessibleForFree speakable mainEntity potentialAction creator
	articleSection headline alternateName discussionUrl estimatedCost version expires sameAs about audience award isBasedOn citation contributor editor @graph`)

// unread reports the times of the recipe, which are not the canner's, and members nobody read.
func (w *writer) unread() {
	for _, name := range sortedNames(w.recipe.object()) {
		bareName := name
		for _, prefix := range prefixes[1:] {
			bareName = strings.TrimPrefix(bareName, prefix)
		}
		switch {
		case readMembers[bareName]:
		case bareName == "prepTime" || bareName == "cookTime" || bareName == "totalTime" || bareName == "performTime":
			if w.out.Request.Recipe.Process == nil || w.out.Request.Recipe.Process.Time == nil {
				text, at := w.recipe.child(name, w.recipe.object()[name]).text()
				w.notUnderstood(at, text, "This is the time in the kitchen; it is never taken for the time of processing.")
			}
		case w.recipe.object()[name] == nil:
		default:
			w.notUnderstood(w.recipe.child(name, nil).at, "", "This member was not read.")
		}
	}
}
