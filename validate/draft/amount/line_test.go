package amount

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"jarwright/validate/budget/meter"
	"jarwright/validate/measure"
)

func newReader(t testing.TB) *Reader {
	t.Helper()
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	reader, err := NewReader(units)
	if err != nil {
		t.Fatal(err)
	}
	return reader
}

// rows reads a table of testdata as maps from column to cell.
func rows(t *testing.T, name string) []map[string]string {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	cells, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []map[string]string
	for _, row := range cells[1:] {
		named := map[string]string{}
		for i, cell := range row {
			named[cells[0][i]] = cell
		}
		all = append(all, named)
	}
	return all
}

func shown(a *Amount) string {
	if a == nil {
		return ""
	}
	number := func(v float64) string { return strconv.FormatFloat(math.Round(v*1e9)/1e9, 'g', -1, 64) }
	text := number(a.Low)
	if a.High != a.Low {
		text += ".." + number(a.High)
	}
	return strings.TrimSpace(text + " " + a.Unit)
}

func shownAll(all []Amount) string {
	var texts []string
	for i := range all {
		texts = append(texts, shown(&all[i]))
	}
	return strings.Join(texts, ";")
}

// compareRow compares a reading with the columns that the two tables share.
func compareRow(t *testing.T, row map[string]string, got *Line) {
	t.Helper()
	want := ""
	if row["low"] != "" {
		low, errLow := strconv.ParseFloat(row["low"], 64)
		high, errHigh := strconv.ParseFloat(row["high"], 64)
		if errLow != nil || errHigh != nil {
			t.Fatal("no figures")
		}
		want = shown(&Amount{Low: low, High: high, Unit: row["unit"]})
	}
	for _, each := range []struct{ what, got, want string }{
		{"amount", shown(rounded(got.Amount)), want},
		{"package", shown(got.Package), row["package"]},
		{"also", shownAll(got.Also), row["also"]},
		{"plus", shownAll(got.Plus), row["plus"]},
	} {
		if each.got != each.want {
			t.Errorf("%s %q, want %q", each.what, each.got, each.want)
		}
	}
}

func rounded(a *Amount) *Amount {
	if a == nil {
		return nil
	}
	return &Amount{Low: math.Round(a.Low*1e9) / 1e9, High: math.Round(a.High*1e9) / 1e9, Unit: a.Unit}
}

// The 25 notations were counted over 697,320 ingredient lines of published recipes; the lines are our own.
func TestEveryCountedNotation(t *testing.T) {
	const counted = 25
	reader := newReader(t)
	forms := map[string]bool{}
	for _, row := range rows(t, "notations_observed.csv") {
		forms[row["form"]] = true
		t.Run(row["line"], func(t *testing.T) {
			got := reader.Line(row["line"])
			compareRow(t, row, &got)
			if got.Rest != row["rest"] || got.Open != row["open"] || got.Optional != (row["optional"] == "yes") {
				t.Errorf("rest %q, open %q, optional %v", got.Rest, got.Open, got.Optional)
			}
		})
	}
	if len(forms) != counted {
		t.Errorf("%d of the %d counted notations", len(forms), counted)
	}
}

// The 411 spellings are the unit labels of hand-labeled ingredient lines, those that occur three times or more; a label
// of several words stands for a line with several amounts. The lines and the expected readings are our own.
func TestEveryCountedUnitSpelling(t *testing.T) {
	const counted = 411
	reader := newReader(t)
	all := rows(t, "units_observed.csv")
	for _, row := range all {
		t.Run(row["line"], func(t *testing.T) {
			got := reader.Line(row["line"])
			compareRow(t, row, &got)
			if got.Container != row["container"] {
				t.Errorf("container %q, want %q", got.Container, row["container"])
			}
			if sizes := strings.ToLower(strings.Join(got.Sizes, "|")); sizes != row["sizes"] {
				t.Errorf("sizes %q, want %q", sizes, row["sizes"])
			}
		})
	}
	if len(all) != counted {
		t.Errorf("%d spellings, want %d", len(all), counted)
	}
}

