package validate

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// Findings stand in the order of the document: members as the schema has them, entries by their numbers, a whole before its
// parts, members that the schema does not have by their names and before it.
func TestFindingsStandInTheOrderOfTheDocument(t *testing.T) {
	type found struct {
		at, rule string
		given    int
	}
	want := []found{
		{at: ""},
		{at: "/another"},
		{at: "/something"},
		{at: "/recipe"},
		{at: "/recipe/kind"},
		{at: "/recipe/jar"},
		{at: "/recipe/ingredients"},
		{at: "/recipe/ingredients/2"},
		{at: "/recipe/ingredients/2/item", rule: "acid.first"},
		{at: "/recipe/ingredients/2/item", rule: "pack.second"},
		{at: "/recipe/ingredients/2/item", rule: "pack.second", given: 1},
		{at: "/recipe/ingredients/2/amount/value"},
		{at: "/recipe/ingredients/10/item"},
		{at: "/recipe/process/time"},
		{at: "/kitchen/elevation"},
		{at: "/batch/events/9"},
		{at: "/batch/events/10/at"},
		{at: "/as_of"},
	}
	by := func(f *found) (at, then string) { return f.at, f.rule }
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		mixed := slices.Clone(want)
		r.Shuffle(len(mixed), func(a, b int) { mixed[a], mixed[b] = mixed[b], mixed[a] })
		// Equals stay in their order, so that they go in as they are to come out.
		first := slices.IndexFunc(mixed, func(f found) bool { return f.rule == "pack.second" })
		for i := range mixed {
			if mixed[i].rule == "pack.second" {
				mixed[i].given = 1
			}
		}
		mixed[first].given = 0
		if have := inOrder(mixed, by); !slices.Equal(have, want) {
			t.Fatalf("in the order\n%v\nnot\n%v", have, want)
		}
	}
}
