package catalog

import "testing"

func TestMovedLimitLeavesTheTablesAlone(t *testing.T) {
	tables := loadTables(t)
	moved := tables.WithLimit("ph-max", 9)
	if got := moved.MustLimit("ph-max"); got.Value != 9 || got.Citation != tables.MustLimit("ph-max").Citation {
		t.Errorf("moved: %+v", got)
	}
	if got := tables.MustLimit("ph-max").Value; got != 4.6 {
		t.Errorf("the tables themselves: %g", got)
	}
	if got := tables.WithLimit("no-such-limit", 9); len(got.Limits) != len(tables.Limits) {
		t.Errorf("%d limits", len(got.Limits))
	}
}

func TestNearestName(t *testing.T) {
	names := []string{"acid.no-acid", "acid.vinegar-strength", "acid.vinegar-origin"}
	for name, want := range map[string]string{
		"acid.vinegar-strenght": "acid.vinegar-strength", "Acid Vinegar Origins": "acid.vinegar-origin", "elevation": "",
	} {
		if got, ok := NearestName(name, names); got != want || ok != (want != "") {
			t.Errorf("%s: %q %v", name, got, ok)
		}
	}
}
