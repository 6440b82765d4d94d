package validate

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/scanner"
	"go/token"
	"io/fs"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/table"
)

// copyOf stands before the id of a recipe that was copied.
const copyOf = "copy-of-"

// withCopies is a checker whose tables hold each tested recipe under another id, with the same tags.
func withCopies(t *testing.T) *Checker {
	t.Helper()
	files := fstest.MapFS{}
	err := fs.WalkDir(table.Files(), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := fs.ReadFile(table.Files(), name)
		files[name] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	const recipes = "tested_recipes.json"
	var copies []map[string]any
	if err := json.Unmarshal(files[recipes].Data, &copies); err != nil {
		t.Fatal(err)
	}
	for _, recipe := range copies {
		recipe["id"] = copyOf + recipe["id"].(string)
		if of, ok := recipe["variant_of"].(string); ok {
			recipe["variant_of"] = copyOf + of
		}
	}
	data, err := json.Marshal(copies)
	if err != nil {
		t.Fatal(err)
	}
	files[recipes] = &fstest.MapFile{Data: data}
	// Below its header each line of the table of steps begins with the id of its recipe.
	files["steps.csv"].Data = bytes.TrimSuffix(bytes.ReplaceAll(files["steps.csv"].Data, []byte("\n"), []byte("\n"+copyOf)), []byte(copyOf))
	// Each limit of a seasoning names the recipe that holds the most of it.
	for _, recipe := range copies {
		id := recipe["id"].(string)
		files["seasoning_limits.csv"].Data = bytes.ReplaceAll(files["seasoning_limits.csv"].Data, []byte(","+strings.TrimPrefix(id, copyOf)+","), []byte(","+id+","))
	}
	tables, err := catalog.LoadFrom(files)
	if err != nil {
		t.Fatal(err)
	}
	judge, err := newChecker(tables)
	if err != nil {
		t.Fatal(err)
	}
	return judge
}

// substituted is a request that makes one published substitution in one line of a recipe that is otherwise followed.
type substituted struct {
	name string
	by   *catalog.Item // the stand-in
	at   string
	body document.Request
}

// substitutions writes a request for each line that a substitution speaks of and each food that may stand there.
func substitutions(t *testing.T, recipe *catalog.TestedRecipe, s *catalog.Substitution) []substituted {
	t.Helper()
	var all []substituted
	for pack := range recipe.Packs {
		jar := recipe.Packs[pack].Jars[0]
		for line := range recipe.Ingredients {
			printed := &recipe.Ingredients[line]
			item, _ := checker.tables.Item(printed.Item)
			role := printed.Role
			if role == "acid" && printed.GoesInto == "partly" {
				role = "soak_acid"
			}
			if !slices.Contains(s.Roles, role) || !s.Replace.Hold(item) || printed.GoesInto == "discarded" || printed.Amount == nil {
				continue
			}
			for i := range checker.tables.Items {
				by := &checker.tables.Items[i]
				name := by.Name
				if by.ID == item.ID && len(by.Aliases) > 0 {
					name = by.Aliases[0] // a red onion for an onion
				}
				if name == item.Name || !s.By.Hold(by) {
					continue
				}
				minutes, _ := follow.MinutesAt(checker.tables, recipe, pack, jar, 0)
				request, err := follow.Request(checker.tables, recipe, follow.Choice{Pack: pack, Jar: jar, Minutes: minutes})
				if err != nil {
					t.Fatal(err)
				}
				at := slices.IndexFunc(request.Recipe.Ingredients, func(i document.Ingredient) bool {
					found, _ := checker.tables.Resolve(i.Item)
					return found.Item != nil && found.Item.ID == item.ID
				})
				if at < 0 {
					continue // another alternative of the recipe is followed
				}
				changed := &request.Recipe.Ingredients[at]
				changed.Item = name
				if !weighed(changed, item) {
					continue
				}
				if by.Family != "vinegar" {
					changed.AcidityPercent = nil
				}
				all = append(all, substituted{
					name: fmt.Sprintf("%s/%s/%s for %s", s.ID, recipe.Packs[pack].Pack, by.ID, item.ID), by: by,
					at: fmt.Sprintf("/recipe/ingredients/%d/item", at), body: request,
				})
			}
		}
	}
	return all
}

// weighed turns a number of pieces into their weight, because what stands in is held to the same weight and not to the same
// number (c033); it reports false where no weight of a piece is published.
func weighed(line *document.Ingredient, item *catalog.Item) bool {
	unit, _ := checker.units.Lookup(line.Amount.Unit)
	if unit.Dimension != measure.DimensionCount {
		return true
	}
	low, _, ok := checker.scale.Grams(item, composition.ReadForm(line.Form), *line.Amount.Value, unit)
	line.Amount = &document.Quantity{Value: &low, Unit: "g"}
	return ok
}

// TestCopiesAreJudgedAsTheirOriginals follows every tested recipe and a copy of it under another id, to the letter and with
// every published substitution: the reports are the same but for the id.
func TestCopiesAreJudgedAsTheirOriginals(t *testing.T) {
	judge := withCopies(t)
	used := map[string]int{}
	for i := range checker.tables.Recipes {
		recipe := &checker.tables.Recipes[i]
		t.Run(recipe.ID, func(t *testing.T) {
			requests := []substituted{{name: "followed", body: plainly(t, recipe)}}
			for j := range checker.tables.Substitutions {
				if s := &checker.tables.Substitutions[j]; s.AppliesIn(recipe) {
					made := substitutions(t, recipe, s)
					used[s.ID] += len(made)
					requests = append(requests, made...)
				}
			}
			for _, r := range requests {
				for _, named := range []bool{false, true} {
					want, got := judgment(t, checker, r.body, recipe.ID, named), judgment(t, judge, r.body, copyOf+recipe.ID, named)
					if got := strings.ReplaceAll(got, copyOf, ""); got != want {
						t.Errorf("%s, named %v: the copy is judged otherwise:\n%s\n%s", r.name, named, got, want)
					}
				}
			}
		})
	}
	for _, s := range checker.tables.Substitutions {
		if used[s.ID] == 0 {
			t.Errorf("%s was tried in no recipe", s.ID)
		}
	}
}

// plainly follows the recipe in its first pack and jar; of one that prints no pack it is the list of foods alone.
func plainly(t *testing.T, recipe *catalog.TestedRecipe) document.Request {
	t.Helper()
	if len(recipe.Packs) > 0 {
		request, err := follow.Request(checker.tables, recipe, follow.Choice{Jar: recipe.Packs[0].Jars[0]})
		if err != nil {
			t.Fatal(err)
		}
		return request
	}
	request := document.Request{Recipe: document.Recipe{Kind: recipe.Kind, Keep: recipe.Keep}}
	for i := range recipe.Ingredients {
		line := &recipe.Ingredients[i]
		request.Recipe.Ingredients = append(request.Recipe.Ingredients,
			document.Ingredient{Item: line.Item, Form: line.Form, Amount: &document.Quantity{Value: line.Amount, Unit: line.Unit}, Per: document.PerBatch})
	}
	return request
}

// judgment is the report as JSON without the hashes of the tables; named says whether the request names the recipe it follows.
func judgment(t *testing.T, judge *Checker, request document.Request, id string, named bool) string {
	t.Helper()
	if named {
		request.Recipe.Follows = id
	}
	r := judge.Run(&request, report.Options{})
	r.Meta.Tables = nil
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestSubstitutionsAreRecognized makes every published substitution in every recipe that it speaks of: the report names the
// change that allows it, and nothing says that the food does not belong there.
func TestSubstitutionsAreRecognized(t *testing.T) {
	for i := range checker.tables.Recipes {
		recipe := &checker.tables.Recipes[i]
		for j := range checker.tables.Substitutions {
			s := &checker.tables.Substitutions[j]
			if !s.AppliesIn(recipe) {
				continue
			}
			for _, made := range substitutions(t, recipe, s) {
				t.Run(recipe.ID+"/"+made.name, func(t *testing.T) {
					made.body.Recipe.Follows = recipe.ID
					r := checker.Run(&made.body, report.Options{})
					recognized := s.Verdict == catalog.SameFood
					for _, d := range r.Process.Departures {
						recognized = recognized || d.At == made.at && d.Judged == "safe" && slices.Contains(d.Changes, s.Changes[0])
						if d.At == made.at && d.Judged != "safe" {
							t.Errorf("%s: %s", d.Judged, d.What)
						}
					}
					if !recognized && !holds(recipe, made.by) {
						t.Errorf("no safe departure at %s names %s", made.at, s.Changes[0])
					}
				})
			}
		}
	}
}

// holds reports whether the recipe itself prints the item, so that it is no stand-in.
func holds(recipe *catalog.TestedRecipe, by *catalog.Item) bool {
	return slices.ContainsFunc(recipe.Ingredients, func(line catalog.TestedIngredient) bool {
		return line.Item == by.ID
	})
}

// changeID is how ids of published changes look.
var changeID = regexp.MustCompile(`\bc[0-9]{3}\b`)

// allowanceNamed is a number given to a name for what is allowed; the tables have those.
var allowanceNamed = regexp.MustCompile(`(?i)^\w*(rounding|tolerance|slack|allowance)\w*\s*(\w+\s*)?:?=\s*[0-9][0-9.e+-]*\s*(//.*)?$`)

// ordinaryWords are ids of recipes that are words of the language too, by the package that reads titles.
var ordinaryWords = map[string]string{"sauerkraut": "validate/draft/", "piccalilli": "validate/draft/"}

// notOfKitchens are packages whose tolerances are none of a kitchen: steps of a numerical search, and how finely shopping
// lists are rounded, which judges nothing.
var notOfKitchens = []string{
	"validate/acidity/equilibrium.go", "validate/heating/", "validate/plan/", "validate/measure/", "validate/draft/",
	"validate/ingest/",
}

// TestNoKnowledgeInCode holds that no id of a recipe, no id of a change and no tolerance stands in Go outside tests.
func TestNoKnowledgeInCode(t *testing.T) {
	recipes := map[string]bool{}
	for _, recipe := range checker.tables.Recipes {
		recipes[recipe.ID] = true
	}
	changes := map[string]bool{}
	for _, change := range checker.tables.Changes {
		changes[change.ID] = true
	}
	files := 0
	err := fs.WalkDir(os.DirFS(".."), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() && name != "." && strings.HasPrefix(entry.Name(), ".") {
			return cmpErr(err, fs.SkipDir)
		}
		if path.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		files++
		text, err := os.ReadFile("../" + name)
		if err != nil {
			return err
		}
		for _, found := range knowledgeIn(name, text, recipes, changes) {
			t.Error(found)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 100 {
		t.Errorf("only %d files were read", files)
	}
}

func cmpErr(err, otherwise error) error {
	if err != nil {
		return err
	}
	return otherwise
}

// knowledgeIn lists the ids and tolerances that a Go file holds.
func knowledgeIn(name string, text []byte, recipes, changes map[string]bool) []string {
	var found []string
	for number, line := range strings.Split(string(text), "\n") {
		for _, id := range changeID.FindAllString(line, -1) {
			if changes[id] {
				found = append(found, fmt.Sprintf("%s:%d: change %s", name, number+1, id))
			}
		}
		ours := strings.HasPrefix(name, "validate/") && !slices.ContainsFunc(notOfKitchens, func(prefix string) bool { return strings.HasPrefix(name, prefix) })
		if ours && allowanceNamed.MatchString(strings.TrimPrefix(strings.TrimSpace(line), "const ")) {
			found = append(found, fmt.Sprintf("%s:%d: tolerance %s", name, number+1, strings.TrimSpace(line)))
		}
	}
	var words scanner.Scanner
	set := token.NewFileSet()
	words.Init(set.AddFile(name, -1, len(text)), text, nil, scanner.ScanComments)
	for {
		position, tok, literal := words.Scan()
		if tok == token.EOF {
			return found
		}
		word := strings.Trim(literal, "\"`")
		if folder, ordinary := ordinaryWords[word]; ordinary && strings.HasPrefix(name, folder) {
			continue
		}
		if tok == token.STRING && recipes[word] {
			found = append(found, fmt.Sprintf("%s: recipe %s", set.Position(position), literal))
		}
	}
}

// The test above finds what it looks for.
func TestKnowledgeInCodeIsFound(t *testing.T) {
	recipes, changes := map[string]bool{"choice-salsa": true}, map[string]bool{"c031": true}
	for text, want := range map[string]int{
		"package x\nvar a = \"choice-salsa\"":        1,
		"package x\nvar a = `choice-salsa`":          1,
		"package x\nvar a = \"choice-salsa-mild\"":   0,
		"package x\nvar a = \"c031\" // c031":        2,
		"package x\n// see change c031":              1,
		"package x\nvar a = \"c999\"":                0,
		"package x\nconst depthRounding = 0.02":      1,
		"package x\nconst (\n\therbSlack = 2\n)":     1,
		"package x\nfunc f() { tolerance := 1e-9 }":  0, // not at the start of its line
		"package x\n\ttolerance := g()":              0,
		"package x\n\ttolerance := 1 + g()":          0,
		"package x\n\tvar slack float64 = 2 // ours": 0, // a declaration with var is none of ours
	} {
		if got := knowledgeIn("validate/x.go", []byte(text), recipes, changes); len(got) != want {
			t.Errorf("%q: %q, want %d", text, got, want)
		}
	}
}
