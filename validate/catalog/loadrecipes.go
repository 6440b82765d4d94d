package catalog

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"

	"github.com/go-json-experiment/json"
)

func (l *loader) loadRecipes() error {
	const name = "tested_recipes.json"
	data, err := fs.ReadFile(l.files, name)
	if err != nil {
		return fmt.Errorf("read %s: %w", name, err)
	}
	var recipes []TestedRecipe
	if err := json.Unmarshal(data, &recipes, json.RejectUnknownMembers(true)); err != nil {
		return fmt.Errorf("read %s: %w", name, err)
	}
	for i := range recipes {
		recipe := &recipes[i]
		if _, taken := l.tables.recipes[recipe.ID]; taken || recipe.ID == "" {
			return fmt.Errorf("read %s: id %q is empty or stands twice", name, recipe.ID)
		}
		l.tables.recipes[recipe.ID] = i
		if err := l.checkRecipe(recipe); err != nil {
			return fmt.Errorf("read %s (%s): %w", name, recipe.ID, err)
		}
	}
	for _, recipe := range recipes {
		if _, found := l.tables.recipes[recipe.VariantOf]; recipe.VariantOf != "" && !found {
			return fmt.Errorf("read %s (%s): variant of the unknown %q", name, recipe.ID, recipe.VariantOf)
		}
	}
	l.tables.Recipes = recipes
	return nil
}

func (l *loader) checkRecipe(recipe *TestedRecipe) error {
	if err := l.checkCitation(recipe.Citation); err != nil {
		return err
	}
	for i := range recipe.Ingredients {
		line := &recipe.Ingredients[i]
		if _, found := l.tables.items[line.Item]; !found {
			return fmt.Errorf("ingredient %d: unknown item %q", i, line.Item)
		}
		if err := l.checkUnit(line.Unit); err != nil {
			return fmt.Errorf("ingredient %d: %w", i, err)
		}
		if line.Per != "batch" && line.Per != "jar" {
			if err := l.checkJar(line.Per); err != nil {
				return fmt.Errorf("ingredient %d: %w", i, err)
			}
		}
		if line.AmountMax == nil {
			line.AmountMax = line.Amount
		} else if line.Amount == nil || *line.AmountMax < *line.Amount {
			return fmt.Errorf("ingredient %d: the range of amounts ends before it starts", i)
		}
	}
	for i, pack := range recipe.Packs {
		for _, jar := range pack.Jars {
			if err := l.checkJar(jar); err != nil {
				return fmt.Errorf("pack %d: %w", i, err)
			}
		}
		for _, schedule := range pack.Schedules {
			if _, found := l.tables.schedules[schedule]; !found {
				return fmt.Errorf("pack %d: unknown schedule %q", i, schedule)
			}
		}
		if err := l.checkJarClass(recipe, &pack); err != nil {
			return fmt.Errorf("pack %d: %w", i, err)
		}
	}
	return nil
}

// checkJarClass holds that a pack has a class, and that pieces under a liquid have what their jar is judged by.
func (l *loader) checkJarClass(recipe *TestedRecipe, pack *TestedPack) error {
	least, most := pack.Prepared[0], pack.Prepared[1]
	switch {
	case !slices.Contains(JarClasses(), pack.JarClass):
		return fmt.Errorf("unknown class of jar %q", pack.JarClass)
	case !pack.JarClass.Pieces() && (least != 0 || most != 0):
		return errors.New("what is left of the food is only for pieces under a liquid")
	case !pack.JarClass.Pieces():
		return nil
	case !(least > 0 && most >= least):
		return fmt.Errorf("%v to %v is no share of the food that is left", least, most)
	case !(recipe.Yield.Low > 0 && recipe.Yield.High >= recipe.Yield.Low):
		return errors.New("pieces under a liquid need a printed number of jars")
	}
	return l.checkJar(recipe.Yield.Unit)
}
