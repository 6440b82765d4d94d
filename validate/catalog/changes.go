package catalog

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/table"
)

// Change is one published statement that a change to a tested recipe is safe or is not.
type Change struct {
	ID          string   `json:"id"`
	Change      string   `json:"change"`
	Action      string   `json:"action"`                // one of changeActions
	Target      []string `json:"target"`                // what is changed: items, families, classes, jars, or subjects of change_subjects.csv
	Replacement []string `json:"replacement,omitempty"` // what takes its place, named in the same way
	AppliesTo   []string `json:"applies_to"`            // groups of recipes, see TestedRecipe.In; "other:x" is one without a tested recipe
	Recipes     []string `json:"recipes,omitempty"`     // ids of the tested recipes in those groups; empty when it applies to all
	Safe        bool     `json:"safe"`
	MattersFor  string   `json:"matters_for"` // safety, quality, untested, inference
	EveryCard   bool     `json:"-"`           // told on every card for the shelf to whose kind it applies
	Condition   string   `json:"condition,omitempty"`
	Note        string   `json:"note,omitempty"`
	Citation    Citation `json:"source"`
}

// AppliesIn reports whether the change was printed for recipes like this one.
func (c *Change) AppliesIn(recipe *TestedRecipe) bool {
	return slices.ContainsFunc(c.AppliesTo, recipe.In)
}

// Groups of tested recipes by how they are packed, as the column applies_to names them.
const (
	scopeAll            = "all"
	scopeLowTemperature = "pack:low-temperature"
	scopeSterileJars    = "pack:sterile-jars"
)

// In reports whether the recipe belongs to a group that the column applies_to names: all, a kind, a tag, a canner, or the
// recipes with a pack that allows low temperature or asks for sterile jars. Ids of recipes are no groups, so that a copy of
// a recipe is judged as the original.
func (r *TestedRecipe) In(scope string) bool {
	switch scope {
	case scopeAll:
		return true
	case scopeLowTemperature:
		return slices.ContainsFunc(r.Packs, func(p TestedPack) bool { return p.LowTemperature })
	case scopeSterileJars:
		return slices.ContainsFunc(r.Packs, func(p TestedPack) bool { return p.SterileJars })
	}
	what, name, _ := strings.Cut(scope, ":")
	switch what {
	case "kind":
		return name == r.Kind
	case "tag":
		return slices.Contains(r.Tags, name)
	case "canner":
		return name == r.Canner
	}
	return false
}

// Topic is what a published change is about: its action, target and replacement, as in the columns of changes.csv.
type Topic string

// Topics that rules, matching, leeway, plans and cards speak of.
const (
	OtherProportions      Topic = "alter proportions"
	LessAcid              Topic = "decrease acid"
	NoAcid                Topic = "omit acid"
	MoreBrine             Topic = "increase brine"
	MoreWater             Topic = "increase water"
	MoreWaterThanCovers   Topic = "increase water-to-cover"
	MoreLowAcidFood       Topic = "increase low_acid"
	LessLowAcidFood       Topic = "decrease low_acid"
	AnotherLowAcidFood    Topic = "add low_acid"
	MoreOnionsOrPeppers   Topic = "increase onion;sweet-pepper;hot-pepper"
	FewerTomatoes         Topic = "decrease tomato"
	MoreFreshHerb         Topic = "increase cilantro"
	MoreFat               Topic = "increase fat"
	AnyThickener          Topic = "add thickener"
	PrintedFlour          Topic = "add flour"
	PrintedCornstarch     Topic = "add cornstarch"
	AnotherSeasoning      Topic = "add seasoning"
	AddedSugar            Topic = "add sugar"
	LessSugar             Topic = "decrease sugar"
	SugarToTaste          Topic = "alter sugar;seasoning"
	RecipeWithoutSugar    Topic = "omit sugar by recipe-without-sugar"
	SugarSubstitute       Topic = "replace sugar by sucralose"
	LessSalt              Topic = "decrease salt"
	NoSalt                Topic = "omit salt"
	SaltToTaste           Topic = "alter seasoning;salt"
	SaltSubstitute        Topic = "replace salt by salt-substitute"
	LessSaltInFerment     Topic = "decrease salt-of-a-ferment"
	ReducedSodium         Topic = "replace salt by salt-reduced-sodium"
	ReducedSodiumFerment  Topic = "replace salt-of-a-ferment by salt-reduced-sodium"
	TableSalt             Topic = "replace salt by salt-table"
	FlakeSaltByVolume     Topic = "replace salt by salt-flake-by-volume"
	UnknownVinegar        Topic = "replace vinegar by vinegar-of-unknown-strength"
	WeakVinegar           Topic = "replace vinegar by vinegar-under-5-percent"
	HomemadeVinegar       Topic = "replace vinegar by vinegar-homemade"
	OtherVinegar          Topic = "replace vinegar by vinegar-of-another-kind"
	FreshJuice            Topic = "replace lemon-juice-bottled by lemon-juice-fresh"
	KeyLimeJuice          Topic = "replace lemon-juice-bottled by key-lime-juice-bottled"
	PicklingLime          Topic = "add pickling-lime"
	LimeNotRinsed         Topic = "omit rinse-after-lime"
	Alum                  Topic = "add alum"
	AlumInFerment         Topic = "add alum-to-a-ferment"
	CalciumChloride       Topic = "add calcium-chloride"
	GrapeLeaf             Topic = "add grape-leaf"
	BlossomEndLeft        Topic = "omit blossom-end-trim"
	LargerPieces          Topic = "increase piece-size"
	Puree                 Topic = "puree low_acid"
	LargerJar             Topic = "replace jar by jar-larger"
	SmallerJar            Topic = "replace jar by jar-smaller"
	OtherPack             Topic = "replace pack by pack-other"
	ShorterProcess        Topic = "decrease process-time"
	NoBoilingWater        Topic = "replace boiling-water by oven-or-open-kettle"
	LowTemperature        Topic = "replace boiling-water by low-temperature"
	LowTemperatureNowhere Topic = "replace boiling-water by low-temperature-unprinted"
	Steam                 Topic = "replace boiling-water by steam"
	CanningPowder         Topic = "replace boiling-water by canning-powder"
	BoilingForPressure    Topic = "replace pressure by boiling-water"
	JarsNotSterilized     Topic = "omit jar-sterilizing"
	CannedThoughCold      Topic = "add boiling-water"
	UntestedSalsa         Topic = "can untested-salsa"
)