// misreadLines are easily misread, each of our own making.
var misreadLines = []struct{ line, amount, pack, also, rest string }{
	{"1 1/2-inch piece ginger", "1.5 in", "", "", "ginger"},
	{"1 (2-inch) piece ginger, peeled", "1 piece", "2 in", "", "ginger, peeled"},
	{"juice of 2 lemons", "2", "", "", "juice of lemons"},
	{"Juice of one lemon", "1", "", "", "Juice of lemon"},
	{"8 oz. (225 g) cucumbers", "8 oz", "", "225 g", "cucumbers"},
	{"3-4 lbs cucumbers", "3..4 lb", "", "", "cucumbers"},
	{"5# cucumbers", "5 lb", "", "", "cucumbers"},
	{"1 #10 can tomatoes", "1", "", "", "#10 can tomatoes"},
	{"1tbsp salt", "1 tbsp", "", "", "salt"},
	{"8 T sugar", "8 tbsp", "", "", "sugar"},
	{"8 t sugar", "8 tsp", "", "", "sugar"},
	{"2 L water", "2 L", "", "", "water"},
	{"5% vinegar, 2 cups", "2 cup", "", "", "5% vinegar"},
	{"2 cups white vinegar (5% acidity)", "2 cup", "", "", "white vinegar (5% acidity)"},
	{"Lemons, 2", "2", "", "", "Lemons"},
	{"Sugar - 1 cup", "1 cup", "", "", "Sugar"},
	{"Salt: 1 tsp", "1 tsp", "", "", "Salt"},
	{"For the brine: 2 cups water", "2 cup", "", "", "water"},
	{"water (2 cups)", "2 cup", "", "", "water"},
	{"Carrots, cut into 1-inch pieces", "", "", "", "Carrots, cut into 1-inch pieces"},
	{"4 to 5 inch cucumbers, 8 lb", "8 lb", "4..5 in", "", "cucumbers"},
	{"12 whole cloves", "12", "", "", "cloves"},
	{"4 cloves, crushed", "4", "", "", "cloves, crushed"},
	{"2 cloves crushed garlic", "2 clove", "", "", "crushed garlic"},
	{"4 large garlic cloves, minced", "4 clove", "", "", "garlic, minced"},
	{"2 celery stalks", "2 stalk", "", "", "celery"},
	{"1 head cauliflower (about 2 lb)", "1 head", "", "2 lb", "cauliflower"},
	{"2 onions (8 oz each), sliced", "2", "8 oz", "", "onions, sliced"},
	{"1-14 oz can beans", "1 can", "14 oz", "", "beans"},
	{"1-2 oz ginger", "1..2 oz", "", "", "ginger"},
	{"heaped tbsp sugar", "1 tbsp", "", "", "sugar"},
	{"<b>2 cups</b> vinegar", "2 cup", "", "", "vinegar"},
	{"▢ 2 cups vinegar", "2 cup", "", "", "vinegar"},
	{"1 &amp;frac12; cups vinegar", "1.5 cup", "", "", "vinegar"},
	{"2 cups each vinegar and water", "2 cup", "", "", "vinegar and water"},
	{"6 cups (about 2 pounds) sliced cucumbers", "6 cup", "", "2 lb", "sliced cucumbers"},
	{"1/4 cup 5% vinegar", "0.25 cup", "", "", "5% vinegar"},
	{"1 (12-to-15-ounce) can beans", "1 can", "12..15 oz", "", "beans"},
	{"1 (12 oz) can or bottle beer", "1 can", "12 oz", "", "beer"},
	{"6 medium or 3 large lemons", "6", "", "3", "lemons"},
	{"1 thumb sized piece ginger", "1 piece", "", "", "ginger"},
	{"2 very large onions", "2", "", "", "onions"},
	{"6 (1/4-inch-thick) slices ginger", "6 slice", "0.25 in", "", "ginger"},
	{"5 (3-inch) dill sprigs", "5 sprig", "3 in", "", "dill"},
	{"2 lime slices", "2 slice", "", "", "lime"},
	{"1/4 cup lemon juice 60 mL", "0.25 cup", "", "60 mL", "lemon juice"},
	{"2 cups or more water", "2 cup", "", "", "water"},
	{"2 half-pints gooseberries", "2 half-pint", "", "", "gooseberries"},
	{"1/2 of 8-ounce package okra", "0.5 package", "8 oz", "", "okra"},
	{"", "", "", "", ""},
}

