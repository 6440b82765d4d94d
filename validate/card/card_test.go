package card

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/validate/budget"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

// kitchen is the tables that cards are written from, and a judge that gives a prepared answer.
type kitchen struct {
	tables *catalog.Tables
	units  *measure.Units
	scale  *composition.Scale
	answer func(*document.Request) report.Report
	asked  int // how often the judge was asked
}

func newKitchen(t *testing.T) *kitchen {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	scale, err := composition.NewScale(tables, units)
	if err != nil {
		t.Fatal(err)
	}
	return &kitchen{tables: tables, units: units, scale: scale}
}

func (k *kitchen) judge(_ *budget.Budget, request *document.Request) report.Report {
	k.asked++
	return k.answer(request)
}

// write writes the card of a recipe that is followed in its first pack and jar.
func (k *kitchen) write(t *testing.T, request document.Request, publication *document.Publication) Card {
	t.Helper()
	planner, err := plan.New(k.tables, k.units, k.scale, k.judge)
	if err != nil {
		t.Fatal(err)
	}
	writer := New(k.tables, k.units, k.scale, planner, k.judge)
	return writer.Write(nil, &document.CardRequest{Recipe: request.Recipe, Kitchen: request.Kitchen, Publication: publication})
}

func (k *kitchen) followed(t *testing.T) (document.Request, *catalog.TestedRecipe) {
	t.Helper()
	const id = "pickled-dilled-beans"
	recipe, ok := k.tables.Recipe(id)
	if !ok {
		t.Fatalf("no recipe %s", id)
	}
	jar := recipe.Packs[0].Jars[0]
	minutes, _ := follow.MinutesAt(k.tables, recipe, 0, jar, 0)
	request, err := follow.Request(k.tables, recipe, follow.Choice{Jar: jar, Minutes: minutes})
	if err != nil {
		t.Fatal(err)
	}
	return request, recipe
}

// matched is the report on a recipe that follows a tested one, with the times of its first row.
func matched(tables *catalog.Tables, recipe *catalog.TestedRecipe, disposition report.Disposition) report.Report {
	r := report.Report{
		Disposition: disposition,
		Process:     &report.Process{Recipe: recipe.ID, Title: recipe.Title, Matched: true, Schedules: recipe.Packs[0].Schedules, Source: recipe.Citation},
		Cautions:    []report.Caution{{ID: "full-boil", Text: "Keep the boil."}, {ID: "clean", Text: "This report is no license."}},
		Meta:        report.Meta{Ruleset: "test"},
	}
	for _, row := range follow.Schedules(tables, recipe, 0, recipe.Packs[0].Jars[0]) {
		for _, band := range row.Bands {
			entry := report.AltitudeBand{FromFt: band.FromFt, FromM: band.FromFt * 0.3048, Minutes: band.Minutes, Here: band.FromFt == 0}
			if band.FromFt > 0 {
				entry.FromFt++ // as reports print it
			}
			if band.ToFt > 0 {
				entry.ToFt, entry.ToM = new(band.ToFt), new(band.ToFt*0.3048)
			}
			r.AltitudeTable = append(r.AltitudeTable, entry)
		}
	}
	return r
}

func titles(steps []Step) string {
	var list []string
	for _, step := range steps {
		list = append(list, step.Title)
	}
	return strings.Join(list, ", ")
}

func textOf(t *testing.T, c *Card, title string) string {
	t.Helper()
	for _, step := range c.Steps {
		if step.Title == title {
			return step.Text
		}
	}
	t.Fatalf("no step %q among %s", title, titles(c.Steps))
	return ""
}

// Dilled beans: raw pack, half an inch of headspace, 5, 10 and 15 minutes by elevation (Complete Guide, 2015, p. 6-14). Times
// under 10 minutes want sterilized jars (p. 1-14).
func TestCardOfARecipeFitForTheShelf(t *testing.T) {
	k := newKitchen(t)
	request, recipe := k.followed(t)
	k.answer = func(*document.Request) report.Report { return matched(k.tables, recipe, report.Shelf) }
	c := k.write(t, request, nil)
	if !c.Fit || c.Title != recipe.Title || !strings.HasPrefix(c.Notice, "Fit for the shelf") || !strings.HasPrefix(c.Yield, "8 jars, ") {
		t.Errorf("fit %v, title %q, notice %q, yield %q", c.Fit, c.Title, c.Notice, c.Yield)
	}
	if got := titles(c.Steps); got != "Jars, Food, Brine, Fill, Process, Cool and check" {
		t.Errorf("steps %s", got)
	}
	if text := textOf(t, &c, "Jars"); !strings.Contains(text, "Sterilize the jars where the time in the canner is less than 10 minutes") {
		t.Errorf("jars: %s", text)
	}
	if text := textOf(t, &c, "Fill"); !strings.HasPrefix(text, "Raw pack") || !strings.Contains(text, "headspace of 1/2 inch (13 mm)") {
		t.Errorf("fill: %s", text)
	}
	text := textOf(t, &c, "Process")
	for _, want := range []string{
		"5 minutes at 0 to 1,000 ft", "10 minutes at 1,001 to 6,000 ft", "15 minutes at over 6,000 ft", "1 inch (25 mm) of water over the lids",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("process lacks %q: %s", want, text)
		}
	}
	if len(c.Times) != 3 || c.longest != 15 {
		t.Errorf("%d times, the longest %g", len(c.Times), c.longest)
	}
	for _, band := range c.Times {
		if band.Here {
			t.Error("a time is marked for somebody's kitchen")
		}
	}
	if len(c.Cautions) != 2 || c.Cautions[1].Text != "This card is no license." {
		t.Errorf("cautions %+v", c.Cautions)
	}
	if len(c.Sources) == 0 || c.basedOn == nil || c.Sources[0].ID != recipe.Citation.Source {
		t.Errorf("sources %+v", c.Sources)
	}
}

