package draft_test

import (
	"bufio"
	"encoding/json"
	"flag"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"jarwright/validate/catalog"
	"jarwright/validate/draft"
	"jarwright/validate/draft/amount"
	"jarwright/validate/report"
)

var archivePath = flag.String("archive", "",
	`a text file of recipes to be read: a line "# title", then the ingredient lines; no such data stand in the project`)

// TestNothingOfWholeRecipesVanishes reads recipes of others and holds that nothing vanishes: every source line is told, each goes into the
// request, the request is one that the service takes, and a line that plainly names an acid, salt or water is one. It lists
// the lines that hold a food the catalog does not know. It is skipped without data:
//
//	go test ./validate/draft -run WholeRecipes -v -archive recipes.txt
func TestNothingOfWholeRecipesVanishes(t *testing.T) {
	if *archivePath == "" {
		t.Skip("whole recipes of others may not be part of the project: give a file of them with -archive")
	}
	var a archived
	for _, lines := range archive(t) {
		a.recipes++
		d := drafted(t, recipe(t, lines))
		text, err := json.Marshal(d.Request)
		if err != nil {
			t.Fatal(err)
		}
		if _, problem := checker.Check(nil, text, report.Options{}); problem != nil {
			t.Errorf("the request is refused: %+v\n%s", problem.Errors, text)
		}
		for i, line := range lines {
			a.add(t, &d, i, line)
		}
	}
	t.Logf("%d recipes, %d lines; %d plainly acid, salt or water, %d of them not read so", a.recipes, a.lines, a.plain, a.wrong)
	t.Logf("%d lines name a food of the catalog that is neither an ingredient nor an alternative of one; a reader has to judge them", len(a.notTaken))
	for _, line := range a.notTaken {
		t.Logf("    not taken: %s", line)
	}
	t.Logf("%d lines with a food that is not known", len(a.notKnown))
	for _, line := range a.notKnown {
		t.Logf("    not known: %s", line)
	}
}

// archived is what became of the lines of many recipes.
type archived struct {
	recipes, lines     int
	plain, wrong       int // lines that plainly name an acid, salt or water, and those of them not read so
	notKnown, notTaken []string
}

// add holds that one line of a recipe is told and goes into the request.
func (a *archived) add(t *testing.T, d *draft.Draft, i int, line string) {
	t.Helper()
	a.lines++
	of := linesOf(d, i)
	if len(of) == 0 {
		t.Errorf("%q vanished", line)
		return
	}
	for j := range of {
		if of[j].Kind == draft.LineIngredient && len(of[j].Into) == 0 {
			t.Errorf("%q went nowhere", line)
		}
		if of[j].Kind == draft.LineIngredient && !of[j].Understood {
			a.notKnown = append(a.notKnown, line)
		}
	}
	if food := notTaken(d, of, line); food != "" {
		a.notTaken = append(a.notTaken, line+": "+food)
	}
	if kind := plainKind(line); kind != "" {
		if a.plain++; !intoKind(d, of, kind) {
			a.wrong++
			t.Logf("plainly %s, and not read so: %q", kind, line)
		}
	}
}

func archive(t *testing.T) [][]string {
	t.Helper()
	file, err := os.Open(*archivePath)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var recipes [][]string
	scanner := bufio.NewScanner(file)
	for scanner.Scan() {
		line := strings.TrimSpace(scanner.Text())
		switch {
		case strings.HasPrefix(line, "# "):
			recipes = append(recipes, nil)
		case line != "" && len(recipes) > 0:
			recipes[len(recipes)-1] = append(recipes[len(recipes)-1], line)
		}
	}
	if err := scanner.Err(); err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(recipes, func(lines []string) bool { return len(lines) == 0 })
}

// linesOf are the lines of the draft that come from one line of the source.
func linesOf(d *draft.Draft, i int) []draft.Line {
	at := "/recipeIngredient/" + strconv.Itoa(i)
	return slices.DeleteFunc(slices.Clone(d.Lines), func(line draft.Line) bool { return line.At != at })
}

