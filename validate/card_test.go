package validate

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"jarwright/schemas"
	"jarwright/validate/card"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

func cardFor(t *testing.T, body []byte) card.Card {
	t.Helper()
	made, problem := checker.Card(nil, body)
	if problem != nil {
		t.Fatalf("refused: %+v\n%s", problem, body)
	}
	return made
}

// TestCardsOfTheCorpus writes the card of every tested recipe done right: the notice, the times and the steps are those
// of the recipe, and the JSON-LD is as its schema has it.
func TestCardsOfTheCorpus(t *testing.T) {
	schema, err := schemas.Compile(schemas.RecipeLDName)
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range fileNames(t, ".json", "testdata", "corpus") {
		body := readFile(t, "testdata", "corpus", file)
		c, r := cardFor(t, body), checkBytes(t, body)
		if c.Disposition != r.Disposition {
			t.Errorf("%s: the card says %s, the report %s", file, c.Disposition, r.Disposition)
		}
		if c.Fit != (r.Disposition == report.Shelf || r.Disposition == report.Refrigerate) || c.Fit != (len(c.Problems) == 0) || c.Fit != (len(c.Steps) > 0) {
			t.Errorf("%s: fit %v, %d problems, %d steps", file, c.Fit, len(c.Problems), len(c.Steps))
		}
		if r.Disposition == report.Shelf {
			timesOf(t, file, &c, r)
		} else if len(c.Times) > 0 {
			t.Errorf("%s: times, though it is not for the shelf", file)
		}
		text, err := json.Marshal(c.Linked())
		if err != nil {
			t.Fatal(err)
		}
		var linked any
		if err := json.Unmarshal(text, &linked); err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(linked); err != nil {
			t.Errorf("%s: the JSON-LD: %v", file, err)
		}
		if got := len(c.Linked().Ingredients); got != len(c.Ingredients) {
			t.Errorf("%s: %d lines in the JSON-LD, %d on the card", file, got, len(c.Ingredients))
		}
	}
}

// timesOf holds the times of a card to every band of the tables, in the table and in the words of the step.
func timesOf(t *testing.T, file string, c *card.Card, r report.Report) {
	t.Helper()
	if len(c.Times) != len(r.AltitudeTable) {
		t.Errorf("%s: %d bands on the card, %d in the report", file, len(c.Times), len(r.AltitudeTable))
		return
	}
	words := ""
	for _, step := range c.Steps {
		if step.Title == "Process" {
			words = step.Text
		}
	}
	for i, band := range c.Times {
		if band.Minutes != r.AltitudeTable[i].Minutes || band.Here {
			t.Errorf("%s: band %d is %+v", file, i, band)
		}
		if !strings.Contains(words, fmt.Sprintf("%v minutes at", band.Minutes)) {
			t.Errorf("%s: the step does not say %v minutes: %s", file, band.Minutes, words)
		}
	}
	// usda-2015, p. 1-14: sterile jars where the process is under 10 minutes, at whatever elevation that is.
	if short := c.Times[0].Minutes < 10; short != strings.Contains(c.Steps[0].Text, "Sterilize the jars") {
		t.Errorf("%s: %v minutes, and the jars: %s", file, c.Times[0].Minutes, c.Steps[0].Text)
	}
}

// TestUnfitCardsSaySo writes the card of every unsafe change: it says so first and has nothing that could be followed.
func TestUnfitCardsSaySo(t *testing.T) {
	count := 0
	for _, v := range sample(variants(t), 7) {
		r, _ := answer(v.body)
		if r.Disposition != report.Hold {
			continue
		}
		c := cardFor(t, v.body)
		if c.Disposition == report.Shelf {
			t.Errorf("%s: fit for the shelf by the card", v.name)
		}
		if !c.Fit {
			count++
			var text bytes.Buffer
			if err := c.Markdown(&text); err != nil {
				t.Fatal(err)
			}
			lines := strings.SplitN(text.String(), "\n", 4)
			linked := c.Linked()
			if !strings.HasPrefix(c.Notice, "NOT FIT FOR THE SHELF") || !strings.Contains(lines[2], "NOT FIT") || len(c.Steps) > 0 || len(c.Times) > 0 ||
				linked.Status == "" || !strings.HasPrefix(linked.Description, "NOT FIT") || !strings.Contains(linked.Instructions[0].Text,
				"NOT FIT") || linked.CookTime != "" {
				t.Errorf("%s: does not say so everywhere", v.name)
			}
		}
	}
	if count < 50 {
		t.Errorf("only %d cards were unfit", count)
	}
}

// TestCardWithoutAKitchen is for readers of any elevation: not saying one is no fault, a time that is too short is.
func TestCardWithoutAKitchen(t *testing.T) {
	request := corpusRequest(t, "quick-fresh-pack-dill-pickles", func(*document.PlanRequest) {})
	ask := func(minutes float64) card.Card {
		recipe := request.Recipe
		process := *recipe.Process
		process.Time = new(amount(minutes, "min"))
		recipe.Process = &process
		body, err := json.Marshal(document.CardRequest{Recipe: recipe})
		if err != nil {
			t.Fatal(err)
		}
		return cardFor(t, body)
	}
	if c := ask(10); c.Disposition != report.Shelf || len(c.Times) != 3 {
		t.Errorf("the time of the lowest band: %s, %d bands", c.Disposition, len(c.Times))
	}
	if c := ask(9); c.Fit {
		t.Error("a time below the lowest band is fit")
	}
}

// TestCardAmounts reads the amounts of a tested recipe back: 8 lb of cucumbers and 6 cups of vinegar for 9 pints (usda-2015,
// p. 6-10), in both systems.
func TestCardAmounts(t *testing.T) {
	c := cardFor(t, readFile(t, "testdata", "corpus", "quick-fresh-pack-dill-pickles.json"))
	want := map[string][4]string{
		"cucumber":     {"8 lb", "3.6 kg", "14 oz", "400 g"},
		"vinegar":      {"6 cups", "1.42 L", "2/3 cup", "160 mL"},
		"mustard seed": {"3 tbsp", "about 35 g", "1 tsp", "about 3.5 g"},
	}
	for _, in := range c.Ingredients {
		expected, ok := want[in.Item]
		if !ok {
			continue
		}
		delete(want, in.Item)
		if got := [4]string{in.Batch.Household.Text, in.Batch.Metric.Text, in.Jar.Household.Text, in.Jar.Metric.Text}; got != expected {
			t.Errorf("%s: %q, want %q", in.Item, got, expected)
		}
	}
	if len(want) > 0 {
		t.Errorf("not on the card: %v", want)
	}
	if linked := c.Linked(); linked.Yield != "9 jars, pint (16 fl oz)" || linked.CookTime != "PT20M" || linked.BasedOn == nil {
		t.Errorf("%+v", linked)
	}
}

// TestCardsStayText writes a card whose name and items are markup.
func TestCardsStayText(t *testing.T) {
	body := []byte(`{"recipe":{"name":"<script>alert(1)</script>|*x*","ingredients":[{"item":"<img src=x onerror=y>","per":"jar","form":"a|b"}]},"publication":{"author":"<b>","description":"[x](javascript:alert(1))"}}`)
	c := cardFor(t, body)
	var text bytes.Buffer
	if err := c.Markdown(&text); err != nil {
		t.Fatal(err)
	}
	for _, markup := range []string{"<script", "<img", "<b>", "[x](", "|*x*", "a|b"} {
		if strings.Contains(text.String(), markup) {
			t.Errorf("%q got through:\n%s", markup, text.String())
		}
	}
}
