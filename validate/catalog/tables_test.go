package catalog

import (
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jarwright/validate/measure"
	"jarwright/validate/table"
)

func loadTables(t testing.TB) *Tables {
	t.Helper()
	tables, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	return tables
}

// addedRecipes are the tested recipes that were written after the transcription, with the number of their lines.
var addedRecipes = []struct {
	id    string
	lines int
}{
	// One a line.
}

// The row counts of the transcriptions these files were made from; a row lost on the way fails here.
func TestRowCounts(t *testing.T) {
	tables := loadTables(t)
	lines := 0
	for _, recipe := range tables.Recipes {
		lines += len(recipe.Ingredients)
	}
	for _, added := range addedRecipes {
		if recipe, found := tables.Recipe(added.id); !found || len(recipe.Ingredients) != added.lines {
			t.Errorf("%s has other than %d lines, or is lost", added.id, added.lines)
		}
		lines -= added.lines
	}
	for _, count := range []struct {
		what      string
		got, want int
	}{
		{"tested recipes", len(tables.Recipes) - len(addedRecipes), 101},
		{"lines of tested recipes", lines, 857 - 2}, // vinegar and salt of tomatillos are not in print
		{"changes", len(tables.Changes), 117},
		{"pressure processes", len(tables.Pressure), 127},
		{"schedules", len(tables.Schedules), 81 + 137 + 2}, // pickled, other acid foods, the two of the choice salsa
		{"rows of weights.csv", len(readCSV(t, "weights.csv")), 215},
		{"rows of ph.csv", len(readCSV(t, "ph.csv")), 229},
	} {
		if count.got != count.want {
			t.Errorf("%d %s, want %d", count.got, count.what, count.want)
		}
	}
}

