package catalog

import "testing"

func TestFlavorings(t *testing.T) {
	tables := loadTables(t)
	item := func(id string) *Item {
		found, ok := tables.Item(id)
		if !ok {
			t.Fatalf("no item %s", id)
		}
		return found
	}
	if f, ok := tables.Flavoring(item("honey")); !ok || f.Kind != SweetKind || f.Water != 0.17 || f.Sugar != 0.83 || f.Density != 1.43 {
		t.Errorf("honey: %+v, %v", f, ok)
	}
	if f, ok := tables.Flavoring(item("onion")); ok || f.Kind != "" {
		t.Errorf("onion: %+v", f)
	}
	if _, ok := tables.Flavoring(nil); ok {
		t.Error("an unknown item seasons")
	}
	// Spoon for spoon: 200 g of sugar a cup to 24.5 g of granules.
	if f, _ := tables.Flavoring(item("sucralose")); f.Sugar < 200/24.5-0.1 || f.Sugar > 200/24.5+0.1 {
		t.Errorf("sucralose counts as %v g of sugar", f.Sugar)
	}
	for i := range tables.Items {
		if _, ok := tables.Flavoring(&tables.Items[i]); ok != seasoned(tables.Items[i].Class) {
			t.Errorf("%s of class %s: %v", tables.Items[i].ID, tables.Items[i].Class, ok)
		}
	}
}

// jar_model of the design, section 10: what a gram dried was fresh, from memory.
func TestFreshFrom(t *testing.T) {
	limits := &loadTables(t).Seasoned
	for family, want := range map[string]float64{
		"onion": 9, "onion-powder": 9, "garlic": 2.5, "garlic-powder": 2.5, "sweet-pepper": 11, "hot-pepper": 11, "tomato": 16, "celery": 10, "mushroom": 10, "": 10,
	} {
		if got := limits.FreshFrom(family); got != want {
			t.Errorf("%q: %v, want %v", family, got, want)
		}
	}
	if limits.Factor != 7 || limits.Noticed != 0.02 || limits.Whole.Grams != 14.5 || limits.Ground.Grams != 6.5 || limits.GarlicInBrine.Grams != 4 ||
		limits.GarlicInPot.Grams != 9.1 || limits.FreshHerb.Grams != 4.5 {
		t.Errorf("%+v", limits)
	}
}