// Topics lists every topic of the program; a table without a change on one of them does not load.
func Topics() []Topic {
	return []Topic{
		OtherProportions, LessAcid, NoAcid, MoreBrine, MoreWater, MoreWaterThanCovers, MoreLowAcidFood, LessLowAcidFood,
		AnotherLowAcidFood, MoreOnionsOrPeppers, FewerTomatoes, MoreFreshHerb, MoreFat, AnyThickener, PrintedFlour,
		PrintedCornstarch, AnotherSeasoning, AddedSugar, LessSugar, SugarToTaste, RecipeWithoutSugar, SugarSubstitute, LessSalt, NoSalt,
		SaltToTaste, SaltSubstitute, LessSaltInFerment,
		ReducedSodium, ReducedSodiumFerment, TableSalt, FlakeSaltByVolume, UnknownVinegar, WeakVinegar, HomemadeVinegar,
		OtherVinegar, FreshJuice, KeyLimeJuice, PicklingLime, LimeNotRinsed, Alum, AlumInFerment, CalciumChloride, GrapeLeaf,
		BlossomEndLeft, LargerPieces, Puree, LargerJar, SmallerJar, OtherPack, ShorterProcess, NoBoilingWater,
		LowTemperature, LowTemperatureNowhere, Steam, CanningPowder, BoilingForPressure, JarsNotSterilized,
		CannedThoughCold, UntestedSalsa,
	}
}

// Topic is what the change is about.
func (c *Change) Topic() Topic {
	topic := c.Action + " " + strings.Join(c.Target, ";")
	if len(c.Replacement) > 0 {
		topic += " by " + strings.Join(c.Replacement, ";")
	}
	return Topic(topic)
}

// ChangesOn lists the ids of the published changes on the topics, topic by topic, each in the order of the table. It is
// empty for a topic that is none of Topics and that no change is on.
func (t *Tables) ChangesOn(topics ...Topic) []string {
	var ids []string
	for _, topic := range topics {
		ids = append(ids, t.changesOn[topic]...)
	}
	return ids
}

// ChangesIn is ChangesOn of the changes that were printed for recipes like this one.
func (t *Tables) ChangesIn(recipe *TestedRecipe, topics ...Topic) []string {
	var ids []string
	for _, topic := range topics {
		for _, id := range t.changesOn[topic] {
			if change, _ := t.Change(id); change.AppliesIn(recipe) {
				ids = append(ids, id)
			}
		}
	}
	return ids
}

// Allows reports whether a published change on one of the topics, printed for recipes like this one, is safe, and none is not.
func (t *Tables) Allows(recipe *TestedRecipe, topics ...Topic) bool {
	allowed := false
	for _, topic := range topics {
		if t.Forbids(topic, recipe) {
			return false
		}
		allowed = allowed || len(t.ChangesIn(recipe, topic)) > 0
	}
	return allowed
}

// Refused lists the ids of the published changes that name the item, or its family, as what must not take the place of something
// in recipes like this one.
func (t *Tables) Refused(recipe *TestedRecipe, item *Item) []string {
	var ids []string
	for i := range t.Changes {
		change := &t.Changes[i]
		named := slices.Contains(change.Replacement, item.ID) || slices.Contains(change.Replacement, item.Family)
		if named && !change.Safe && change.AppliesIn(recipe) {
			ids = append(ids, change.ID)
		}
	}
	return ids
}

