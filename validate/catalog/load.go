package catalog

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"

	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// Load reads the embedded tables and checks them as a whole: headers as expected, ids unique, every reference to a
// source, item, jar, unit or schedule resolved, no name with two meanings, bands without gap or overlap, and minutes
// that never fall with elevation.
func Load() (*Tables, error) {
	return LoadFrom(table.Files())
}

// LoadFrom is Load from another folder of the same files, for tests that change a table in a copy.
func LoadFrom(files fs.FS) (*Tables, error) {
	tables, err := load(files)
	if err != nil {
		return nil, fmt.Errorf("load published tables: %w", err)
	}
	return tables, nil
}

func load(files fs.FS) (*Tables, error) {
	units, err := measure.LoadUnits()
	if err != nil {
		return nil, err
	}
	loader := &loader{files: files, units: units, tables: &Tables{
		sources: map[string]int{}, items: map[string]int{}, names: map[string]resolution{}, jars: map[string]int{},
		schedules: map[string]int{}, recipes: map[string]int{}, changes: map[string]int{}, limits: map[string]int{}, stepKinds: map[string]int{},
		changesOn: map[Topic][]string{}, tolerances: map[Tolerance]Allowance{}, fresh: map[int]freshTwin{}, seasonings: map[string]Flavoring{},
	}}
	// The order matters: each table may only refer to those before it.
	for _, step := range []func() error{
		loader.loadStamps, loader.loadSources, loader.loadItems, loader.loadAliases, loader.loadFresh, loader.loadSeasonings,
		loader.loadWeights("weights.csv"), loader.loadWeights("weights_other.csv"), loader.loadWeights("salt.csv"),
		loader.loadPH, loader.loadJars,
		loader.loadSchedules("schedules_pickled.csv"), loader.loadSchedules("schedules_other.csv"), loader.checkSuperseded,
		loader.loadRecipes, loader.loadStepKinds, loader.loadSteps, loader.loadChangeSubjects, loader.loadChanges, loader.loadSubstitutions, loader.loadConditions,
		loader.loadPressure, loader.loadLimits, loader.loadTolerances, loader.loadSeasoningLimits, loader.loadLikeness,
		loader.loadHistory, loader.indexNames,
	} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return loader.tables, nil
}

type loader struct {
	files  fs.FS
	units  *measure.Units
	tables *Tables
}

func (l *loader) loadStamps() (err error) {
	l.tables.stamps, err = table.Stamps(l.files)
	return err
}

func (l *loader) eachRow(name string, columns []string, read func(*table.Row)) error {
	return table.Each(l.files, name, columns, read)
}

// citation reads the columns source, locator and verified, each with a prefix.
func (l *loader) citation(r *table.Row, prefix string) Citation {
	citation := Citation{
		Source: r.Text(prefix + "source"), Locator: r.Text(prefix + "locator"),
		Verified: Verified(r.Text(prefix + "verified")),
	}
	r.Fail(l.checkCitation(citation))
	return citation
}

func (l *loader) checkCitation(citation Citation) error {
	if _, found := l.tables.sources[citation.Source]; !found {
		return fmt.Errorf("unknown source %q", citation.Source)
	}
	return checkVerified(citation.Verified)
}

func checkVerified(verified Verified) error {
	if !slices.Contains([]Verified{Read, Computed, Derived, Recalled}, verified) {
		return fmt.Errorf("unknown grade of trust %q", verified)
	}
	return nil
}

// add appends a value under a new id.
func add[T any](r *table.Row, all *[]T, index map[string]int, id string, value T) {
	if _, taken := index[id]; taken || id == "" {
		r.Fail(fmt.Errorf("id %q is empty or stands twice", id))
		return
	}
	index[id] = len(*all)
	*all = append(*all, value)
}

func (l *loader) loadSources() error {
	columns := []string{"id", "title", "publisher", "year", "kind", "url", "note", "verified"}
	kinds := []string{"government", "extension", "standard", "research", "data", "trade_practice", "memory"}
	return l.eachRow("sources.csv", columns, func(r *table.Row) {
		source := Source{
			ID: r.Text("id"), Title: r.Text("title"), Publisher: r.Text("publisher"), Year: r.Text("year"),
			Kind: r.Text("kind"), URL: r.Text("url"), Note: r.Text("note"), Verified: Verified(r.Text("verified")),
		}
		if !slices.Contains(kinds, source.Kind) {
			r.Fail(fmt.Errorf("unknown kind of source %q", source.Kind))
		}
		r.Fail(checkVerified(source.Verified))
		add(r, &l.tables.Sources, l.tables.sources, source.ID, source)
	})
}