func TestLinesThatAreEasilyMisread(t *testing.T) {
	reader := newReader(t)
	for _, test := range misreadLines {
		t.Run(test.line, func(t *testing.T) {
			got := reader.Line(test.line)
			if shown(rounded(got.Amount)) != test.amount || shown(got.Package) != test.pack || shownAll(got.Also) != test.also || got.Rest != test.rest {
				t.Errorf("amount %q, package %q, also %q, rest %q", shown(got.Amount), shown(got.Package), shownAll(got.Also), got.Rest)
			}
		})
	}
}

// One line for each production of the grammar that the tables above do not show, of our own making.
func TestProductions(t *testing.T) {
	reader := newReader(t)
	for _, test := range []struct {
		production, line, want string
	}{
		{"added", "1 cup plus 2 tbsp sugar", "1 cup; plus 2 tbsp; rest sugar"},
		{"added, less", "1 cup less 2 tbsp sugar", "1 cup; plus -2 tbsp; rest sugar"},
		{"addedClause", "1 tbsp oil, plus 2 tsp", "1 tbsp; plus 2 tsp; rest oil"},
		{"measuredClause", "1 cabbage, about 2 pounds total", "1; also about 2 lb; rest cabbage"},
		{"approximation", "up to 2 cups water", "about 2 cup; rest water"},
		{"approximation by a level", "scant 1/4 cup salt", "about 0.25 cup; sizes scant; rest salt"},
		{"rangeEnd", "2 to 3 cups water", "2..3 cup; rest water"},
		{"bracketedEnd", "2 (or 3) cups water", "2..3 cup; rest water"},
		{"highWithUnit", "1 cup to 2 cups water", "1..2 cup; rest water"},
		{"highWithUnit, twice the same", "1 cup or 240 ml water", "1 cup; also 240 mL; rest water"},
		{"compound", "2 lb 4 oz beets", "2.25 lb; rest beets"},
		{"compoundEnd", "2 lb 4 oz-2 lb 12 oz beets", "2.25..2.75 lb; rest beets"},
		{"thickness", "1 1/4-inch-thick slice ginger", "1 slice; package 1.25 in; sizes inch-thick; rest ginger"},
		{"packing", "1 cup firmly packed dill", "1 cup; sizes firmly packed; rest dill"},
		{"sizeRange", "3 medium to large onions", "3; sizes medium to large; rest onions"},
		{"holder", "400 g tin tomatoes", "400 g; in tin; rest tomatoes"},
		{"packageEnd", "1 28-oz (796 mL) can tomatoes", "1 can; package 28 oz; notes 796 mL; rest tomatoes"},
		{"again", "200ml/7fl oz water", "200 mL; also 7 fl_oz; rest water"},
		{"packagesInBracket", "6 cups tomatoes (2 14-ounce cans)", "6 cup; also 28 oz; rest tomatoes"},
		{"count in a bracket", "3 lb (about 14) beets", "3 lb; also about 14; rest beets"},
		{"each", "1 cup each vinegar and water", "1 cup; each; rest vinegar and water"},
		{"uncounted", "a few sprigs dill", "about 0 sprig; rest dill"},
		{"uncounted, couple", "a couple of onions", "about 2; rest onions"},
		{"vague", "a little salt", "about 0; open as_needed; rest salt"},
		{"heading alone", "Salt: 1 tsp", "1 tsp; rest Salt"},
		{"lead", "Optional 1 tsp dill", "1 tsp; optional; rest dill"},
		{"open", "water to cover", "none; open to_cover; rest water to cover"},
	} {
		t.Run(test.production, func(t *testing.T) {
			line := reader.Line(test.line)
			if got := toldLine(&line); got != test.want {
				t.Errorf("%q: %s, want %s", test.line, got, test.want)
			}
		})
	}
}

