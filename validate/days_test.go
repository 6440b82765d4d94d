package validate

import (
	"encoding/json"
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/validate/report"
)

// dayEdit is one edit of a record of a canning day that adds something or brings it out of order, and so must not help a jar
// to the shelf.
type dayEdit struct {
	name string
	make func(batch map[string]any, chance *rand.Rand) bool // false: there was nothing to edit
}

// eventsOf are the events of a record.
func eventsOf(batch map[string]any) []map[string]any {
	list, _ := batch["events"].([]any)
	all := make([]map[string]any, 0, len(list))
	for _, each := range list {
		all = append(all, each.(map[string]any))
	}
	return all
}

func addEvent(batch map[string]any, event map[string]any) {
	list, _ := batch["events"].([]any)
	batch["events"] = append(list, event)
}

// momentsOf are the times of the events of a record, in their order.
func momentsOf(batch map[string]any) []time.Time {
	var all []time.Time
	for _, event := range eventsOf(batch) {
		if at, err := time.Parse(time.RFC3339, event["at"].(string)); err == nil {
			all = append(all, at)
		}
	}
	slices.SortFunc(all, time.Time.Compare)
	return all
}

// somewhere is a moment at, between, before or after the events of a record.
func somewhere(batch map[string]any, chance *rand.Rand) (string, bool) {
	all := momentsOf(batch)
	if len(all) == 0 {
		return "", false
	}
	at := all[chance.Intn(len(all))]
	switch chance.Intn(4) {
	case 1:
		at = at.Add(time.Duration(chance.Intn(40)-20) * time.Minute)
	case 2:
		at = at.Add(time.Second)
	case 3:
		at = at.Add(-time.Second)
	}
	return at.Format(time.RFC3339), true
}

// loadSomewhere is a load that the record names, one that it does not, or none.
func loadSomewhere(batch map[string]any, chance *rand.Rand) (string, bool) {
	names := []string{"", "never seen"}
	for _, event := range eventsOf(batch) {
		if load, named := event["load"].(string); named {
			names = append(names, load)
		}
	}
	load := names[chance.Intn(len(names))]
	return load, load != ""
}

// addable are events that cannot be what a process asks for: the boil is not begun nor ended by them.
var addable = []string{"jars_in", "water_level", "temperature", "topped_up", "boil_lost", "lid_off", "jars_out"}

func anEvent(kinds []string, member string, values ...any) func(map[string]any, *rand.Rand) bool {
	return func(batch map[string]any, chance *rand.Rand) bool {
		at, ok := somewhere(batch, chance)
		if !ok {
			return false
		}
		event := map[string]any{"at": at, "event": kinds[chance.Intn(len(kinds))]}
		if load, named := loadSomewhere(batch, chance); named {
			event["load"] = load
		}
		if member != "" {
			event[member] = values[chance.Intn(len(values))]
		}
		addEvent(batch, event)
		return true
	}
}

