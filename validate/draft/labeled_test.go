package draft_test

import (
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/draft"
	"jarwright/validate/draft/amount"
	"jarwright/validate/measure"
)

var (
	labeledPath = flag.String("labeled", "",
		"a CSV of ingredient lines that people have labeled, to be read and compared (columns line, amounts, name); no such data stand in the project")
	shownMisses = flag.Int("misses", 40, "how many misses of a kind TestLabeledLines shows")
)

// label is what people say a line holds. Amounts: the first is the line's own, others are sizes, sums and repetitions.
type label struct {
	line    string
	amounts []labelAmount
	name    string
}

type labelAmount struct {
	low, high float64
	unit      string // name of the table of written units, or the word itself
}

// TestLabeledLines reads labeled lines and tells how many are read as their labels have them. It is skipped without data:
//
//	go test ./validate/draft -run Labeled -v -labeled lines.csv
//
// The column amounts has "2 can;14 oz": number and unit of each amount, the first the line's own; a unit without a number
// is one of it. Labels are compared by our own table of spellings and a plain reading of figures, never by the reader.
//
//   - amount and unit: the first amount of the label is the draft's amount
//   - name, strict: the same words in the same order, but for case, plural, hyphens, marks and spellings of the state
//   - name, core: the same words, without those of preparation, size and state (a list of the test's own), without what stands
//     in brackets and behind "in", "with", "for"
//   - name, lenient: the same food, where label and draft draw the line between name and preparation elsewhere: each word of
//     the label's name is kept somewhere, and the last word of one is in the name of the other
//   - three: amount, unit and name; strict with every amount
//   - every amount: also all other amounts of the label are told
//   - kind: a vinegar, juice, salt or water of the label is one in the request
func TestLabeledLines(t *testing.T) {
	if *labeledPath == "" {
		t.Skip("labeled lines of others may not be part of the project: give a file of them with -labeled")
	}
	spellings := unitSpellings(t)
	all, acids := tally{}, tally{}
	misses := map[string][]string{}
	for _, l := range labeledLines(t, spellings) {
		d, problem := checker.Draft(nil, []byte(recipe(t, []string{l.line})), false, false)
		if problem != nil || len(d.Lines) == 0 {
			t.Errorf("%q: no draft: %+v", l.line, problem)
			continue
		}
		got := compareLabel(&l, &d)
		all.add(got)
		kind := kindOf(l.name)
		if kind != "" {
			got["kind"] = isKind(&d, kind) || len(d.Lines[0].Alternatives) > 0 // of a choice the draft takes the less safe
			acids.add(got)
		}
		for _, what := range comparisons {
			if right, judged := got[what]; judged && !right {
				misses[what] = append(misses[what], fmt.Sprintf("%-60s label %v %q, draft %s", l.line, l.amounts, l.name, toldLine(&d.Lines[0])))
			}
		}
	}
	t.Logf("all lines: %s", all)
	t.Logf("acid, salt and water lines: %s", acids)
	for _, what := range comparisons {
		t.Logf("%s: %d misses", what, len(misses[what]))
		for _, text := range misses[what][:min(len(misses[what]), *shownMisses)] {
			t.Logf("    %s", text)
		}
	}
}

var comparisons = []string{"amount", "unit", "name strict", "name core", "name lenient", "every amount", "three strict", "three core", "three lenient", "kind"}

// tally counts right answers.
type tally struct {
	lines int
	right map[string]int
}

func (c *tally) add(got map[string]bool) {
	if c.right == nil {
		c.right = map[string]int{}
	}
	c.lines++
	for what, right := range got {
		if right {
			c.right[what]++
		}
	}
}

func (c tally) String() string {
	text := strconv.Itoa(c.lines) + " lines"
	for _, what := range comparisons {
		if right, counted := c.right[what]; counted {
			text += fmt.Sprintf(", %s %d (%.1f %%)", what, right, 100*float64(right)/float64(max(c.lines, 1)))
		}
	}
	return text
}