func (l *loader) loadItems() error {
	columns := []string{"id", "name", "class", "family", "aliases", "note"}
	return l.eachRow("items.csv", columns, func(r *table.Row) {
		item := Item{
			ID: r.Text("id"), Name: r.Text("name"), Class: Class(r.Text("class")), Family: r.Text("family"),
			Aliases: r.List("aliases", "|"), Note: r.Text("note"), PH: []PHRange{}, Weights: []Weight{},
		}
		if !slices.Contains(Classes(), item.Class) {
			r.Fail(fmt.Errorf("unknown class %q", item.Class))
		}
		if item.Family == "" {
			r.Fail(errors.New("no family"))
		}
		position := len(l.tables.Items)
		if add(r, &l.tables.Items, l.tables.items, item.ID, item); r.Failed() {
			return
		}
		for _, name := range append([]string{item.ID, item.Name}, item.Aliases...) {
			r.Fail(l.addName(name, resolution{item: position}))
		}
	})
}

// Classes lists every class of ingredient.
func Classes() []Class {
	return []Class{
		LowAcid, AcidFood, Acid, Water, Salt, Sugar, Sweetener, Seasoning, FreshHerb, Fat, Thickener, Firming, Egg, Ice,
	}
}

// addName makes a name resolve. A name may be added again for the same item, but not for another.
func (l *loader) addName(name string, meaning resolution) error {
	key := Fold(name)
	if key == "" {
		return errors.New("empty name")
	}
	if earlier, taken := l.tables.names[key]; taken && earlier.item != meaning.item {
		return fmt.Errorf("name %q stands for %s and %s", name,
			l.tables.Items[earlier.item].ID, l.tables.Items[meaning.item].ID)
	}
	l.tables.names[key] = meaning
	return nil
}

// loadAliases reads the names that tell more than the item.
func (l *loader) loadAliases() error {
	columns := []string{"alias", "item", "bottled", "salt_kind", "form"}
	kinds := []string{"", SaltCanning, SaltTable, SaltKosherFlake, SaltSeaFine, SaltSeaCoarse, SaltReducedSodium}
	return l.eachRow("aliases.csv", columns, func(r *table.Row) {
		position, found := l.tables.items[r.Text("item")]
		if !found {
			r.Fail(fmt.Errorf("unknown item %q", r.Text("item")))
			return
		}
		meaning := resolution{item: position, saltKind: r.Text("salt_kind"), form: r.Text("form")}
		if r.Text("bottled") != "" {
			bottled := r.Yes("bottled")
			meaning.bottled = &bottled
		}
		if !slices.Contains(kinds, meaning.saltKind) {
			r.Fail(fmt.Errorf("unknown kind of salt %q", meaning.saltKind))
		}
		alias := r.Text("alias")
		if _, taken := l.tables.names[Fold(alias)]; taken {
			r.Fail(fmt.Errorf("alias %q stands twice", alias))
		}
		r.Fail(l.addName(alias, meaning))
		l.tables.Items[position].Aliases = append(l.tables.Items[position].Aliases, alias)
	})
}

// item finds the item that a row is about.
func (l *loader) item(r *table.Row) *Item {
	item, found := l.tables.Item(r.Text("item"))
	if !found {
		r.Fail(fmt.Errorf("unknown item %q", r.Text("item")))
		return &Item{}
	}
	return item
}

func (l *loader) loadWeights(name string) func() error {
	columns := []string{"item", "form", "unit", "grams", "grams_max", "source", "locator", "verified", "note"}
	return func() error {
		return l.eachRow(name, columns, func(r *table.Row) {
			weight := Weight{
				Form: r.Text("form"), Unit: r.Text("unit"), Grams: r.Number("grams"), GramsMax: r.Number("grams_max"),
				Citation: l.citation(r, ""), Note: r.Text("note"),
			}
			r.Fail(l.checkUnit(weight.Unit))
			if !(weight.Grams > 0 && weight.GramsMax >= weight.Grams) {
				r.Fail(fmt.Errorf("%v to %v g is no range of weights", weight.Grams, weight.GramsMax))
			}
			item := l.item(r)
			item.Weights = append(item.Weights, weight)
		})
	}
}

func (l *loader) checkUnit(code string) error {
	if _, found := l.units.Lookup(code); !found {
		return fmt.Errorf("unknown unit %q", code)
	}
	return nil
}