func dayEdits() []dayEdit {
	of := func(value float64, unit string) map[string]any { return map[string]any{"value": value, "unit": unit} }
	jarOf := func(batch map[string]any, chance *rand.Rand) map[string]any {
		jars := batch["jars"].([]any)
		return jars[chance.Intn(len(jars))].(map[string]any)
	}
	return []dayEdit{
		{"an event more", anEvent(addable, "")},
		{"a second end", func(batch map[string]any, chance *rand.Rand) bool {
			if !slices.ContainsFunc(eventsOf(batch), func(event map[string]any) bool { return event["event"] == "heat_off" }) {
				return false // it may be what the record lacks
			}
			return anEvent([]string{"heat_off"}, "")(batch, chance)
		}},
		{"a second beginning", func(batch map[string]any, chance *rand.Rand) bool {
			if !slices.ContainsFunc(eventsOf(batch), func(event map[string]any) bool { return event["event"] == "boil_reached" }) ||
				slices.ContainsFunc(eventsOf(batch), func(event map[string]any) bool { return event["event"] == "boil_lost" }) {
				return false // after a loss it is what the process asks for
			}
			return anEvent([]string{"boil_reached", "boil_regained"}, "")(batch, chance)
		}},
		{"a cold reading", anEvent([]string{"temperature", "water_level", "boil_lost"}, "temperature", of(150, "F"), of(80, "C"), of(40, "F"))},
		{"bare lids", anEvent([]string{"water_level", "topped_up"}, "water_over_lids", of(0, "in"), of(0.25, "in"))},
		{"an event twice", func(batch map[string]any, chance *rand.Rand) bool {
			all := eventsOf(batch)
			if len(all) == 0 {
				return false
			}
			twin := copied(all[chance.Intn(len(all))]).(map[string]any)
			if chance.Intn(2) == 0 {
				twin["at"], _ = somewhere(batch, chance)
			}
			if twin["event"] == "water_level" || twin["event"] == "boil_regained" || twin["event"] == "temperature" {
				return false // a good level after a poor one, or a second start, may be what the process asks for
			}
			delete(twin, "water_over_lids")
			addEvent(batch, twin)
			return true
		}},
		{"two times exchanged", func(batch map[string]any, chance *rand.Rand) bool {
			all := eventsOf(batch)
			if len(all) < 2 {
				return false
			}
			a, b := all[chance.Intn(len(all))], all[chance.Intn(len(all))]
			decides := []string{"boil_reached", "boil_regained", "boil_lost", "heat_off"}
			if slices.Contains(decides, a["event"].(string)) || slices.Contains(decides, b["event"].(string)) {
				return false // with another beginning or end it is another process
			}
			a["at"], b["at"] = b["at"], a["at"]
			return true
		}},
		{"a load left out", func(batch map[string]any, chance *rand.Rand) bool {
			var named []map[string]any
			for _, event := range eventsOf(batch) {
				if event["load"] != nil {
					named = append(named, event)
				}
			}
			if len(named) == 0 {
				return false
			}
			delete(named[chance.Intn(len(named))], "load")
			return true
		}},
		{"a load of a jar left out", func(batch map[string]any, chance *rand.Rand) bool {
			jar := jarOf(batch, chance)
			if jar["load"] == nil {
				return false
			}
			delete(jar, "load")
			return true
		}},
		{"another load for an event", func(batch map[string]any, chance *rand.Rand) bool {
			all := eventsOf(batch)
			if len(all) == 0 {
				return false
			}
			event := all[chance.Intn(len(all))]
			if event["load"] != nil {
				return false // moving what is wrong to other jars takes the fault itself away
			}
			event["load"] = "never seen"
			return true
		}},
		{"a second process before the first", func(batch map[string]any, chance *rand.Rand) bool {
			all := momentsOf(batch)
			if len(all) == 0 {
				return false
			}
			begins := all[0].Add(-3 * time.Hour)
			depth := of(2, "in")
			addEvent(batch, map[string]any{"at": begins.Format(time.RFC3339), "event": "boil_reached", "load": "before", "water_over_lids": depth})
			addEvent(batch, map[string]any{"at": begins.Add(time.Hour).Format(time.RFC3339), "event": "heat_off", "load": "before"})
			jarOf(batch, chance)["reprocessed"] = map[string]any{"load": "before", "new_lid": true}
			return true
		}},
		{"packed long before", func(batch map[string]any, chance *rand.Rand) bool {
			all := momentsOf(batch)
			if len(all) == 0 || batch["packed_at"] == nil {
				return false
			}
			batch["packed_at"] = all[0].Add(-time.Duration(5+chance.Intn(60)) * time.Hour).Format(time.RFC3339)
			return true
		}},
		{"a reading that shows nothing", func(batch map[string]any, chance *rand.Rand) bool {
			at, ok := somewhere(batch, chance)
			if !ok {
				return false
			}
			low := 2 + 3*chance.Float64()
			reading := map[string]any{
				"at": at, "value": low, "sample": "blended", "instrument": "meter", "temperature": of(25, "C"),
				"buffers": []any{
					map[string]any{"ph": low, "reading": low, "temperature": of(25, "C")},
					map[string]any{"ph": low + chance.Float64(), "reading": low + chance.Float64(), "temperature": of(25, "C")},
				},
			}
			list, _ := batch["ph_readings"].([]any)
			batch["ph_readings"] = append(list, reading)
			return true
		}},
		{"a place in the cold before the process", func(batch map[string]any, chance *rand.Rand) bool {
			all := momentsOf(batch)
			if len(all) == 0 {
				return false
			}
			jar := jarOf(batch, chance)
			list, _ := jar["kept"].([]any)
			jar["kept"] = append(list, map[string]any{"from": all[0].Format(time.RFC3339), "place": "refrigerator"})
			return true
		}},
		{"a bad sign", func(batch map[string]any, chance *rand.Rand) bool {
			jarOf(batch, chance)["spoilage_signs"] = []any{"mold"}
			return true
		}},
	}
}

