package validate

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"jarwright/validate/report"
)

// dayLog is one file below testdata/batch: a canning day, made from another document by a JSON Patch (RFC 6902), and what
// becomes of each jar. Outside truth: the sources named in each file; the expected answers were written by hand before the
// logs were first run.
type dayLog struct {
	Description string          `json:"description"`
	Source      string          `json:"source"`
	Base        string          `json:"base"` // path from the top folder
	Patch       json.RawMessage `json:"patch"`
	Adverse     []string        `json:"adverse"` // pointers to the bad signs and readings themselves
	Want        struct {
		Jars  map[string]report.Disposition `json:"jars"` // by id; "*" is every other
		Batch report.Disposition            `json:"batch"`
		By    map[string]string             `json:"by"`
		Rules map[string]report.Outcome     `json:"rules"`
		Next  string                        `json:"next"` // words in the first thing to do
	} `json:"want"`
	name string
	body []byte
}

const logsFolder = "testdata/batch"

func dayLogs(t testing.TB) []dayLog {
	t.Helper()
	var all []dayLog
	for _, name := range fileNames(t, ".json", logsFolder) {
		l := dayLog{name: name}
		decoder := json.NewDecoder(bytes.NewReader(readFile(t, logsFolder, name)))
		decoder.DisallowUnknownFields()
		if err := decoder.Decode(&l); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		l.body = patched(t, readFile(t, l.Base), l.Patch)
		all = append(all, l)
	}
	return all
}

func (l *dayLog) wanted(id string) report.Disposition {
	if want, named := l.Want.Jars[id]; named {
		return want
	}
	return l.Want.Jars["*"]
}

func (l *dayLog) deadline(id string) string {
	if by, named := l.Want.By[id]; named {
		return by
	}
	if l.wanted(id) == l.Want.Jars["*"] {
		return l.Want.By["*"]
	}
	return ""
}

func TestLogs(t *testing.T) {
	seen := map[report.Disposition]int{}
	logs := dayLogs(t)
	for _, l := range logs {
		t.Run(l.name, func(t *testing.T) {
			r := checkBytes(t, l.body)
			worst := 0
			order := []report.Disposition{report.Shelf, report.Refrigerate, report.Hold, report.Reprocess, report.Discard}
			for _, j := range r.Jars {
				seen[j.Disposition]++
				worst = max(worst, slices.Index(order, j.Disposition))
				if j.Disposition != l.wanted(j.ID) {
					t.Errorf("%s: jar %s: %s because of %v, want %s", l.Description, j.ID, j.Disposition, j.Because, l.wanted(j.ID))
				}
				if by := l.deadline(j.ID); by != "" && j.By != by {
					t.Errorf("%s: jar %s: by %q, want %q", l.Description, j.ID, j.By, by)
				}
				if refrigerated := j.Disposition == report.Refrigerate; len(j.Because) == 0 && !refrigerated {
					t.Errorf("%s: jar %s is for %s and no rule says why", l.Description, j.ID, j.Disposition)
				}
			}
			if r.Disposition != order[worst] {
				t.Errorf("the report is %s, its worst jar %s", r.Disposition, order[worst])
			}
			if l.Want.Batch != "" && r.Batch.Disposition != l.Want.Batch {
				t.Errorf("the batch is %s because of %v, want %s", r.Batch.Disposition, r.Batch.Because, l.Want.Batch)
			}
			for id, want := range l.Want.Rules {
				if got := outcomeOf(r, id); got != want {
					t.Errorf("%s: %s, want %s", id, got, want)
				}
			}
			if l.Want.Next != "" && (len(r.Next) == 0 || !strings.Contains(strings.ToLower(r.Next[0].What), l.Want.Next)) {
				t.Errorf("to do first: %+v, want %q", r.Next, l.Want.Next)
			}
			if l.Source == "" || !sentence(l.Description) {
				t.Errorf("description %q, source %q", l.Description, l.Source)
			}
			if t.Failed() {
				for _, f := range r.Findings {
					t.Logf("   %s %s %s: %s", f.Rule, f.Outcome, f.At, f.Message)
				}
			}
		})
	}
	if len(logs) < 40 {
		t.Errorf("%d logs", len(logs))
	}
	for _, d := range []report.Disposition{report.Shelf, report.Refrigerate, report.Hold, report.Reprocess, report.Discard} {
		if seen[d] == 0 {
			t.Errorf("no log has a jar for %s", d)
		}
	}
}