func (l *loader) loadPH() error {
	columns := []string{"item", "form", "low", "high", "source", "locator", "verified"}
	return l.eachRow("ph.csv", columns, func(r *table.Row) {
		ph := PHRange{Form: r.Text("form"), Low: r.Number("low"), High: r.Number("high"), Citation: l.citation(r, "")}
		const neutralEnd = 14 // of the pH scale
		if !(ph.Low > 0 && ph.High >= ph.Low && ph.High < neutralEnd) {
			r.Fail(fmt.Errorf("%v to %v is no range of pH", ph.Low, ph.High))
		}
		item := l.item(r)
		item.PH = append(item.PH, ph)
	})
}

func (l *loader) loadJars() error {
	columns := []string{
		"id", "name", "aliases", "capacity_ml", "mouth_mm", "interior_height_mm", "counts_as", "capacity_source",
		"capacity_locator", "capacity_verified", "shape_source", "shape_locator", "shape_verified", "note",
	}
	err := l.eachRow("jars.csv", columns, func(r *table.Row) {
		jar := Jar{
			ID: r.Text("id"), Name: r.Text("name"), Aliases: r.List("aliases", "|"), CapacityML: r.Number("capacity_ml"),
			MouthMM: r.Number("mouth_mm"), InteriorHeightMM: r.Number("interior_height_mm"), CountsAs: r.Text("counts_as"),
			Capacity: l.citation(r, "capacity_"), Shape: l.citation(r, "shape_"), Note: r.Text("note"),
		}
		if !(jar.CapacityML > 0 && jar.MouthMM > 0 && jar.InteriorHeightMM > 0) {
			r.Fail(errors.New("a jar needs a capacity, a mouth and a height"))
		}
		position := len(l.tables.Jars)
		l.tables.Jars = append(l.tables.Jars, jar)
		for _, name := range append([]string{jar.ID, jar.Name}, jar.Aliases...) {
			key := Fold(name)
			if earlier, taken := l.tables.jars[key]; taken && earlier != position {
				r.Fail(fmt.Errorf("name %q stands for two jars", name))
			}
			l.tables.jars[key] = position
		}
	})
	if err != nil {
		return err
	}
	for _, jar := range l.tables.Jars {
		if jar.CountsAs == "" {
			continue // larger than any jar of the time tables
		}
		if err := l.checkJar(jar.CountsAs); err != nil {
			return fmt.Errorf("read jars.csv (%s): %w", jar.ID, err)
		}
	}
	return nil
}

func (l *loader) checkJar(id string) error {
	if jar, found := l.tables.Jar(id); !found || jar.ID != id {
		return fmt.Errorf("unknown jar id %q", id)
	}
	return nil
}

// Words that stand in the bands column of a row without a boiling-water process.
const (
	UnprocessedPressureOnly = "pressure only"
	UnprocessedNotProcessed = "not processed"
)

// printedBands are the elevation bands of the published tables, by the words of the bands column.
var printedBands = []struct {
	words, column string
	fromFt, toFt  float64
}{
	{"0-1000", "min_0_1000ft", 0, 1000},
	{"1001-3000", "min_1001_3000ft", 1000, 3000},
	{"1001-6000", "min_1001_6000ft", 1000, 6000},
	{"3001-6000", "min_3001_6000ft", 3000, 6000},
	{">6000", "min_over_6000ft", 6000, 0},
}

func (l *loader) loadSchedules(name string) func() error {
	columns := []string{
		"id", "product", "form", "pack", "jar", "headspace_in", "bands", "min_0_1000ft", "min_1001_3000ft",
		"min_1001_6000ft", "min_3001_6000ft", "min_over_6000ft", "sterile_jars", "low_temperature_allowed",
		"superseded_by", "source", "locator", "verified", "note",
	}
	return func() error {
		return l.eachRow(name, columns, func(r *table.Row) {
			schedule := Schedule{
				ID: r.Text("id"), Product: r.Text("product"), Form: r.Text("form"), Pack: r.Text("pack"), Jar: r.Text("jar"),
				HeadspaceIn: r.Number("headspace_in"), SterileJars: r.Yes("sterile_jars"),
				LowTemperature: r.Yes("low_temperature_allowed"), SupersededBy: r.Text("superseded_by"),
				Note: r.Text("note"), Citation: l.citation(r, ""),
			}
			schedule.Bands, schedule.Unprocessed = readBands(r)
			r.Fail(checkBands(schedule.Bands))
			if schedule.Pack != "raw" && schedule.Pack != "hot" {
				r.Fail(fmt.Errorf("unknown pack %q", schedule.Pack))
			}
			if schedule.Jar != "any" {
				r.Fail(l.checkJar(schedule.Jar))
			}
			add(r, &l.tables.Schedules, l.tables.schedules, schedule.ID, schedule)
		})
	}
}