// allDays are the records of the project, each whole document.
func allDays(t *testing.T) []variant {
	t.Helper()
	var all []variant
	for _, l := range dayLogs(t) {
		all = append(all, variant{l.name, l.body})
	}
	for _, name := range fileNames(t, ".json", "examples") {
		if body := readFile(t, "examples", name); strings.Contains(string(body), `"packed_at"`) {
			all = append(all, variant{name, body})
		}
	}
	return all
}

// TestAddingToADayNeverHelps edits records at random: no jar that was not fit for the shelf becomes so by something that is
// added or brought out of order, and what holds of every report holds of each.
func TestAddingToADayNeverHelps(t *testing.T) {
	rounds := 4
	if *full {
		rounds = 60
	}
	chance := rand.New(rand.NewSource(14))
	edits, tried := dayEdits(), map[string]int{}
	for _, day := range allDays(t) {
		before := shelfJars(checkBytes(t, day.body))
		for _, edit := range edits {
			for range rounds {
				var value map[string]any
				if err := json.Unmarshal(day.body, &value); err != nil {
					t.Fatal(err)
				}
				if !edit.make(value["batch"].(map[string]any), chance) {
					continue
				}
				body, err := json.Marshal(value)
				if err != nil {
					t.Fatal(err)
				}
				r, ok := answer(body)
				if !ok {
					continue
				}
				tried[edit.name]++
				holdsTogether(t, day.name+", "+edit.name, r)
				for id, shelf := range shelfJars(r) {
					if shelf && !before[id] {
						t.Errorf("%s: with %s jar %s is fit for the shelf:\n%s", day.name, edit.name, id, body)
					}
				}
			}
		}
	}
	for _, edit := range edits {
		if tried[edit.name] < 10 {
			t.Errorf("%s was tried %d times", edit.name, tried[edit.name])
		}
	}
	t.Logf("%v", tried)
}

// holdsTogether holds a report to what its disposition says: nothing of error severity stands beside the shelf, of the recipe or of
// a jar, every figure is a number, and a reason is given.
func holdsTogether(t *testing.T, name string, r report.Report) {
	t.Helper()
	if r.Disposition == report.Shelf {
		for _, f := range r.Findings {
			if f.Severity == report.Error {
				t.Errorf("%s: fit for the shelf beside %s %s: %s", name, f.Rule, f.Outcome, f.Message)
			}
		}
	}
	for _, f := range r.Findings {
		if f.Severity != report.Error || strings.HasPrefix(f.At, "/batch") {
			continue
		}
		for _, jar := range r.Jars {
			if jar.Disposition == report.Shelf {
				t.Errorf("%s: jar %s is fit for the shelf beside %s: %s", name, jar.ID, f.Rule, f.Message)
			}
		}
	}
	for _, f := range r.Findings {
		for i, jar := range r.Jars {
			here := fmt.Sprintf("/batch/jars/%d", i)
			if f.Severity == report.Error && jar.Disposition == report.Shelf && within(f.At, []string{here}) {
				t.Errorf("%s: jar %s is fit for the shelf beside %s: %s", name, jar.ID, f.Rule, f.Message)
			}
		}
	}
	var text strings.Builder
	if err := report.Encode(&text, r); err != nil {
		t.Errorf("%s: %v", name, err)
	}
	if err := report.Text(&text, r); err != nil {
		t.Errorf("%s: %v", name, err)
	}
	for _, nothing := range []string{"+Inf", "-Inf", "NaN", ": (compared", ": .", "an unknown amount"} {
		if strings.Contains(text.String(), nothing) {
			t.Errorf("%s: the report says %q", name, nothing)
		}
	}
	if r.Summary.Text == "" || r.Summary.NextStep == "" {
		t.Errorf("%s: %+v", name, r.Summary)
	}
}