// readCSV reads a data file as maps from the printed column names, apart from the loader.
func readCSV(t testing.TB, name string) []map[string]string {
	t.Helper()
	file, err := table.Files().Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	lines, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, cells := range lines[1:] {
		row := map[string]string{}
		for i, column := range lines[0] {
			row[column] = cells[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// printedMinutes looks up a whole number of feet in the printed columns as a reader of the table would: the bands are
// printed as "0-1000", "1001-3000", ">6000".
func printedMinutes(t testing.TB, row map[string]string, feet int) (minutes float64, printed bool) {
	t.Helper()
	for _, band := range strings.Split(row["bands"], "|") {
		var low, high int
		switch {
		case strings.HasPrefix(band, ">"):
			low, high = 6001, math.MaxInt
		default:
			if n, err := fmt.Sscanf(band, "%d-%d", &low, &high); n != 2 {
				t.Fatalf("%s: bands %q: %v", row["id"], row["bands"], err)
			}
		}
		if feet < low || feet > high {
			continue
		}
		column := "min_" + strings.Replace(band, "-", "_", 1) + "ft"
		if band == ">6000" {
			column = "min_over_6000ft"
		}
		value, err := strconv.ParseFloat(row[column], 64)
		if err != nil {
			t.Fatalf("%s: column %s: %v", row["id"], column, err)
		}
		return value, true
	}
	return 0, false
}

func TestEveryScheduleAtEveryBoundary(t *testing.T) {
	tables := loadTables(t)
	rows := append(readCSV(t, "schedules_pickled.csv"), readCSV(t, "schedules_other.csv")...)
	cells := 0
	for _, row := range rows {
		schedule, found := tables.Schedule(row["id"])
		if !found {
			t.Errorf("%s: not loaded", row["id"])
			continue
		}
		if text := row["bands"]; text == UnprocessedPressureOnly || text == UnprocessedNotProcessed {
			if band, held := schedule.Band(0); held || schedule.Unprocessed != text {
				t.Errorf("%s: band %v, unprocessed %q, want none, %q", row["id"], band, schedule.Unprocessed, text)
			}
			continue
		}
		for _, feet := range []int{0, 1, 1000, 1001, 3000, 3001, 6000, 6001, 10000} {
			want, printed := printedMinutes(t, row, feet)
			for _, elevation := range []measure.Length{
				measure.Length(feet) * measure.Foot,          // as feet
				measure.Length(float64(feet) * 304.8 / 1000), // as meters worked out by hand
				measure.Length(math.Round(float64(feet)*30480) / 1e5),
			} {
				band, held := schedule.Band(elevation)
				if held != printed || band.Minutes != want {
					t.Errorf("%s at %d ft (%v m): %v min, %v; printed %v, %v", row["id"], feet, elevation, band.Minutes, held, want, printed)
				}
			}
			cells++
		}
	}
	if cells < 9*200 {
		t.Errorf("only %d cells were compared", cells)
	}
}

// Rows of the Complete Guide to Home Canning, AIB 539, rev. 2015, typed again from the printed tables.
func TestPrintedRows(t *testing.T) {
	tables := loadTables(t)
	tests := []struct {
		id      string
		feet    float64
		minutes float64
	}{
		{"u15-freshpack-dill-raw-pint", 500, 10},                          // p. 6-10
		{"u15-freshpack-dill-raw-pint", 5200, 15},                         // p. 6-10
		{"u15-freshpack-dill-raw-quart", 7000, 25},                        // p. 6-10
		{"u15-beets-hot-quart", 0, 30}, {"u15-beets-hot-quart", 2000, 35}, // p. 6-16
		{"u15-beets-hot-quart", 4000, 40}, {"u15-beets-hot-quart", 8000, 45}, // p. 6-16
		{"u15-peachpine-hot-half-pint", 0, 15},                                  // p. 7-12: the one row whose
		{"u15-peachpine-hot-half-pint", 2000, 20},                               // half-pints and pints differ
		{"u15-peachpine-hot-half-pint", 4000, 20},                               //
		{"u15-peachpine-hot-half-pint", 9000, 25},                               //
		{"u15-peachpine-hot-pint", 0, 20}, {"u15-peachpine-hot-pint", 2000, 25}, // p. 7-12
		{"u15-peachpine-hot-pint", 4000, 30}, {"u15-peachpine-hot-pint", 9000, 35}, // p. 7-12
		{"uga20-fallrelish-hot-pint", 0, 15}, {"uga20-fallrelish-hot-pint", 7000, 25}, // UGA Bulletin 989, 6th ed. 2020
	}
	for _, test := range tests {
		schedule, found := tables.Schedule(test.id)
		if !found {
			t.Errorf("no schedule %s", test.id)
			continue
		}
		if band, held := schedule.Band(measure.Length(test.feet) * measure.Foot); !held || band.Minutes != test.minutes {
			t.Errorf("%s at %v ft: %v min, want %v", test.id, test.feet, band.Minutes, test.minutes)
		}
	}
}

// The boundaries are those of the printed table: "0-1,000 ft" holds exactly 1,000 ft, which is 304.8 m.
func TestBandBoundaries(t *testing.T) {
	schedule, _ := loadTables(t).Schedule("u15-freshpack-dill-raw-pint") // 10, 15, 20 min
	tests := []struct {
		elevation measure.Length
		minutes   float64
	}{
		{-400, 10},
		{0, 10},
		{304.8, 10},
		{1000 * measure.Foot, 10},
		{12000 * measure.Inch, 10},
		{1000.5 * measure.Foot, 15},
		{305, 15},
		{1001 * measure.Foot, 15},
		{1828.8, 15},
		{6000 * measure.Foot, 15},
		{6000.5 * measure.Foot, 20},
		{1829, 20},
		{5000, 20},
	}
	for _, test := range tests {
		if band, held := schedule.Band(test.elevation); !held || band.Minutes != test.minutes {
			t.Errorf("%v m: %v min, want %v", float64(test.elevation), band.Minutes, test.minutes)
		}
	}
	salsa, _ := loadTables(t).Schedule("nchfp-choice-salsa-hot-pint")
	if band, held := salsa.Band(1000 * measure.Foot); !held || band.Minutes != 15 {
		t.Errorf("choice salsa at 1,000 ft: %v min, %v", band.Minutes, held)
	}
	if band, held := salsa.Band(1001 * measure.Foot); held {
		t.Errorf("choice salsa at 1,001 ft: %v min, but no copy prints that band", band.Minutes)
	}
}

func TestSupersededRow(t *testing.T) {
	tables := loadTables(t)
	for _, schedule := range tables.Schedules {
		want := ""
		if schedule.ID == "nchfp06-fallrelish-hot-pint" {
			want = "uga20-fallrelish-hot-pint"
		}
		if schedule.SupersededBy != want {
			t.Errorf("%s is superseded by %q, want %q", schedule.ID, schedule.SupersededBy, want)
		}
	}
}

// Products for which the guide offers 180 to 185 F for 30 min (AIB 539 rev. 2015, Guide 6): seven, with their variants.
func TestLowTemperatureProducts(t *testing.T) {
	var products []string
	for _, schedule := range loadTables(t).Schedules {
		if schedule.LowTemperature && !slices.Contains(products, schedule.Product) {
			products = append(products, schedule.Product)
		}
	}
	slices.Sort(products)
	want := []string{
		"14-day sweet pickles", "Bread-and-butter pickles", "Dill pickles, fermented", "Pickled bread-and-butter zucchini",
		"Quick fresh-pack dill pickles", "Quick sweet pickles", "Sweet gherkin pickles",
	}
	if !slices.Equal(products, want) {
		t.Errorf("low temperature is offered for %q, want %q", products, want)
	}
}

// Packs without a printed time, as the sources stand: these recipes are refrigerated, or their copies were cut off.
func TestPacksWithoutSchedule(t *testing.T) {
	want := []string{"harvest-time-apple-relish", "peach-pickles", "pickled-pepper-onion-relish-refrigerated"}
	var got []string
	for _, recipe := range loadTables(t).Recipes {
		for _, pack := range recipe.Packs {
			if len(pack.Schedules) == 0 && !slices.Contains(got, recipe.ID) {
				got = append(got, recipe.ID)
			}
		}
	}
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("without schedules: %q, want %q", got, want)
	}
}

// Quick fresh-pack dill pickles as printed in AIB 539, rev. 2015, p. 6-10.
func TestFreshPackDillAsPrinted(t *testing.T) {
	recipe, found := loadTables(t).Recipe("quick-fresh-pack-dill-pickles")
	if !found {
		t.Fatal("not in the table")
	}
	want := map[string]string{ // amounts that reach the jar
		"cucumber": "8 lb", "vinegar": "6 cup", "water": "8 cup", "salt": "0.5 cup", "sugar": "0.25 cup",
	}
	for _, line := range recipe.Ingredients {
		if line.GoesInto != "jar" || line.Per != "batch" || want[line.Item] == "" {
			continue
		}
		if got := measure.FormatNumber(*line.Amount) + " " + line.Unit; got != want[line.Item] {
			t.Errorf("%s: %s, want %s", line.Item, got, want[line.Item])
		}
		delete(want, line.Item)
	}
	if len(want) > 0 {
		t.Errorf("not found: %v", want)
	}
}

func TestEveryRecipeLineIsUsable(t *testing.T) {
	tables := loadTables(t)
	for _, recipe := range tables.Recipes {
		for i, line := range recipe.Ingredients {
			open := line.Unit == measure.CodeToCover || line.Unit == measure.CodeAsNeeded
			lost := recipe.ID == "cantaloupe-pickles-no-sugar-added" || strings.Contains(line.Note, "lost")
			if line.Amount == nil && !open && !lost {
				t.Errorf("%s, line %d (%s): no amount in %s", recipe.ID, i, line.Item, line.Unit)
			}
			if (line.Amount == nil) != (line.AmountMax == nil) {
				t.Errorf("%s, line %d (%s): amount and its maximum do not stand together", recipe.ID, i, line.Item)
			}
			if !slices.Contains([]string{"jar", "partly", "discarded"}, line.GoesInto) {
				t.Errorf("%s, line %d: goes into %q", recipe.ID, i, line.GoesInto)
			}
		}
	}
}

// Nominal sizes are exact multiples of the US fluid ounce of 29.5735295625 mL (UCUM v2.2).
func TestJarCapacities(t *testing.T) {
	tables := loadTables(t)
	for id, ounces := range map[string]float64{
		"4-ounce": 4, "half-pint": 8, "12-ounce": 12, "pint": 16, "24-ounce": 24, "28-ounce": 28, "quart": 32,
		"half-gallon": 64,
	} {
		jar, found := tables.Jar(id)
		if !found || math.Abs(jar.CapacityML-ounces*29.5735295625) > 1e-6 {
			t.Errorf("%s holds %v mL, want %v fl oz", id, jar, ounces)
		}
	}
}

// A jar counts as another that is no smaller. 4-oz counts as half-pint, 12-oz as pint, 24- and 28-oz as quart (Kansas
// State University Extension 2019, 2022); a metric jar as the next larger US jar.
func TestJarsCountAs(t *testing.T) {
	tables := loadTables(t)
	want := map[string]string{
		"4-ounce": "half-pint", "half-pint": "half-pint", "12-ounce": "pint", "pint": "pint", "24-ounce": "quart",
		"28-ounce": "quart", "quart": "quart", "half-gallon": "half-gallon", "200-ml": "half-pint", "250-ml": "pint",
		"300-ml": "pint", "370-ml": "pint", "400-ml": "pint", "450-ml": "pint", "500-ml": "quart", "580-ml": "quart",
		"720-ml": "quart", "750-ml": "quart", "1-l": "half-gallon", "1-5-l": "half-gallon", "2-l": "",
	}
	for _, jar := range tables.Jars {
		if counts, known := want[jar.ID]; !known || jar.CountsAs != counts {
			t.Errorf("%s counts as %q, want %q", jar.ID, jar.CountsAs, counts)
		}
		if jar.CountsAs == "" {
			continue
		}
		if larger, found := tables.Jar(jar.CountsAs); !found || larger.CapacityML < jar.CapacityML {
			t.Errorf("%s counts as %s, which is smaller", jar.ID, jar.CountsAs)
		}
		// No jar of the table holds more than a cylinder of its height and 120 mm wide (from memory), nor less than one
		// as wide as half its mouth.
		const widestMM = 120
		area := func(diameterMM float64) float64 { return math.Pi / 4 * diameterMM * diameterMM }
		most, least := jar.InteriorHeightMM*area(widestMM)/1000, jar.InteriorHeightMM*area(jar.MouthMM/2)/1000
		if jar.CapacityML > most || jar.CapacityML < least {
			t.Errorf("%s holds %v mL in %v mm of height", jar.ID, jar.CapacityML, jar.InteriorHeightMM)
		}
	}
	if len(tables.Jars) != len(want) {
		t.Errorf("%d jars, want %d", len(tables.Jars), len(want))
	}
}

func TestJarNames(t *testing.T) {
	tables := loadTables(t)
	for name, id := range map[string]string{
		"half_pint": "half-pint", "half pint": "half-pint", "8 oz": "half-pint", "1/2 pint": "half-pint",
		"12_oz": "12-ounce", "12 oz": "12-ounce", "Pint": "pint", "pt": "pint", "16 oz": "pint", "quart": "quart",
		"qt": "quart", "Quarts": "quart", "32 oz": "quart", "wide-mouth pint": "pint", "1-1/2 pint": "24-ounce",
		"500 mL": "500-ml", "500ml": "500-ml", "1 L": "1-l", "1.5 litre": "1-5-l", "quarter pint": "4-ounce",
	} {
		if jar, found := tables.Jar(name); !found || jar.ID != id {
			t.Errorf("jar %q is %v, want %s", name, jar, id)
		}
	}
	for name, id := range map[string]string{"pinte": "pint", "qaurt": "", "halfpint": "half-pint", "bucket": ""} {
		if got, _ := tables.NearestJar(name); got != id {
			t.Errorf("nearest jar to %q is %q, want %q", name, got, id)
		}
	}
}

// Every limit that a rule may ask for by name. A row taken away, or renamed, fails here before a rule panics.
func TestLimitIDs(t *testing.T) {
	tables := loadTables(t)
	want := []string{
		"vinegar-acidity-min", "vinegar-acidity-usual-max", "steam-time-max", "low-temperature-min", "low-temperature-max",
		"low-temperature-time-min", "water-over-lids-min", "water-over-lids-long-min", "water-over-lids-long-over",
		"sterile-jars-below", "lime-rinses-min", "garlic-in-oil-days", "best-before", "storage-max", "storage-best-low", "storage-best-high",
		"ph-max", "ph-margin", "elevation-lowest", "elevation-highest",
		"reprocess-window", "seal-check-min", "seal-check-max", "lifting-wait", "unsealed-keeps", "liquid-lost-max", "refrigerator-max",
		"ph-strips-max", "ph-calibration-points", "ph-accuracy-usual", "ph-accuracy-max", "ph-temperature-min", "ph-temperature-max",
		"ph-wait", "ph-wait-whole-onion", "ph-wait-whole-pepper", "ph-wait-egg",
		"ferment-food-per-gallon", "ferment-top-up-salt", "hot-fill-min", "warm-fill-min",
		"packed-wait", "ph-buffers-apart",
	}
	var got []string
	for _, limit := range tables.Limits {
		got = append(got, limit.ID)
		if tables.MustLimit(limit.ID) != limit {
			t.Errorf("%s: MustLimit gives another row", limit.ID)
		}
	}
	if !slices.Equal(got, want) {
		t.Errorf("limits are %q, want %q", got, want)
	}
	defer func() {
		if recover() == nil {
			t.Error("MustLimit of an unknown id does not panic")
		}
	}()
	tables.MustLimit("no-such-limit")
}

// AIB 539, rev. 2015: 5 per cent vinegar (p. 1-28), 180 to 185 F for 30 min (p. 6-5), 1 in of water, 2 in above 30 min
// (p. 1-18), sterile jars under 10 min (p. 1-14), never above 95 F (p. 1-26). NCHFP 2015: steam 45 min. 21 CFR 114: pH 4.6.
func TestLimitValues(t *testing.T) {
	tables := loadTables(t)
	for id, want := range map[string]string{
		"vinegar-acidity-min": "5 percent", "low-temperature-min": "180 F", "low-temperature-max": "185 F",
		"low-temperature-time-min": "30 min", "water-over-lids-min": "1 in", "water-over-lids-long-min": "2 in",
		"water-over-lids-long-over": "30 min", "sterile-jars-below": "10 min", "storage-max": "95 F",
		"steam-time-max": "45 min", "ph-max": "4.6 pH", "lime-rinses-min": "3 count",
		"ferment-food-per-gallon": "5 lb", "ferment-top-up-salt": "1.5 tbsp", "hot-fill-min": "180 F", "warm-fill-min": "140 F",
		"packed-wait": "4 h", "ph-buffers-apart": "2 pH",
	} {
		limit := tables.MustLimit(id)
		if got := measure.FormatNumber(limit.Value) + " " + limit.Unit; got != want {
			t.Errorf("%s is %s, want %s", id, got, want)
		}
	}
}

func TestSearchPressure(t *testing.T) {
	tables := loadTables(t)
	// AIB 539, rev. 2015, Guide 4: raw-packed snap beans, pints 20 min, quarts 25 min at 11 psi on a dial gauge.
	minutes := map[string]float64{}
	for _, process := range tables.SearchPressure("Green beans") {
		if process.Pack == "raw" && process.DialPSI == 11 {
			minutes[process.Jar] = process.Minutes
		}
	}
	if minutes["pint"] != 20 || minutes["quart"] != 25 {
		t.Errorf("snap beans, raw: %v", minutes)
	}
	if got := tables.SearchPressure("cucumber"); len(got) != 0 {
		t.Errorf("cucumbers have no pressure process, got %v", got)
	}
	if got := tables.SearchPressure("no such food"); len(got) != 0 {
		t.Errorf("an unknown food has no pressure process, got %v", got)
	}
	for _, name := range []string{"jalapeno", "courgette", "butternut squash", "okra", "beetroot", "sweetcorn"} {
		if len(tables.SearchPressure(name)) == 0 {
			t.Errorf("no pressure process for %s", name)
		}
	}
}

func TestLookUpsByID(t *testing.T) {
	tables := loadTables(t)
	if source, found := tables.Source("usda-2015"); !found || source.Year != "2015" {
		t.Errorf("usda-2015 is %v", source)
	}
	if change, found := tables.Change("c003"); !found || change.Safe || change.MattersFor != "safety" {
		t.Errorf("c003 is %v", change)
	}
	if recipe, found := tables.Recipe("no-such-recipe"); found || recipe != nil {
		t.Errorf("no-such-recipe is %v", recipe)
	}
	if limit, found := tables.Limit("no-such-limit"); found || limit != (Limit{}) {
		t.Errorf("no-such-limit is %v", limit)
	}
}