func TestCardOfARecipeThatIsNotFit(t *testing.T) {
	k := newKitchen(t)
	request, recipe := k.followed(t)
	k.answer = func(*document.Request) report.Report {
		r := matched(k.tables, recipe, report.Hold)
		r.Summary.Text = "Too little acid."
		r.Findings = []report.Finding{
			{Rule: "acid.ratio", Severity: report.Error, Message: "Too little vinegar.", Remedy: "Take more."},
			{Rule: "measure.weighed", Severity: report.Info, Message: "Weigh it."},
		}
		return r
	}
	c := k.write(t, request, nil)
	if c.Fit || len(c.Steps) != 0 || len(c.Times) != 0 || len(c.May) != 0 || len(c.MayNot) != 0 {
		t.Errorf("fit %v with %d steps, %d times, %d and %d changes", c.Fit, len(c.Steps), len(c.Times), len(c.May), len(c.MayNot))
	}
	if !strings.HasPrefix(c.Notice, "NOT FIT FOR THE SHELF") || !strings.HasSuffix(c.Notice, "Too little acid.") {
		t.Errorf("notice %q", c.Notice)
	}
	if len(c.Problems) != 1 || c.Problems[0].Rule != "acid.ratio" {
		t.Errorf("problems %+v", c.Problems)
	}
	if len(c.Cautions) != 1 || c.Cautions[0].ID != "clean" {
		t.Errorf("a caution for jars on the shelf beside a recipe that is not fit: %+v", c.Cautions)
	}
	readsAsNotFit(t, &c)
}

// readsAsNotFit holds both forms of a card that is not fit to the reasons, without anything that could be followed.
func readsAsNotFit(t *testing.T, c *Card) {
	t.Helper()
	l := c.Linked()
	if l.Status == "" || len(l.Instructions) == 0 || l.Instructions[0].Name != "Stop" || l.CookTime != "" || l.TotalTime != "" {
		t.Errorf("linked data of a recipe that is not fit: %+v", l)
	}
	var page strings.Builder
	if err := c.Markdown(&page); err != nil {
		t.Fatal(err)
	}
	for _, section := range []string{"## Steps", "## Minutes", "## You may"} {
		if strings.Contains(page.String(), section) {
			t.Errorf("%s on the page of a recipe that is not fit", section)
		}
	}
	if !strings.Contains(page.String(), "## Why not\n\n- Too little vinegar. Take more.") {
		t.Errorf("no reason on the page:\n%s", page.String())
	}
}

func TestCardForTheRefrigeratorHasNoProcess(t *testing.T) {
	k := newKitchen(t)
	request, recipe := k.followed(t)
	k.answer = func(*document.Request) report.Report { return matched(k.tables, recipe, report.Refrigerate) }
	c := k.write(t, request, nil)
	if got := titles(c.Steps); got != "Jars, Food, Brine, Fill, Cool" || len(c.Times) != 0 || !c.Fit {
		t.Errorf("fit %v, steps %s, %d times", c.Fit, got, len(c.Times))
	}
	if !strings.Contains(strings.Join(c.Storage, " "), "40 °F (4 °C)") || !strings.HasPrefix(c.Notice, "For the refrigerator only") {
		t.Errorf("notice %q, storage %q", c.Notice, c.Storage)
	}
}

