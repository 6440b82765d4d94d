package facts

import (
	"slices"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
)

func published(t *testing.T) *Facts {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	return &Facts{Tables: tables, Units: units}
}

func TestLookupsAreRecordedOnceEach(t *testing.T) {
	f := published(t)
	f.Lookups = &Lookups{}
	f.Limit("ph-max")
	f.LimitAsPrinted("vinegar-acidity-min")
	f.Limit("ph-max")
	f.Compared(catalog.Limit{ID: "of another table", Value: 42})
	var ids []string
	for _, limit := range f.Lookups.Limits() {
		ids = append(ids, limit.ID)
	}
	if want := []string{"ph-max", "vinegar-acidity-min", "of another table"}; !slices.Equal(ids, want) {
		t.Errorf("%q", ids)
	}
}

// Nobody asks on the way of a usual report, which must not pay for it.
func TestLookupsCostNothingWhereNobodyAsks(t *testing.T) {
	f := published(t)
	if n := testing.AllocsPerRun(100, func() {
		f.Limit("ph-max")
		f.LimitAsPrinted("ph-max")
		f.Compared(catalog.Limit{ID: "of another table"})
	}); n != 0 {
		t.Errorf("%g allocations", n)
	}
	if f.Lookups.Limits() != nil {
		t.Errorf("%v", f.Lookups.Limits())
	}
}
