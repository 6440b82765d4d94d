package ingest

import (
	"reflect"
	"testing"
)

// A document in the spelling of before 2.2 is read as the same document in that of today; in both spellings at once it is refused.
func TestOlderSpelling(t *testing.T) {
	document := func(preparation, sign, labeled, center string) string {
		return `{"recipe": {"jar_preparation": "` + preparation + `", "ingredients": [{"item": "salt", "per": "batch"}]},
			"batch": {"jars": [{"id": "1", ` + labeled + `, "spoilage_signs": ["` + sign + `"], "seal_checks": [{"at": "2026-08-16T08:00:00Z", ` + center + `}]}]}}`
	}
	reader := newTestReader(t)
	modern, problem := reader.Request(nil, []byte(document("sterilized", "odd_color", `"labeled": true`, `"center": "down"`)))
	if problem != nil {
		t.Fatalf("%+v", problem)
	}
	older, problem := reader.Request(nil, []byte(document("sterilised", "odd_colour", `"labelled": true`, `"centre": "down"`)))
	if problem != nil {
		t.Fatalf("%+v", problem)
	}
	if !reflect.DeepEqual(older, modern) {
		t.Errorf("%+v, want %+v", older, modern)
	}
	if mold, problem := reader.Request(nil, []byte(document("hot", "mould", `"labeled": true`, `"center": "down"`))); problem != nil || mold.Batch.Jars[0].SpoilageSigns[0] != "mold" {
		t.Errorf("mould: %+v, %+v", mold.Batch, problem)
	}
	for _, both := range []string{
		document("hot", "mold", `"labeled": true, "labelled": true`, `"center": "down"`),
		document("hot", "mold", `"labeled": true`, `"center": "down", "centre": "up"`),
	} {
		if _, problem := reader.Request(nil, []byte(both)); problem == nil {
			t.Error("two spellings at once were read")
		}
	}
	if _, problem := reader.Request(nil, []byte(`{"recipe": {"centre": 1, "ingredients": [{"item": "salt", "per": "batch"}]}}`)); problem == nil {
		t.Error("the older spelling was read at a place that never had it")
	}
}
