package amount

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

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
func compareRow(t *testing.T, row map[string]string, got Line) {
	t.Helper()
	want := ""
	if row["low"] != "" {
		low, errLow := strconv.ParseFloat(row["low"], 64)
		high, errHigh := strconv.ParseFloat(row["high"], 64)
		if errLow != nil || errHigh != nil {
			t.Fatalf("%s: no figures", row["line"])
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
			t.Errorf("%q: %s %q, want %q", row["line"], each.what, each.got, each.want)
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
		got := reader.Line(row["line"])
		compareRow(t, row, got)
		if got.Rest != row["rest"] || got.Open != row["open"] || got.Optional != (row["optional"] == "yes") {
			t.Errorf("%q: rest %q, open %q, optional %v", row["line"], got.Rest, got.Open, got.Optional)
		}
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
		got := reader.Line(row["line"])
		compareRow(t, row, got)
		if got.Container != row["container"] {
			t.Errorf("%q: container %q, want %q", row["line"], got.Container, row["container"])
		}
		if sizes := strings.ToLower(strings.Join(got.Sizes, "|")); sizes != row["sizes"] {
			t.Errorf("%q: sizes %q, want %q", row["line"], sizes, row["sizes"])
		}
	}
	if len(all) != counted {
		t.Errorf("%d spellings, want %d", len(all), counted)
	}
}

// Lines that are easily misread, each of our own making.
func TestLine(t *testing.T) {
	reader := newReader(t)
	for _, test := range []struct{ line, amount, pack, also, rest string }{
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
	} {
		got := reader.Line(test.line)
		if shown(rounded(got.Amount)) != test.amount || shown(got.Package) != test.pack || shownAll(got.Also) != test.also || got.Rest != test.rest {
			t.Errorf("%q: amount %q, package %q, also %q, rest %q", test.line, shown(got.Amount), shown(got.Package), shownAll(got.Also), got.Rest)
		}
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
		got := reader.Line(line)
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
func TestTotal(t *testing.T) {
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
		low, high, code, ok := reader.Total(reader.Line(test.line))
		if !ok || math.Abs(low-test.low) > 1e-9 || math.Abs(high-test.high) > 1e-9 || code != test.code {
			t.Errorf("%q comes to %v to %v %s (%v)", test.line, low, high, code, ok)
		}
	}
	for _, line := range []string{"salt", "a few onions", "a handful of dill", "1 cup plus 20 g sugar", "3-inch cucumbers"} {
		if low, _, code, ok := reader.Total(reader.Line(line)); ok {
			t.Errorf("%q comes to %v %s", line, low, code)
		}
	}
}

func TestMixedNumber(t *testing.T) {
	for text, want := range map[string]float64{
		"10": 10, "2.5": 2.5, "1,000": 1000, "1/2": 0.5, "3/16": 0.1875, "1 1/2": 1.5, "1-1/2": 1.5, "": 0, "x": 0, "1/0": 0, "1/x": 0,
	} {
		if got := measure.MixedNumber(text); got != want {
			t.Errorf("%q: %g, want %g", text, got, want)
		}
	}
}