// toldLine writes everything that was read of a line.
func toldLine(line *Line) string {
	told := []string{"none"}
	if line.Amount != nil {
		told[0] = shown(rounded(line.Amount))
		if line.Amount.About {
			told[0] = "about " + told[0]
		}
	}
	add := func(name, text string) {
		if text != "" {
			told = append(told, strings.TrimSpace(name+" "+text))
		}
	}
	for i := range line.Plus {
		add("plus", shown(&line.Plus[i]))
	}
	for i := range line.Also {
		about := ""
		if line.Also[i].About {
			about = "about "
		}
		add("also", about+shown(rounded(&line.Also[i])))
	}
	add("package", shown(line.Package))
	add("in", line.Container)
	add("sizes", strings.Join(line.Sizes, ", "))
	add("open", line.Open)
	if line.Each {
		told = append(told, "each")
	}
	if line.Optional {
		told = append(told, "optional")
	}
	add("notes", strings.Join(line.Notes, ", "))
	add("rest", line.Rest)
	return strings.Join(told, "; ")
}

func TestPlainText(t *testing.T) {
	for text, want := range map[string]string{
		"2½ cups":                   "2 1/2 cups",
		"½ cup":                     "1/2 cup",
		"1\u20442 cup":              "1/2 cup",
		"1–2 cups":                  "1-2 cups",
		"2 × 400 g":                 "2 x 400 g",
		"2″ piece":                  `2" piece`,
		"cook’s salt":               "cook's salt",
		"• salt":                    "salt",
		"- salt":                    "salt",
		"sa\u00adlt\u200b":          "salt",
		"salt\u00a0\t and  pepper ": "salt and pepper",
		"１２ ｇ salt":                 "12 g salt",
		"<b>2</b> cups":             "2 cups",
		"2 < 3":                     "2 < 3",
		"salt &amp;amp; pepper":     "salt & pepper",
		"crème fraîche":             "crème fraîche",
		"sa\xfflt":                  "salt",
	} {
		t.Run(text, func(t *testing.T) {
			if got := PlainText(text); got != want {
				t.Errorf("%q, want %q", got, want)
			}
		})
	}
}

func TestPercent(t *testing.T) {
	for _, test := range []struct {
		text string
		want float64
		ok   bool
	}{
		{"vinegar (5% acidity)", 5, true},
		{"vinegar of 4 to 6 percent", 4, true},
		{"4,5 % vinegar", 4.5, true},
		{"100% juice", 100, true},
		{"101% juice", 101, false},
		{"5 cents", 0, false},
		{"vinegar", 0, false},
	} {
		t.Run(test.text, func(t *testing.T) {
			if got, ok := Percent(test.text); got != test.want || ok != test.ok {
				t.Errorf("%v %v, want %v %v", got, ok, test.want, test.ok)
			}
		})
	}
}

func TestBrokenRowsOfWordsAreRefused(t *testing.T) {
	for name, row := range map[string][]string{
		"factor":         {"x", "measure", "g", "much", "s", "x1"},
		"unit":           {"x", "measure", "stone", "1", "s", "x1"},
		"spelling taken": {"x", "measure", "g", "1", "s", "cups"},
	} {
		t.Run(name, func(t *testing.T) {
			if err := newReader(t).addWord(row); err == nil {
				t.Error("the row is taken")
			}
		})
	}
}

// The remainder of a line that is too long to be read is kept.
func TestLongLinesKeepTheirEnd(t *testing.T) {
	text := "2 cups " + strings.Repeat("a", longestLine) + " end"
	got := newReader(t).Line(text)
	if shown(got.Amount) != "2 cup" || got.Rest != strings.TrimPrefix(text, "2 cups ") {
		t.Errorf("%s, rest of %d bytes", shown(got.Amount), len(got.Rest))
	}
}

func TestWordsStandForUnits(t *testing.T) {
	reader := newReader(t)
	for _, word := range reader.Words() {
		found, ok := reader.Word(word.Name)
		if !ok || found.Name != word.Name {
			t.Errorf("%s is not found", word.Name)
		}
		wantCode := word.Kind == UnitMeasure || word.Kind == UnitLength
		if wantCode && word.Code == "" || !slices.Contains([]UnitKind{UnitMeasure, UnitLength, UnitContainer, UnitPortion}, word.Kind) {
			t.Errorf("%s: kind %s, code %q", word.Name, word.Kind, word.Code)
		}
	}
}

