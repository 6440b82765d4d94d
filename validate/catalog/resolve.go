package catalog

import (
	"strings"
	"unicode"

	"jarwright/validate/measure"
)

// Values of Resolved.SaltKind, the same as those of document.Ingredient.SaltKind.
const (
	SaltCanning       = "canning"
	SaltTable         = "table"
	SaltKosherFlake   = "kosher_flake"
	SaltSeaFine       = "sea_fine"
	SaltSeaCoarse     = "sea_coarse"
	SaltReducedSodium = "reduced_sodium"
)

// Resolved is what a written name stands for: the item, and what the name itself tells beyond that. "Bottled lemon
// juice" is lemon-juice with Bottled true, "kosher salt" is salt with SaltKind kosher_flake.
type Resolved struct {
	Item     *Item
	Bottled  *bool  // nil: the name does not say
	SaltKind string // one of the Salt constants, or empty
	Form     string // "canned", "dried", ... where the name says so, or empty
	Exact    bool   // the name is the id of the item, letter for letter
}

// resolution is one name of the catalog.
type resolution struct {
	item     int
	bottled  *bool
	saltKind string
	form     string
}

// Resolve finds the item that a name stands for: its id, its name or an alias, in any case, with any punctuation,
// with or without accents, singular or plural, and turned about a comma ("onion, red"). It never guesses; see
// NearestItem.
func (t *Tables) Resolve(name string) (Resolved, bool) {
	found, known := t.names[Fold(name)]
	if before, after, turned := strings.Cut(name, ","); !known && turned {
		found, known = t.names[Fold(after+" "+before)]
	}
	if !known {
		return Resolved{}, false
	}
	item := &t.Items[found.item]
	return Resolved{
		Item: item, Bottled: found.bottled, SaltKind: found.saltKind, Form: found.form, Exact: name == item.ID,
	}, true
}

// NearestItem proposes the id of the item whose id, name or alias is nearest in spelling, at most a third of the
// letters away. It reports false when nothing is that near.
func (t *Tables) NearestItem(name string) (id string, ok bool) { return t.nearItems.nearest(name) }

// Jar finds a jar by its id, or by one of the names people write for its size, folded as Resolve folds them.
func (t *Tables) Jar(nameOrAlias string) (*Jar, bool) { return find(t.Jars, t.jars, Fold(nameOrAlias)) }

// NearestJar proposes the id of the jar whose id or alias is nearest in spelling, at most a third of the letters away.
func (t *Tables) NearestJar(name string) (id string, ok bool) { return t.nearJars.nearest(name) }

// NearestRecipe proposes the id of the tested recipe whose id or title is nearest in spelling, at most a third of the letters
// away. It reports false when nothing is that near.
func (t *Tables) NearestRecipe(id string) (nearestID string, ok bool) {
	return t.nearRecipes.nearest(id)
}

// nearNames are names of one table in which the nearest is found. It is made once, when the tables are loaded.
type nearNames struct {
	names *measure.Names // key of Fold
	ids   []string       // by name
}

type namedID struct{ name, id string }

func newNearNames(named []namedID) nearNames {
	folded, ids := make([]string, len(named)), make([]string, len(named))
	for i := range named {
		folded[i], ids[i] = Fold(named[i].name), named[i].id
	}
	return nearNames{measure.NewNames(folded), ids}
}

// nearest takes the first of equally near names, so that the answer depends on the order of the table alone.
func (n nearNames) nearest(name string) (id string, ok bool) {
	at, ok := n.names.Nearest(Fold(name))
	if !ok {
		return "", false
	}
	return n.ids[at], true
}

// indexNames makes the names of items, jars and tested recipes ready to be searched for the nearest.
func (l *loader) indexNames() error {
	l.tables.nearItems = newNearNames(itemNames(l.tables))
	l.tables.nearJars = newNearNames(jarNames(l.tables))
	l.tables.nearRecipes = newNearNames(recipeNames(l.tables))
	return nil
}

func itemNames(t *Tables) []namedID {
	var names []namedID
	for i := range t.Items {
		item := &t.Items[i]
		names = append(names, namedID{item.ID, item.ID}, namedID{item.Name, item.ID})
		for _, alias := range item.Aliases {
			names = append(names, namedID{alias, item.ID})
		}
	}
	return names
}

func jarNames(t *Tables) []namedID {
	var names []namedID
	for i := range t.Jars {
		jar := &t.Jars[i]
		names = append(names, namedID{jar.ID, jar.ID})
		for _, alias := range jar.Aliases {
			names = append(names, namedID{alias, jar.ID})
		}
	}
	return names
}

func recipeNames(t *Tables) []namedID {
	var names []namedID
	for i := range t.Recipes {
		recipe := &t.Recipes[i]
		names = append(names, namedID{recipe.ID, recipe.ID}, namedID{recipe.Title, recipe.ID})
	}
	return names
}

// plainLetters spells the accented Latin letters that occur in names of foods without their accents.
var plainLetters = strings.NewReplacer(
	"á", "a", "à", "a", "â", "a", "ä", "a", "ã", "a", "å", "a", "ç", "c", "é", "e", "è", "e", "ê", "e", "ë", "e",
	"í", "i", "ì", "i", "î", "i", "ï", "i", "ñ", "n", "ó", "o", "ò", "o", "ô", "o", "ö", "o", "õ", "o", "ø", "o",
	"ú", "u", "ù", "u", "û", "u", "ü", "u", "'", "", "’", "", "&", " and ",
)

// Fold reduces a name to the key by which names are compared: lower case, no accents, words in the singular with one
// space between them, every other sign dropped. "Brussels-Sprouts", "brussels_sprout" and "brussels sprouts" are one.
func Fold(name string) string {
	words := strings.FieldsFunc(plainLetters.Replace(strings.ToLower(name)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r)
	})
	for i, word := range words {
		words[i] = singular(word)
	}
	return strings.Join(words, " ")
}

// singular undoes the regular English plural. It only has to bring the two forms of a word together, so "asparagu" does no
// harm.
func singular(word string) string {
	const shortest = 4 // "gas" and "pus" are no plurals
	hasSuffix := func(suffixes ...string) bool {
		for _, suffix := range suffixes {
			if strings.HasSuffix(word, suffix) {
				return true
			}
		}
		return false
	}
	switch {
	case word == "leaves":
		return "leaf"
	case word == "halves":
		return "half"
	case len(word) < shortest || hasSuffix("ss"):
		return word
	case len(word) > shortest && hasSuffix("ies"):
		return strings.TrimSuffix(word, "ies") + "y"
	case hasSuffix("oes", "ches", "shes", "xes", "sses"):
		return strings.TrimSuffix(word, "es")
	default:
		return strings.TrimSuffix(word, "s")
	}
}

// NearestName proposes the one of some names that is nearest in spelling, at most a third of the letters away. It reports
// false when nothing is that near.
func NearestName(name string, names []string) (near string, ok bool) {
	candidates := make([]namedID, len(names))
	for i, candidate := range names {
		candidates[i] = namedID{candidate, candidate}
	}
	return newNearNames(candidates).nearest(name)
}