// places lists the JSON Pointers of everything below a value: members of objects and entries of lists.
func places(value any, at string) []string {
	var all []string
	switch v := value.(type) {
	case map[string]any:
		for name, child := range v {
			all = append(append(all, at+"/"+name), places(child, at+"/"+name)...)
		}
	case []any:
		for i, child := range v {
			here := at + "/" + strconv.Itoa(i)
			all = append(append(all, here), places(child, here)...)
		}
	}
	return all
}

func without(t *testing.T, body []byte, pointer string) []byte {
	t.Helper()
	after, err := applyPatch(body, []report.Operation{{Op: "remove", Path: pointer}})
	if err != nil {
		t.Fatalf("leaving out %s: %v", pointer, err)
	}
	return after
}

func shelfJars(r report.Report) map[string]bool {
	jars := map[string]bool{}
	for _, j := range r.Jars {
		jars[j.ID] = j.Disposition == report.Shelf
	}
	return jars
}

// within reports whether a place is one of the places, or a part of one.
func within(pointer string, all []string) bool {
	return slices.ContainsFunc(all, func(place string) bool { return pointer == place || strings.HasPrefix(pointer, place+"/") })
}

// evidence is what no jar is fit for the shelf without, as places in a document: the boil's start and end, the water level,
// the seal checks, the time of packing and the elevation. Several places stand for one fact that is given more than once.
func evidence(value map[string]any) map[string][]string {
	all := map[string][]string{"packing": {"/batch/packed_at"}}
	batch := value["batch"].(map[string]any)
	if batch["elevation"] != nil {
		all["elevation"] = append(all["elevation"], "/batch/elevation")
	}
	if kitchen, ok := value["kitchen"].(map[string]any); ok && kitchen["elevation"] != nil {
		all["elevation"] = append(all["elevation"], "/kitchen/elevation")
	}
	if batch["water_over_lids"] != nil {
		all["water"] = append(all["water"], "/batch/water_over_lids")
	}
	events, _ := batch["events"].([]any)
	for i := len(events) - 1; i >= 0; i-- { // from the end, so that places stay what they are
		event := events[i].(map[string]any)
		here := fmt.Sprintf("/batch/events/%d", i)
		if event["water_over_lids"] != nil {
			all["water"] = append(all["water"], here+"/water_over_lids")
		}
		switch event["event"] {
		case "boil_reached", "boil_regained":
			all["start"] = append(all["start"], here)
		case "heat_off":
			all["end"] = append(all["end"], here)
		case "temperature": // at low temperature the readings are both
			all["start"] = append(all["start"], here)
		}
	}
	for i := range batch["jars"].([]any) {
		if batch["jars"].([]any)[i].(map[string]any)["seal_checks"] != nil {
			all["seal"] = append(all["seal"], fmt.Sprintf("/batch/jars/%d/seal_checks", i))
		}
	}
	return all
}

// TestShelfNeedsPositiveEvidence takes each piece of evidence out of each log that has a jar for the shelf.
func TestShelfNeedsPositiveEvidence(t *testing.T) {
	taken := map[string]int{}
	for _, l := range dayLogs(t) {
		if !slices.Contains(slices.Collect(mapValues(shelfJars(checkBytes(t, l.body)))), true) {
			continue
		}
		var value map[string]any
		if err := json.Unmarshal(l.body, &value); err != nil {
			t.Fatal(err)
		}
		steam := value["recipe"].(map[string]any)["process"].(map[string]any)["method"] == "steam"
		for what, pointers := range evidence(value) {
			if what == "water" && steam {
				continue
			}
			low := value["recipe"].(map[string]any)["process"].(map[string]any)["method"] == "low_temperature"
			if what == "end" && low {
				continue // the last reading is the end
			}
			body := l.body
			for _, pointer := range pointers {
				body = without(t, body, pointer)
			}
			taken[what]++
			for id, shelf := range shelfJars(checkBytes(t, body)) {
				if shelf {
					t.Errorf("%s: without its %s (%v) jar %s is still fit for the shelf", l.name, what, pointers, id)
				}
			}
		}
	}
	for _, what := range []string{"packing", "elevation", "water", "start", "end", "seal"} {
		if taken[what] < 10 {
			t.Errorf("the %s was taken out of %d logs only", what, taken[what])
		}
	}
}

