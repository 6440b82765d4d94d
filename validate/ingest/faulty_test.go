package ingest_test

import (
	"fmt"
	"strings"
	"testing"
)

// A document with thousands of faults is refused in allocations that grow with its length, far fewer than the schema library
// makes to explain it: each fault that is not listed costs a note of it.
func TestFaultsThatAreNotListedAreCheap(t *testing.T) {
	reader := newReader(t)
	body := func(jars, places int) []byte {
		place := `{"from":"yesterday","place":"attic","temperature":{"value":1e9,"unit":"F"}}`
		kept := strings.TrimSuffix(strings.Repeat(place+",", places), ",")
		var all []string
		for i := range jars {
			all = append(all, fmt.Sprintf(`{"id":"%d","kept":[%s]}`, i, kept))
		}
		return []byte(`{"recipe":{"ingredients":[{"item":"salt","per":"jar"}]},"batch":{"jars":[` + strings.Join(all, ",") + `]}}`)
	}
	const places, faults = 50, 3
	allocations := func(jars int) float64 {
		text := body(jars, places)
		if _, problem := reader.Request(nil, text); problem == nil || problem.Total != jars*places*faults {
			t.Fatalf("problem %+v", problem)
		}
		return testing.AllocsPerRun(3, func() { _, _ = reader.Request(nil, text) })
	}
	few, many := allocations(4), allocations(64)
	each := (many - few) / (60 * places * faults)
	t.Logf("%.1f allocations for each more fault", each)
	const most = 40 // with the explanations of the schema library it was 77 to 147
	if each > most {
		t.Errorf("%.1f allocations for each more fault, want at most %d", each, most)
	}
}