// unitSpellings maps every spelling of the table of written units to the name of its word.
func unitSpellings(t *testing.T) map[string]string {
	t.Helper()
	spellings := map[string]string{}
	for _, row := range csvRows(t, "../table/measure/written_units.csv") {
		for spelling := range strings.SplitSeq(row["spellings"], "|") {
			spellings[strings.ToLower(spelling)] = row["name"]
		}
	}
	spellings["t"] = "" // of one letter, and two units
	return spellings
}

func csvRows(t *testing.T, path string) []map[string]string {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	cells, err := csv.NewReader(file).ReadAll()
	if err != nil || len(cells) == 0 {
		t.Fatalf("%s: %v", path, err)
	}
	var rows []map[string]string
	for _, row := range cells[1:] {
		named := map[string]string{}
		for i, cell := range row {
			named[cells[0][i]] = cell
		}
		rows = append(rows, named)
	}
	return rows
}

func labeledLines(t *testing.T, spellings map[string]string) []label {
	t.Helper()
	var labels []label
	for _, row := range csvRows(t, *labeledPath) {
		l := label{line: row["line"], name: row["name"]}
		for text := range strings.SplitSeq(row["amounts"], ";") {
			if strings.TrimSpace(text) == "" {
				continue
			}
			amount, err := readLabelAmount(text, spellings)
			if err != nil {
				t.Errorf("%q: %v", l.line, err)
				continue
			}
			l.amounts = append(l.amounts, amount)
		}
		labels = append(labels, l)
	}
	return labels
}

var (
	labelFigure = regexp.MustCompile(`^(\d+ \d+/\d+|\d+/\d+|\d+\.\d+|\.\d+|\d+|one|two|three|four|five|six|half)`)
	labelRange  = regexp.MustCompile(`^\s*(?:-|to |or )\s*`)
)

// readLabelAmount reads the figures of a label, which are plain, and its unit by the table.
func readLabelAmount(text string, spellings map[string]string) (labelAmount, error) {
	rest := strings.ToLower(strings.TrimSpace(amount.PlainText(text)))
	a := labelAmount{low: 1, high: 1}
	if figure := labelFigure.FindString(rest); figure != "" {
		rest = strings.TrimLeft(rest[len(figure):], " ")
		a.low = labelNumber(figure)
		a.high = a.low
		if mark := labelRange.FindString(rest); mark != "" {
			if figure := labelFigure.FindString(rest[len(mark):]); figure != "" {
				a.high, rest = labelNumber(figure), rest[len(mark)+len(figure):]
			}
		}
	}
	var words []string
	for _, word := range strings.Fields(strings.Trim(rest, "- .")) {
		if word = strings.Trim(word, ".,-"); !labelSizes[word] {
			words = append(words, word)
		}
	}
	a.unit = strings.Join(words, " ")
	if measureOf, holder, two := strings.Cut(a.unit, " "); two && holder == "piece" { // "cm piece"
		a.unit = measureOf
	}
	if name, known := spellings[a.unit]; known {
		a.unit = name
	}
	if a.low == 0 {
		return a, fmt.Errorf("no figure in the label %q", text)
	}
	return a, nil
}

var labelSizes = wordsOf(`small medium large big extra-large extra jumbo tiny very heaped heaping scant rounded level generous good fat thin thick big
	whole of a an medium-size medium-sized medium-large thumb sized thumb-sized thumbnail-size to healthy hefty sm md lg or`)

func wordsOf(text string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(text) {
		set[word] = true
	}
	return set
}

func labelNumber(text string) float64 {
	if at := slices.Index([]string{"half", "one", "two", "three", "four", "five", "six"}, text); at >= 0 {
		return math.Max(float64(at), 0.5)
	}
	return measure.MixedNumber(text)
}

// compareLabel compares a draft of one line with its label.
func compareLabel(l *label, d *draft.Draft) map[string]bool {
	line := &d.Lines[0]
	got := map[string]bool{}
	got["amount"], got["unit"] = sameAmount(l.amounts, line.Amount)
	got["every amount"] = got["amount"] && got["unit"] && toldAmounts(l.amounts, d)
	got["name strict"] = sameName(l.name, line)
	got["name lenient"] = got["name strict"] || sameFood(l.name, line)
	got["name core"] = got["name strict"] || sameCore(l.name, line)
	got["three strict"] = got["every amount"] && got["name strict"]
	got["three core"] = got["amount"] && got["unit"] && got["name core"]
	got["three lenient"] = got["amount"] && got["unit"] && got["name lenient"]
	return got
}