// notTaken finds a food, acid, salt or water that a line names and the draft passes over.
func notTaken(d *draft.Draft, lines []draft.Line, text string) string {
	words := strings.FieldsFunc(strings.ToLower(amount.PlainText(text)), func(r rune) bool { return !unicode.IsLetter(r) })
	for size := 3; size >= 1; size-- {
		for at := 0; at+size <= len(words); at++ {
			name := strings.Join(words[at:at+size], " ")
			found, known := checker.Tables().Resolve(name)
			if !known {
				continue
			}
			switch found.Item.Class {
			case catalog.LowAcid, catalog.AcidFood, catalog.Acid, catalog.Salt, catalog.Water:
			default:
				continue
			}
			if !isTaken(d, lines, found.Item, name) {
				return name
			}
			words = slices.Delete(words, at, at+size) // its parts are not looked up again
			at--
		}
	}
	return ""
}

// isTaken tells whether an item is among the ingredients of the lines, or among what stood beside them as a choice.
func isTaken(d *draft.Draft, lines []draft.Line, item *catalog.Item, name string) bool {
	for i := range lines {
		for _, into := range lines[i].Into {
			index, err := strconv.Atoi(strings.TrimPrefix(into, "/recipe/ingredients/"))
			if err != nil {
				return false
			}
			taken, known := checker.Tables().Item(d.Request.Recipe.Ingredients[index].Item)
			if !known || taken.Family == item.Family {
				return true // what is not known counts as low-acid food
			}
		}
		for _, told := range append(slices.Clone(lines[i].Alternatives), lines[i].Item) {
			if strings.Contains(catalog.Fold(told), catalog.Fold(name)) {
				return true
			}
		}
	}
	return false
}

// plainly are lines that nobody would take for another thing: the food ends the line, or a mark follows it.
var plainly = []struct {
	kind    string
	pattern *regexp.Regexp
}{
	{"acid", regexp.MustCompile(`(?i)^[\d ./½¼¾⅓⅔⅛-]*(c|cups?|tbsp|tablespoons?|tsp|teaspoons?|quarts?|pints?|ml|l|liters?|gallons?)?\.? *(of )?` +
		`((apple|apple cider|cider|white|white wine|white-wine|red wine|red-wine|wine|malt|rice|distilled|distilled white|pickling|balsamic|sherry) )*` +
		`(vinegar|lemon juice|lime juice|citric acid)( *[,(].*)?$`)},
	{"salt", regexp.MustCompile(`(?i)^[\d ./½¼¾⅓⅔⅛-]*(c|cups?|tbsp|tablespoons?|tsp|teaspoons?|pounds?|lbs?|oz|ounces?|g|kg)?\.? *(of )?` +
		`((sea|kosher|canning|pickling|coarse|fine|table|plain|rock|or) )*salt( *[,(].*)?$`)},
	{"water", regexp.MustCompile(`(?i)^[\d ./½¼¾⅓⅔⅛-]*(c|cups?|tbsp|tablespoons?|quarts?|pints?|ml|l|liters?|gallons?)?\.? *(of )?` +
		`((cold|hot|warm|boiling|ice|tap) )*water( *[,(].*)?$`)},
}

func plainKind(line string) string {
	for _, p := range plainly {
		if p.pattern.MatchString(line) {
			return p.kind
		}
	}
	return ""
}

func intoKind(d *draft.Draft, lines []draft.Line, kind string) bool {
	for i := range lines {
		for _, into := range lines[i].Into {
			one := *d
			index, err := strconv.Atoi(strings.TrimPrefix(into, "/recipe/ingredients/"))
			if err != nil {
				return false
			}
			one.Request.Recipe.Ingredients = d.Request.Recipe.Ingredients[index : index+1]
			if isKind(&one, kind) {
				return true
			}
		}
	}
	return false
}