// Forbids reports whether a published change on the topic, printed for recipes like this one, is not safe.
func (t *Tables) Forbids(topic Topic, recipe *TestedRecipe) bool {
	return slices.ContainsFunc(t.changesOn[topic], func(id string) bool {
		change, _ := t.Change(id)
		return !change.Safe && change.AppliesIn(recipe)
	})
}

// IsTarget reports whether a published change on the topic names the item, its family or its class as what is changed.
func (t *Tables) IsTarget(topic Topic, item *Item) bool {
	return slices.ContainsFunc(t.changesOn[topic], func(id string) bool {
		change, _ := t.Change(id)
		return slices.ContainsFunc(change.Target, func(target string) bool {
			return target == item.ID || target == item.Family || target == string(item.Class)
		})
	})
}

// Things that a change may do to a tested recipe.
var changeActions = []string{"accept", "add", "alter", "can", "decrease", "increase", "keep", "omit", "puree", "replace", "resume", "scale"}

func (l *loader) loadChangeSubjects() error {
	l.tables.changeSubjects = map[string]string{}
	return l.eachRow("change_subjects.csv", []string{"id", "kind", "meaning"}, func(r *table.Row) {
		id, kind := r.Text("id"), r.Text("kind")
		if _, taken := l.tables.changeSubjects[id]; taken || id == "" || r.Text("meaning") == "" {
			r.Fail(fmt.Errorf("id %q is empty, stands twice or has no meaning", id))
		}
		if kind != "subject" && kind != "group" {
			r.Fail(fmt.Errorf("unknown kind %q", kind))
		}
		l.tables.changeSubjects[id] = kind
	})
}

func (l *loader) loadChanges() error {
	columns := []string{
		"id", "change", "action", "target", "replacement", "applies_to", "safe", "matters_for", "every_card", "condition",
		"source", "locator", "verified", "note",
	}
	err := l.eachRow("changes.csv", columns, func(r *table.Row) {
		change := Change{
			ID: r.Text("id"), Change: r.Text("change"), Action: r.Text("action"), Target: r.List("target", ";"),
			Replacement: r.List("replacement", ";"), AppliesTo: r.List("applies_to", ";"), Safe: r.Yes("safe"),
			MattersFor: r.Text("matters_for"), EveryCard: r.Yes("every_card"), Condition: r.Text("condition"),
			Note: r.Text("note"), Citation: l.citation(r, ""),
		}
		if !slices.Contains(changeActions, change.Action) {
			r.Fail(fmt.Errorf("unknown action %q", change.Action))
		}
		if !slices.Contains([]string{"safety", "quality", "untested", "inference"}, change.MattersFor) {
			r.Fail(fmt.Errorf("unknown matter %q", change.MattersFor))
		}
		if len(change.Target) == 0 || change.Action == "replace" && len(change.Replacement) == 0 {
			r.Fail(errors.New("a change has a target, and what is replaced a replacement"))
		}
		for _, thing := range slices.Concat(change.Target, change.Replacement) {
			r.Fail(l.checkSubject(thing))
		}
		r.Fail(l.checkScopes(change.AppliesTo))
		for i := range l.tables.Recipes {
			if recipe := &l.tables.Recipes[i]; !slices.Contains(change.AppliesTo, scopeAll) && change.AppliesIn(recipe) {
				change.Recipes = append(change.Recipes, recipe.ID)
			}
		}
		add(r, &l.tables.Changes, l.tables.changes, change.ID, change)
		l.tables.changesOn[change.Topic()] = append(l.tables.changesOn[change.Topic()], change.ID)
	})
	if err != nil {
		return err
	}
	for _, topic := range Topics() {
		if len(l.tables.changesOn[topic]) == 0 {
			return fmt.Errorf("read changes.csv: no change is on the topic %q", topic)
		}
	}
	return nil
}

// checkSubject holds that a thing which a change is about is an item, a family, a class, a jar or a listed subject.
func (l *loader) checkSubject(name string) error {
	if l.tables.changeSubjects[name] == "subject" || slices.Contains(Classes(), Class(name)) || l.checkJar(name) == nil {
		return nil
	}
	if slices.ContainsFunc(l.tables.Items, func(i Item) bool { return i.ID == name || i.Family == name }) {
		return nil
	}
	return fmt.Errorf("unknown thing %q", name)
}

// checkScopes holds that each group of recipes has a tested recipe in it, or is a listed group of others.
func (l *loader) checkScopes(scopes []string) error {
	if len(scopes) == 0 {
		return errors.New("it applies to nothing")
	}
	for _, scope := range scopes {
		if name, other := strings.CutPrefix(scope, "other:"); other && l.tables.changeSubjects[name] == "group" {
			continue
		}
		in := func(recipe TestedRecipe) bool { return recipe.In(scope) }
		if !slices.ContainsFunc(l.tables.Recipes, in) {
			return fmt.Errorf("no tested recipe is of %q", scope)
		}
	}
	return nil
}
