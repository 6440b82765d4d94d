package catalog

import "testing"

func TestFreshOf(t *testing.T) {
	tables, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct{ item, name, form, want string }{
		{"cayenne-pepper", "cayenne pepper", "", "cayenne-pepper"},
		{"cayenne-pepper", "cayenne pepper", "ground", "cayenne-pepper"},
		{"cayenne-pepper", "cayenne peppers", "", "hot-pepper"},
		{"cayenne-pepper", "Cayenne Peppers", "dried", "cayenne-pepper"},
		{"cayenne-pepper", "cayenne pepper", "Fresh, whole", "hot-pepper"},
		{"black-pepper", "ground peppers", "", "any-pepper"},
		{"black-pepper", "ground pepper", "freshly ground", "black-pepper"},
		{"red-pepper-flakes", "red pepper flakes", "crushed", "red-pepper-flakes"},
		{"ginger", "ginger", "grated", "ginger-root"},
		{"ginger", "ginger", "ground", "ginger"},
		{"ginger", "ginger powder", "fresh", "ginger"},
		{"cucumber", "cucumber", "fresh", "cucumber"},
	} {
		item, ok := tables.Item(test.item)
		if !ok {
			t.Fatal(test.item)
		}
		if got := tables.FreshOf(item, test.name, test.form); got.ID != test.want {
			t.Errorf("%s, %q, %q: %s, want %s", test.item, test.name, test.form, got.ID, test.want)
		}
	}
}
