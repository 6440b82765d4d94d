package validate

import (
	"fmt"
	"strconv"
	"strings"

	"jarwright/validate/document"
	"jarwright/validate/ingest"
)

// names checks the names that the schema cannot: a jar and a tested recipe must exist in the tables, and no two jars of a canning
// day go by one id. An unknown food is not an error of the request; a rule speaks of it.
func (c *Checker) names(request *document.Request) *ingest.Problem {
	var errors []ingest.Error
	if jar := request.Recipe.Jar; jar != nil && jar.ID != "" {
		if _, ok := c.tables.Jar(jar.ID); !ok {
			near, _ := c.tables.NearestJar(jar.ID)
			var ids []string
			for i := range c.tables.Jars {
				ids = append(ids, c.tables.Jars[i].ID)
			}
			errors = append(errors, ingest.UnknownName("/recipe/jar", jar.ID, near, ids,
				"There is no jar of that name; use an id of /v1/jars or give capacity and interior_height."))
		}
	}
	if id := request.Recipe.Follows; id != "" {
		if _, ok := c.tables.Recipe(id); !ok {
			near, _ := c.tables.NearestRecipe(id)
			errors = append(errors, ingest.UnknownName("/recipe/follows", id, near, nil, "There is no tested recipe of that id; see /v1/recipes."))
		}
	}
	errors = append(errors, linesOfSteps(&request.Recipe)...)
	if request.Batch != nil {
		errors = append(errors, sameNames(request.Batch.Jars)...)
	}
	if len(errors) == 0 {
		return nil
	}
	return ingest.Invalid(errors)
}

// sameNames names the jars of a canning day that go by the same id, each with the place of another: what is recorded of one of
// them cannot be told from what is recorded of the other.
func sameNames(jars []document.BatchJar) []ingest.Error {
	first := make(map[string]int, len(jars))
	other := make([]int, len(jars)) // the place of another jar of the same id, counted from 1
	for i := range jars {
		k, taken := first[jars[i].ID]
		if !taken {
			first[jars[i].ID] = i
			continue
		}
		other[i] = k + 1
		if other[k] == 0 {
			other[k] = i + 1
		}
	}
	const detail = "Two jars go by this id, so it cannot be told which is which; give each its own."
	at := func(i int) string { return fmt.Sprintf("/batch/jars/%d/id", i) }
	var errors []ingest.Error
	for i := range jars {
		if other[i] > 0 {
			errors = append(errors, ingest.DuplicateID(at(i), jars[i].ID, at(other[i]-1), detail))
		}
	}
	return errors
}

// String names a rule set for logs and pages.
func (c *Checker) String() string {
	return fmt.Sprintf("rule set %s, %d rules", c.tables.Ruleset().Number, len(c.rules))
}

// linesOfSteps are the errors of steps that are about a line the recipe does not have.
func linesOfSteps(recipe *document.Recipe) []ingest.Error {
	var errors []ingest.Error
	for i := range recipe.Steps {
		at := recipe.Steps[i].At
		if at == "" {
			continue
		}
		number, isLine := strings.CutPrefix(at, "/recipe/ingredients/")
		index, err := strconv.Atoi(number)
		if !isLine || err != nil || index >= len(recipe.Ingredients) || strconv.Itoa(max(index, 0)) != number {
			errors = append(errors, ingest.UnknownName("/recipe/steps/"+strconv.Itoa(i)+"/at", at, "", nil, "The recipe has no such line."))
		}
	}
	return errors
}