// A card prints the times of all elevations, so an unknown elevation alone does not keep it from being fit.
func TestUnknownElevationAloneDoesNotWithholdACard(t *testing.T) {
	k := newKitchen(t)
	request, recipe := k.followed(t)
	request.Kitchen = nil
	unknown := report.Finding{Rule: "process.elevation-known", Severity: report.Error, Outcome: report.Undetermined}
	for _, test := range []struct {
		name     string
		findings []report.Finding
		fit      bool
		asked    int
	}{
		{"nothing else is missing", []report.Finding{unknown}, true, 2},
		{"a warning beside it", []report.Finding{{Rule: "pack.fit", Severity: report.Warning}, unknown}, true, 2},
		{"an error beside it", []report.Finding{unknown, {Rule: "acid.ratio", Severity: report.Error}}, false, 1},
	} {
		t.Run(test.name, func(t *testing.T) {
			k.asked = 0
			k.answer = func(r *document.Request) report.Report {
				if r.Kitchen != nil && *r.Kitchen.Elevation.Value == 0 {
					return matched(k.tables, recipe, report.Shelf)
				}
				hold := matched(k.tables, recipe, report.Hold)
				hold.Findings = test.findings
				return hold
			}
			if c := k.write(t, request, nil); c.Fit != test.fit || k.asked != test.asked {
				t.Errorf("fit %v after %d answers, want %v after %d", c.Fit, k.asked, test.fit, test.asked)
			}
		})
	}
}

// A time above 30 minutes takes 2 in of water over the lids (Complete Guide, 2015, p. 1-18).
func TestDepthOfWaterFollowsTheTimes(t *testing.T) {
	k := newKitchen(t)
	for _, test := range []struct {
		name    string
		minutes []float64
		want    string
	}{
		{"all short", []float64{10, 30}, "1 inch (25 mm) of water over the lids"},
		{"all long", []float64{31, 50}, "2 inches (50 mm) of water over the lids"},
		{"some long", []float64{30, 35}, "1 inch (25 mm) of water over the lids, and 2 inches (50 mm) where the time is over 30 minutes"},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := &builder{writer: &Writer{tables: k.tables}}
			for _, minutes := range test.minutes {
				b.card.Times = append(b.card.Times, report.AltitudeBand{Minutes: minutes})
			}
			if got := b.waterWords(); got != test.want {
				t.Errorf("%q, want %q", got, test.want)
			}
		})
	}
}

func TestMissingMembersOfThePublicationAreNamed(t *testing.T) {
	k := newKitchen(t)
	request, recipe := k.followed(t)
	k.answer = func(*document.Request) report.Report { return matched(k.tables, recipe, report.Shelf) }
	c := k.write(t, request, &document.Publication{Author: "The kitchen", Image: "https://example.org/beans.jpg"})
	if got := strings.Join(c.Missing, " "); got != "published description" {
		t.Errorf("missing %q", got)
	}
	l := c.Linked()
	if l.Author == nil || l.Author.Name != "The kitchen" || len(l.Image) != 1 || l.CookTime != "PT15M" || l.BasedOn == nil {
		t.Errorf("%+v", l)
	}
}

func TestSendersWordsStayTextInMarkdown(t *testing.T) {
	k := newKitchen(t)
	request, recipe := k.followed(t)
	request.Recipe.Name = "# <b>*Beans*</b>\n[x](y)"
	k.answer = func(*document.Request) report.Report { return matched(k.tables, recipe, report.Shelf) }
	var page strings.Builder
	c := k.write(t, request, nil)
	if err := c.Markdown(&page); err != nil {
		t.Fatal(err)
	}
	if first, _, _ := strings.Cut(page.String(), "\n"); first != `# \# &lt;b&gt;\*Beans\*&lt;/b&gt; \[x\](y)` {
		t.Errorf("the title is written %q", first)
	}
}

func TestBandsInWords(t *testing.T) {
	for _, test := range []struct {
		band report.AltitudeBand
		want string
	}{
		{report.AltitudeBand{ToFt: new(1000.0), ToM: new(304.8)}, "0 to 1,000 ft (0 to 305 m)"},
		{report.AltitudeBand{FromFt: 1001, FromM: 304.8, ToFt: new(6000.0), ToM: new(1828.8)}, "1,001 to 6,000 ft (305 to 1,829 m)"},
		{report.AltitudeBand{FromFt: 6001, FromM: 1828.8}, "over 6,000 ft (1,829 m)"},
	} {
		t.Run(test.want, func(t *testing.T) {
			if got := bandWords(test.band); got != test.want {
				t.Errorf("%q", got)
			}
		})
	}
}

// ISO 8601 durations, as schema.org has them.
func TestDurations(t *testing.T) {
	for _, test := range []struct {
		minutes float64
		want    string
	}{{-1, ""}, {0, ""}, {0.2, "PT1M"}, {59, "PT59M"}, {59.5, "PT1H"}, {60, "PT1H"}, {61, "PT1H1M"}, {120, "PT2H"}} {
		t.Run(fmt.Sprint(test.minutes), func(t *testing.T) {
			if got := duration(test.minutes); got != test.want {
				t.Errorf("%q, want %q", got, test.want)
			}
		})
	}
}