func mapValues(m map[string]bool) func(func(bool) bool) {
	return func(yield func(bool) bool) {
		for _, v := range m {
			if !yield(v) {
				return
			}
		}
	}
}

// TestLeavingOutOfALogNeverGivesTheShelf takes every single member and entry out of every log, but for the adverse signs
// that the log names itself: a jar that was not fit for the shelf does not become so.
func TestLeavingOutOfALogNeverGivesTheShelf(t *testing.T) {
	tried := 0
	for _, l := range dayLogs(t) {
		before := shelfJars(checkBytes(t, l.body))
		if !slices.Contains(slices.Collect(mapValues(before)), false) {
			continue
		}
		var value map[string]any
		if err := json.Unmarshal(l.body, &value); err != nil {
			t.Fatal(err)
		}
		for _, pointer := range places(value, "") {
			if within(pointer, l.Adverse) {
				continue
			}
			r, ok := answer(without(t, l.body, pointer))
			if !ok {
				continue
			}
			tried++
			for id, shelf := range shelfJars(r) {
				if was, known := before[id]; shelf && known && !was && !oneOfTwins(l, pointer) {
					t.Errorf("%s: without %s jar %s is fit for the shelf", l.name, pointer, id)
				}
			}
		}
	}
	if tried < 1000 {
		t.Errorf("%d members left out only", tried)
	}
}

// oneOfTwins reports whether leaving out a place takes one of two jars of the same name out of a log.
func oneOfTwins(l dayLog, pointer string) bool {
	return l.name == "two-jars-of-one-name.json" && regexp.MustCompile(`^/batch/jars/\d$`).MatchString(pointer)
}

// outcome is what an answer comes to, whatever the places of its findings.
func outcome(r report.Report) string {
	text, err := json.Marshal([]any{r.Disposition, r.Batch, r.Jars, r.Next, r.Dates, r.Labels, r.Rules})
	if err != nil {
		return err.Error()
	}
	return string(text)
}

// TestOrderInTheLogDoesNotMatter shuffles every list of a record but that of the jars, whose order is that of the answer.
func TestOrderInTheLogDoesNotMatter(t *testing.T) {
	shuffled := rand.New(rand.NewSource(1))
	for _, l := range dayLogs(t) {
		want := outcome(checkBytes(t, l.body))
		for range 5 {
			var value map[string]any
			if err := json.Unmarshal(l.body, &value); err != nil {
				t.Fatal(err)
			}
			shuffle(value["batch"], "batch", shuffled)
			body, err := json.Marshal(value)
			if err != nil {
				t.Fatal(err)
			}
			if got := outcome(checkBytes(t, body)); got != want {
				t.Errorf("%s: in another order\n%s\nwas\n%s", l.name, got, want)
			}
		}
	}
}

func shuffle(value any, name string, r *rand.Rand) {
	switch v := value.(type) {
	case map[string]any:
		for member, child := range v {
			shuffle(child, member, r)
		}
	case []any:
		if name != "jars" {
			r.Shuffle(len(v), func(i, j int) { v[i], v[j] = v[j], v[i] })
		}
		for _, child := range v {
			shuffle(child, "", r)
		}
	}
}

var writtenTime = regexp.MustCompile(`"\d{4}-\d\d-\d\dT[^"]*"`)

// TestZonesDoNotMatter writes every time of every log in other zones; the whole answer stays the same, byte for byte.
func TestZonesDoNotMatter(t *testing.T) {
	zones := rand.New(rand.NewSource(2))
	for _, l := range dayLogs(t) {
		want, err := json.Marshal(checkBytes(t, l.body))
		if err != nil {
			t.Fatal(err)
		}
		for range 5 {
			body := writtenTime.ReplaceAllFunc(l.body, func(text []byte) []byte {
				at, err := time.Parse(time.RFC3339Nano, strings.Trim(string(text), `"`))
				if err != nil {
					t.Fatalf("%s: %s: %v", l.name, text, err)
				}
				zone := time.FixedZone("", 15*60*(zones.Intn(105)-48)) // UTC-12 to UTC+14, by quarters of an hour
				return []byte(`"` + at.In(zone).Format("2006-01-02T15:04:05.999Z07:00") + `"`)
			})
			got, err := json.Marshal(checkBytes(t, body))
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("%s: in other zones\n%s\nwas\n%s", l.name, got, want)
			}
		}
	}
}

