package validate

import (
	"fmt"
	"strconv"
	"strings"

	"jarwright/validate/document"
	"jarwright/validate/ingest"
)

// names checks the names that the schema cannot: a jar and a tested recipe must exist in the tables. An unknown food is
// not an error of the request; a rule speaks of it.
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
	if len(errors) == 0 {
		return nil
	}
	return ingest.Invalid(errors)
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