func FuzzLine(f *testing.F) {
	reader := newReader(f)
	for _, line := range benchmarkLines {
		f.Add(line)
	}
	f.Add("1 (2 (3 (")
	f.Add("1/2/3-4 x 5 # 6 oz")
	f.Add("\xff½\xfe 1")
	f.Fuzz(func(t *testing.T, line string) {
		var got Line
		meter.Within(t, 20*time.Millisecond, func() { got = reader.Line(line) })
		if again := reader.Line(line); shown(again.Amount) != shown(got.Amount) || again.Rest != got.Rest {
			t.Errorf("%q is read in two ways", line)
		}
		if utf8.ValidString(line) && !utf8.ValidString(got.Rest) {
			t.Errorf("%q leaves broken text %q", line, got.Rest)
		}
		amounts := append(slices.Clone(got.Plus), got.Also...)
		if got.Amount != nil {
			amounts = append(amounts, *got.Amount)
			if got.Amount.Low > got.Amount.High || got.Amount.Low < 0 {
				t.Errorf("%q: %+v", line, *got.Amount)
			}
		}
		for _, a := range amounts {
			if math.IsNaN(a.Low) || math.IsInf(a.High, 0) || math.IsNaN(a.High) {
				t.Errorf("%q: %+v", line, a)
			}
		}
	})
}

// The sums follow from the definitions of the units (16 tablespoons to the cup, 16 ounces to the pound).
func TestTotalInOneUnit(t *testing.T) {
	reader := newReader(t)
	for _, test := range []struct {
		line      string
		low, high float64
		code      string
	}{
		{"2 (14 oz) cans tomatoes", 28, 28, "oz"},
		{"2 to 3 (14 oz) cans tomatoes", 28, 42, "oz"},
		{"3 x 340 g jars olives", 1020, 1020, "g"},
		{"1 cup plus 2 tablespoons vinegar", 1.125, 1.125, "cup"},
		{"1 cup less 2 tablespoons vinegar", 0.875, 0.875, "cup"},
		{"2 lb 4 oz beets", 2.25, 2.25, "lb"},
		{"1 dozen eggs", 12, 12, "each"},
		{"3 carrots (about 250 g)", 250, 250, "g"},
		{"4 cloves garlic", 4, 4, "clove"},
		{"3 carrots", 3, 3, "each"},
		{"2 dessertspoons sugar", 4, 4, "tsp_metric"},
		{"2-inch piece ginger", 1, 1, "each"},
		{"2 cans beans", 2, 2, "package"},
		{"400g/14oz can beans", 400, 400, "g"},
	} {
		t.Run(test.line, func(t *testing.T) {
			low, high, code, ok := reader.Total(reader.Line(test.line))
			if !ok || math.Abs(low-test.low) > 1e-9 || math.Abs(high-test.high) > 1e-9 || code != test.code {
				t.Errorf("comes to %v to %v %s (%v)", low, high, code, ok)
			}
		})
	}
}

func TestNoTotalWithoutAMeasure(t *testing.T) {
	reader := newReader(t)
	for _, line := range []string{"salt", "a few onions", "a handful of dill", "1 cup plus 20 g sugar", "3-inch cucumbers"} {
		t.Run(line, func(t *testing.T) {
			if low, _, code, ok := reader.Total(reader.Line(line)); ok {
				t.Errorf("comes to %v %s", low, code)
			}
		})
	}
}

func TestMixedNumber(t *testing.T) {
	for text, want := range map[string]float64{
		"10": 10, "2.5": 2.5, "1,000": 1000, "1/2": 0.5, "3/16": 0.1875, "1 1/2": 1.5, "1-1/2": 1.5, "": 0, "x": 0, "1/0": 0, "1/x": 0,
	} {
		t.Run(text, func(t *testing.T) {
			if got := measure.MixedNumber(text); got != want {
				t.Errorf("%g, want %g", got, want)
			}
		})
	}
}
