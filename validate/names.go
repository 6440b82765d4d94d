package validate

import (
	"fmt"
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
			errors = append(errors, ingest.UnknownName("/recipe/jar", jar.ID, near, ids, "There is no jar of that name; use an id of /v1/jars or give capacity and interior_height."))
		}
	}
	if id := request.Recipe.Follows; id != "" {
		if _, ok := c.tables.Recipe(id); !ok {
			errors = append(errors, ingest.UnknownName("/recipe/follows", id, c.nearestRecipe(id), nil, "There is no tested recipe of that id; see /v1/recipes."))
		}
	}
	if len(errors) == 0 {
		return nil
	}
	return ingest.Invalid(errors)
}

// nearestRecipe is the recipe id that shares most words with a wrong one.
func (c *Checker) nearestRecipe(id string) string {
	best, most := "", 0
	for i := range c.tables.Recipes {
		shared := 0
		for _, word := range strings.FieldsFunc(strings.ToLower(id), func(r rune) bool { return r == '-' || r == ' ' || r == '_' }) {
			if strings.Contains(c.tables.Recipes[i].ID, word) {
				shared++
			}
		}
		if shared > most {
			best, most = c.tables.Recipes[i].ID, shared
		}
	}
	return best
}

// String names a rule set for logs and pages.
func (c *Checker) String() string {
	return fmt.Sprintf("rule set %s, %d rules", c.tables.Ruleset().Number, len(c.rules))
}