// TestNextComesFirst holds all three forms of a report to telling what to do before anything else but the summary.
func TestNextComesFirst(t *testing.T) {
	for _, l := range dayLogs(t) {
		r := checkBytes(t, l.body)
		if len(r.Next) == 0 {
			t.Errorf("%s: nothing to do", l.name)
			continue
		}
		if r.Summary.NextStep != report.TaskLine(r.Next[0], r.Batch.UTCOffset) {
			t.Errorf("%s: the summary says %q first, the list %q", l.name, r.Summary.NextStep, report.TaskLine(r.Next[0], r.Batch.UTCOffset))
		}
		ordered := slices.IsSortedFunc(r.Next, func(a, b report.Task) int { return strings.Compare(when(a), when(b)) })
		if !ordered {
			t.Errorf("%s: not in the order of time: %+v", l.name, r.Next)
		}
		for _, form := range []struct {
			render func(io.Writer, report.Report) error
			before []string
		}{
			{report.Text, []string{"What to do, in this order\n---", "The jars\n---", "Keep in mind\n---"}},
			{report.Markdown, []string{"## What to do, in this order", "## The jars", "## Keep in mind"}},
			{func(w io.Writer, r report.Report) error { return json.NewEncoder(w).Encode(r) }, []string{`"next_step":`, `"next":[`, `"jars":[{"id"`, `"findings":[`}},
		} {
			var text bytes.Buffer
			if err := form.render(&text, r); err != nil {
				t.Fatal(err)
			}
			last := -1
			for _, heading := range form.before {
				at := strings.Index(text.String(), heading)
				if at <= last {
					t.Errorf("%s: %q stands at %d, after %d", l.name, heading, at, last)
				}
				last = at
			}
			if findings := strings.Index(text.String(), "Must be put right"); findings >= 0 && findings < strings.Index(text.String(), "The jars") {
				t.Errorf("%s: findings stand before the jars", l.name)
			}
		}
	}
}

// when is what a task is ordered by: a date counts from its beginning.
func when(t report.Task) string {
	if t.At == "" {
		return t.By
	}
	return t.At
}

// A report on a canning day holds to what every report holds to.
func TestFindingsOnLogsAreFitToRead(t *testing.T) {
	for _, l := range dayLogs(t) {
		r := checkBytes(t, l.body)
		for _, f := range r.Findings {
			if !sentence(f.Message) || !sentence(f.Remedy) || len(f.Sources) == 0 {
				t.Errorf("%s: %s: %q %q %v", l.name, f.Rule, f.Message, f.Remedy, f.Sources)
			}
		}
		for _, task := range r.Next {
			if !sentence(task.What) || len(task.Jars) == 0 {
				t.Errorf("%s: to do: %+v", l.name, task)
			}
		}
		for _, j := range r.Jars {
			for _, id := range j.Because {
				if outcomeOf(r, id) == "" {
					t.Errorf("%s: jar %s names %q, which is no rule", l.name, j.ID, id)
				}
			}
		}
	}
}

// TestReadingsAreShown: slope and offset of the meter, and where the reading lies in the computed band. The slope is worked
// by hand: buffers of 4.01 and 7.00 read 4.02 and 6.98, 2.96 over 2.99.
func TestReadingsAreShown(t *testing.T) {
	for _, test := range []struct {
		log, where string
		value      float64
	}{
		{"meter-read-right.json", "within the computed band", 3.7},
		{"one-under-acid-of-nine.json", "within the computed band", 4.7}, // which ends at 4.71
	} {
		i := slices.IndexFunc(dayLogs(t), func(l dayLog) bool { return l.name == test.log })
		derived := map[string]report.Derived{}
		for _, d := range checkBytes(t, dayLogs(t)[i].body).Derived {
			derived[d.Name] = d
		}
		if slope := derived["ph_meter_slope"]; math.Abs(slope.Value-100*2.96/2.99) > 0.005 || slope.Unit != "%" {
			t.Errorf("%s: slope %v", test.log, slope)
		}
		if offset := derived["ph_meter_offset"]; offset.Value != -0.02 {
			t.Errorf("%s: offset %v", test.log, offset)
		}
		if reading := derived["ph_reading"]; reading.Value != test.value || !strings.Contains(reading.Formula, test.where) {
			t.Errorf("%s: %+v, want %v %s", test.log, reading, test.value, test.where)
		}
	}
}