// sameAmount compares the first amount of a label with the one that was read.
func sameAmount(amounts []labelAmount, read *draft.Amount) (figures, unit bool) {
	switch {
	case len(amounts) == 0:
		return read == nil, read == nil
	case read == nil:
		return false, false
	}
	first := compounded(amounts)
	return sameFigures(first, read), first.unit == read.Unit
}

// toldAmounts tells whether a draft has the amounts of a label behind the first.
func toldAmounts(amounts []labelAmount, d *draft.Draft) bool {
	for i := 1; i < len(amounts); i++ {
		partOfFirst := i == 1 && compounded(amounts) != amounts[0]
		if !partOfFirst && !toldAmount(amounts[i], d) {
			return false
		}
	}
	return true
}

func sameFigures(a labelAmount, read *draft.Amount) bool {
	high := read.Value
	if read.Max != nil {
		high = *read.Max
	}
	near := func(x, y float64) bool { return math.Abs(x-y) <= 0.005*math.Max(x, y) }
	return near(a.low, read.Value) && near(a.high, high)
}

// compounded joins "2 lb;4 oz", which the reader gives as one amount.
func compounded(amounts []labelAmount) labelAmount {
	first := amounts[0]
	perFirst := map[string]float64{"lb oz": 16, "kg g": 1000, "gal qt": 4, "qt pt": 2, "cup tbsp": 16}
	if len(amounts) < 2 || first.low != first.high {
		return first
	}
	if per := perFirst[first.unit+" "+amounts[1].unit]; per > 0 && first.unit == "lb" {
		first.low += amounts[1].low / per
		first.high = first.low
	}
	return first
}

func toldAmount(a labelAmount, d *draft.Draft) bool {
	for i := range d.Lines {
		line := &d.Lines[i]
		told := slices.Concat(line.Plus, line.Also)
		for _, one := range []*draft.Amount{line.Amount, line.Package} {
			if one != nil {
				told = append(told, *one)
			}
		}
		for j := range told {
			if sameFigures(a, &told[j]) && a.unit == told[j].Unit {
				return true
			}
		}
	}
	return false
}

// nameWords are the words of a name in a form that can be compared.
func nameWords(text string) []string {
	text = strings.ToLower(amount.PlainText(text))
	fields := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ,.;:()[]/-*\"'`®™&", r) })
	var words []string
	for _, word := range fields {
		switch {
		case strings.HasSuffix(word, "ies") && len(word) > 4:
			word = word[:len(word)-3] + "y"
		case strings.HasSuffix(word, "leaves"):
			word = "leaf"
		case strings.HasSuffix(word, "oes"), strings.HasSuffix(word, "ches"), strings.HasSuffix(word, "shes"):
			word = word[:len(word)-2]
		case strings.HasSuffix(word, "s") && !strings.HasSuffix(word, "ss") && len(word) > 3:
			word = word[:len(word)-1]
		}
		words = append(words, word)
	}
	return words
}

func sameName(name string, line *draft.Line) bool {
	want := nameWords(name)
	whole := line.Item
	if slices.Equal(want, nameWords(whole)) {
		return true
	}
	if len(line.Alternatives) == 0 {
		return false
	}
	// A choice is told in parts, with the shared noun given to both.
	have := nameWords(whole + " or " + strings.Join(line.Alternatives, " or "))
	return sameSet(want, append(have, "or"))
}

func sameSet(a, b []string) bool {
	for _, word := range a {
		if !slices.Contains(b, word) {
			return false
		}
	}
	for _, word := range b {
		if !slices.Contains(a, word) {
			return false
		}
	}
	return true
}