// readBands reads the printed cells of the bands that the row says it has; every other cell must be empty.
func readBands(r *table.Row) (bands []Band, unprocessed string) {
	words := r.List("bands", "|")
	if text := r.Text("bands"); text == UnprocessedPressureOnly || text == UnprocessedNotProcessed {
		words, unprocessed = nil, text
	}
	bands = []Band{}
	for _, printed := range printedBands {
		listed := slices.Contains(words, printed.words)
		if listed != (r.Text(printed.column) != "") {
			r.Fail(fmt.Errorf("bands %q do not agree with column %s", r.Text("bands"), printed.column))
		}
		if listed {
			bands = append(bands, Band{FromFt: printed.fromFt, ToFt: printed.toFt, Minutes: r.Number(printed.column)})
		}
	}
	if len(bands) != len(words) {
		r.Fail(fmt.Errorf("unknown bands %q", r.Text("bands")))
	}
	return bands, unprocessed
}

// checkBands holds that bands follow each other from sea level without gap or overlap, that only the last is open, and
// that no band asks for less than the one below it.
func checkBands(bands []Band) error {
	for i, band := range bands {
		from, least := 0.0, 0.0
		if i > 0 {
			from, least = bands[i-1].ToFt, bands[i-1].Minutes
		}
		open := band.ToFt == 0
		switch {
		case band.FromFt != from:
			return fmt.Errorf("band from %v ft does not follow on %v ft", band.FromFt, from)
		case open && i < len(bands)-1, !open && band.ToFt <= band.FromFt:
			return fmt.Errorf("band from %v to %v ft is empty or open below another", band.FromFt, band.ToFt)
		case band.Minutes <= 0 || band.Minutes < least:
			return fmt.Errorf("%v min from %v ft falls below %v min", band.Minutes, band.FromFt, least)
		}
	}
	return nil
}

func (l *loader) checkSuperseded() error {
	for _, schedule := range l.tables.Schedules {
		if schedule.SupersededBy == "" {
			continue
		}
		if _, found := l.tables.schedules[schedule.SupersededBy]; !found {
			return fmt.Errorf("schedule %s is superseded by the unknown %q", schedule.ID, schedule.SupersededBy)
		}
	}
	return nil
}

func (l *loader) loadPressure() error {
	columns := []string{
		"product", "families", "form", "pack", "jar", "minutes", "dial_psi_to_2000ft", "weighted_psi_to_1000ft", "source",
		"locator", "verified", "note",
	}
	families := map[string]bool{}
	for _, item := range l.tables.Items {
		families[item.Family] = true
	}
	return l.eachRow("pressure.csv", columns, func(r *table.Row) {
		process := PressureProcess{
			Product: r.Text("product"), Families: r.List("families", "|"), Form: r.Text("form"), Pack: r.Text("pack"),
			Jar: r.Text("jar"), Minutes: r.Number("minutes"), DialPSI: r.Number("dial_psi_to_2000ft"),
			WeightedPSI: r.Number("weighted_psi_to_1000ft"), Note: r.Text("note"), Citation: l.citation(r, ""),
		}
		for _, family := range process.Families {
			if !families[family] {
				r.Fail(fmt.Errorf("unknown family %q", family))
			}
		}
		r.Fail(l.checkJar(process.Jar))
		l.tables.Pressure = append(l.tables.Pressure, process)
	})
}

func (l *loader) loadLimits() error {
	columns := []string{"id", "value", "unit", "meaning", "source", "locator", "verified"}
	return l.eachRow("limits.csv", columns, func(r *table.Row) {
		limit := Limit{
			ID: r.Text("id"), Value: r.Number("value"), Unit: r.Text("unit"), Meaning: r.Text("meaning"),
			Citation: l.citation(r, ""),
		}
		if !slices.Contains([]string{"percent", "fraction", "pH", "count"}, limit.Unit) {
			r.Fail(l.checkUnit(limit.Unit))
		}
		add(r, &l.tables.Limits, l.tables.limits, limit.ID, limit)
	})
}
