package card

import (
	"fmt"
	"math"
	"strings"

	"jarwright/validate/plaintext"
	"jarwright/validate/plan"
)

// Linked is the card as a schema.org Recipe in JSON-LD, with the properties that search engines document as required or
// recommended, as far as the card knows them. Times are generous: a reader may live higher than the writer. It is read by
// programs that show it to people: its texts have nothing but what is to look at, and its addresses are of http or https.
type Linked struct {
	Context      string       `json:"@context"`
	Type         string       `json:"@type"`
	Name         string       `json:"name"`
	Status       string       `json:"creativeWorkStatus,omitempty"` // set when the recipe is not fit to keep
	Description  string       `json:"description"`
	Image        []string     `json:"image,omitempty"`
	Author       *LinkedThing `json:"author,omitempty"`
	Published    string       `json:"datePublished,omitempty"`
	URL          string       `json:"url,omitempty"`
	Language     string       `json:"inLanguage"`
	Yield        string       `json:"recipeYield,omitempty"`
	Category     string       `json:"recipeCategory"`
	Method       string       `json:"cookingMethod,omitempty"`
	Keywords     string       `json:"keywords,omitempty"`
	PrepTime     string       `json:"prepTime,omitempty"`
	CookTime     string       `json:"cookTime,omitempty"` // in the canner at the highest elevation
	TotalTime    string       `json:"totalTime,omitempty"`
	Ingredients  []string     `json:"recipeIngredient"`
	Instructions []LinkedStep `json:"recipeInstructions"`
	BasedOn      *LinkedThing `json:"isBasedOn,omitempty"`
	Citations    []string     `json:"citation,omitempty"`
}

// LinkedThing is a person, an organization or a work.
type LinkedThing struct {
	Type string `json:"@type"`
	Name string `json:"name"`
}

// LinkedStep is one HowToStep.
type LinkedStep struct {
	Type string `json:"@type"`
	Name string `json:"name"`
	Text string `json:"text"`
}

// Linked turns the card into JSON-LD.
func (c *Card) Linked() Linked {
	l := Linked{
		Context: "https://schema.org", Type: "Recipe", Name: plaintext.Line(c.Title), Description: c.Notice, Published: c.Published, Language: "en",
		Yield: c.Yield, Category: "Pickles and preserves", Keywords: strings.Join(c.keywords, ", "),
		Ingredients: []string{}, Instructions: []LinkedStep{},
	}
	description := plaintext.Line(c.Description)
	if description != "" {
		l.Description = description + " " + c.Notice
	}
	if !c.Fit {
		l.Description = strings.TrimSpace(c.Notice + " " + description)
		l.Status = "Not fit for the shelf"
	}
	if plaintext.IsLink(c.URL) {
		l.URL = c.URL
	}
	if plaintext.IsLink(c.Image) {
		l.Image = []string{c.Image}
	}
	if c.Author != "" {
		l.Author = &LinkedThing{Type: "Organization", Name: plaintext.Line(c.Author)} // a name of the vocabulary
	}
	if c.basedOn != nil {
		l.BasedOn = &LinkedThing{Type: "CreativeWork", Name: c.basedOn.Title}
	}
	for _, source := range c.Sources {
		l.Citations = append(l.Citations, source.Title)
	}
	for i := range c.Ingredients {
		l.Ingredients = append(l.Ingredients, line(&c.Ingredients[i]))
	}
	if !c.Fit {
		l.Instructions = append(l.Instructions, LinkedStep{"HowToStep", "Stop", c.Notice})
	}
	for _, step := range c.Steps {
		l.Instructions = append(l.Instructions, LinkedStep{"HowToStep", step.Title, step.Text})
	}
	for _, text := range c.Storage {
		l.Instructions = append(l.Instructions, LinkedStep{"HowToStep", "Keep", text})
	}
	if c.Fit {
		l.PrepTime = duration(c.prepare)
		l.TotalTime = duration(c.prepare + c.longest)
	}
	if c.longest > 0 {
		l.CookTime = duration(c.longest)
		l.Method = "Boiling-water canning"
	}
	return l
}

func duration(minutes float64) string {
	whole := int(math.Ceil(minutes))
	switch {
	case whole <= 0:
		return ""
	case whole < 60:
		return fmt.Sprintf("PT%dM", whole)
	case whole%60 == 0:
		return fmt.Sprintf("PT%dH", whole/60)
	}
	return fmt.Sprintf("PT%dH%dM", whole/60, whole%60)
}

// line is one ingredient as one text, the amount first, as readers and programs expect it.
func line(in *plan.Ingredient) string {
	text := in.Item
	switch {
	case in.PerJar && in.Jar != nil:
		text = amount(in.Jar.Household.Text, in.Jar.Metric.Text) + " " + text
	case in.Batch != nil && in.Batch.Household.Unit == "":
		text += ", " + in.Batch.Household.Text
	case in.Batch != nil:
		text = amount(in.Batch.Household.Text, in.Batch.Metric.Text) + " " + text
	}
	if in.Form != "" {
		text += ", " + in.Form
	}
	if in.Note != "" {
		text += ", " + in.Note
	}
	if in.PerJar {
		text += ", for each jar"
	}
	if in.Drained {
		text += ", poured away or taken out"
	}
	return text
}

func amount(household, metric string) string {
	if household == metric {
		return household
	}
	return household + " (" + metric + ")"
}