var coreless = wordsOf(`chopped diced minced sliced grated shredded peeled unpeeled cored seeded pitted trimmed halved cubed mashed melted softened
	beaten toasted sifted rinsed drained crushed ground freshly finely coarsely thinly roughly fresh dried frozen canned cooked
	raw whole small medium large big very extra cold warm hot firm ripe crusty good best quality shelled blanched slivered thick
	thin cut up sprig leaf slice piece bulb wedge strip half chunk other any of the a or and additional prepared homemade
	seasoned peel juice zest grated rind`)

var coreEnd = regexp.MustCompile(`(?i)\([^)]*\)|,? (in|with|without|for|to|packed|from) .*`)

// sameCore compares what is left of two names without what labels and drafts put now into the name, now beside it.
func sameCore(name string, line *draft.Line) bool {
	core := func(text string) []string {
		return slices.DeleteFunc(nameWords(coreEnd.ReplaceAllString(text, "")), func(word string) bool { return coreless[word] })
	}
	want := core(name)
	return sameSet(want, core(line.Item)) || sameSet(want, core(line.Item+" or "+strings.Join(line.Alternatives, " or ")))
}

func sameFood(name string, line *draft.Line) bool {
	want, have := nameWords(name), nameWords(line.Item)
	if len(want) == 0 || len(have) == 0 {
		return len(want) == len(have)
	}
	told := slices.Concat([]string{line.Item, line.Preparation, line.Form, line.Container}, line.Alternatives, line.Remarks, line.Sizes)
	kept := nameWords(strings.Join(told, " "))
	for _, word := range want {
		if !slices.Contains(kept, word) && word != "or" && word != "and" && word != "other" && word != "of" && (line.Amount == nil || line.Amount.Unit != word) {
			return false
		}
	}
	all := append(slices.Clone(have), nameWords(strings.Join(line.Alternatives, " "))...)
	return slices.Contains(all, want[len(want)-1]) || slices.Contains(want, have[len(have)-1])
}

var kindPatterns = []struct{ kind, pattern, not string }{
	{"acid", `\b(vinegar|lemon juice|lime juice|citric acid)\b`, `vinegar and oil|water`},
	{"salt", `\bsalt\b`, `salt-packed|salt cod|salt pork|celery salt|garlic salt|no-salt|half salt|salt-free|onion salt`},
	{"water", `\bwater$`, `coconut water|rose water|flower water|soda water|sparkling|\bor\b`},
}

// kindOf says whether a label names an acid, salt or water.
func kindOf(name string) string {
	lower := strings.ToLower(name)
	for _, p := range kindPatterns {
		if regexp.MustCompile(p.pattern).MatchString(lower) && !regexp.MustCompile(p.not).MatchString(lower) {
			return p.kind
		}
	}
	return ""
}

// isKind looks for the kind among the ingredients of the request.
func isKind(d *draft.Draft, kind string) bool {
	want := map[string]catalog.Class{"acid": catalog.Acid, "salt": catalog.Salt, "water": catalog.Water}[kind]
	for i := range d.Request.Recipe.Ingredients {
		if item, known := checker.Tables().Item(d.Request.Recipe.Ingredients[i].Item); known && item.Class == want {
			return true
		}
	}
	return false
}

func toldLine(line *draft.Line) string {
	var b strings.Builder
	show := func(what string, a *draft.Amount) {
		if a == nil {
			return
		}
		fmt.Fprintf(&b, "%s%v", what, measure.FormatNumber(a.Value))
		if a.Max != nil {
			fmt.Fprintf(&b, "-%v", measure.FormatNumber(*a.Max))
		}
		fmt.Fprintf(&b, " %s ", a.Unit)
	}
	show("", line.Amount)
	for i := range line.Plus {
		show("+", &line.Plus[i])
	}
	for i := range line.Also {
		show("=", &line.Also[i])
	}
	show("each ", line.Package)
	fmt.Fprintf(&b, "%q", line.Item)
	if len(line.Alternatives) > 0 {
		fmt.Fprintf(&b, " or %q", line.Alternatives)
	}
	if line.Preparation != "" {
		fmt.Fprintf(&b, " prep %q", line.Preparation)
	}
	return b.String()
}
