package acidity

import (
	"strings"
	"testing"

	"jarwright/validate/table"
)

// Broken tables are refused with the row that is broken.
func TestBrokenTables(t *testing.T) {
	const (
		constants = "name,value,unit,conditions,source,locator,verified,note\n"
		packing   = "name,value,unit,source,locator,verified,note\n"
		lowAcid   = "class,low_acid,5,10,20,,,,prior,s,l,read,\n"
	)
	buffers := strings.Join(bufferColumns, ",") + "\n"
	model := func(text string) error { return (&Model{index: map[string]int{}}).readConstants([]byte(text)) }
	for name, test := range map[string]struct {
		err  error
		want string
	}{
		"constants without a header":   {model("name,value\n"), "header"},
		"a constant that is a word":    {model(constants + "a,1,,,,,,\nb,two,,,,,,\n"), `row 2: value of "b"`},
		"a constant that stands twice": {model(constants + "a,1,,,,,,\na,2,,,,,,\n"), `row 2: "a" stands twice`},
		"no constants":                 {(&Model{index: map[string]int{}}).bindConstants(), "missing acetic.molar_mass, acetic.pka1, citric.molar_mass"},
		"buffers without a header":     {second(readBuffers([]byte("kind,key\n"))), "header"},
		"a buffer that is a word":      {second(readBuffers([]byte(buffers + lowAcid + "item,egg,5,ten,20,,,,prior,s,l,read,\n"))), "row 2 (item egg): buffer"},
		"a buffer out of order":        {second(readBuffers([]byte(buffers + "item,egg,5,4,20,,,,prior,s,l,read,\n"))), "row 1 (item egg): buffer"},
		"a natural pH out of order":    {second(readBuffers([]byte(buffers + "item,egg,5,10,20,7,6,8,prior,s,l,read,\n"))), "row 1 (item egg): natural pH"},
		"no low-acid class":            {second(readBuffers([]byte(buffers + "class,acid_food,5,10,20,,,,prior,s,l,read,\n"))), "low_acid"},
		"low acid, but as an item":     {second(readBuffers([]byte(buffers + "item,low_acid,5,10,20,,,,prior,s,l,read,\n"))), "low_acid"},
		"packing without a header":     {second(readPacking([]byte("name,value\n"))), "header"},
		"a figure that is a word":      {second(readPacking([]byte(packing + "a,1,,,,,\nb,two,,,,,\n"))), "row 2 (b)"},
		"a figure that is missing":     {second(readPacking([]byte(packing + "a,1,,,,,\n"))), "missing natural_ph.low_acid.low"},
	} {
		t.Run(name, func(t *testing.T) {
			if test.err == nil || !strings.Contains(test.err.Error(), test.want) {
				t.Errorf("%v, want %q", test.err, test.want)
			}
		})
	}
}

func second[T any](_ T, err error) error { return err }

// Buffers are printed in mmol and held in mol.
func TestUnitsOfBuffers(t *testing.T) {
	rows := strings.Join(bufferColumns, ",") + "\nclass,low_acid,5,10,20,,,,prior,s,l,read,\nitem,egg,1,2,3,7,8,9,measured,s,l,read,n\n"
	figures, err := readBuffers([]byte(rows))
	if err != nil || len(figures) != 2 {
		t.Fatalf("%v, %v", figures, err)
	}
	if got := figures[0]; got.Buffer != (Band{0.005, 0.01, 0.02}) || got.NaturalPH != nil || got.Basis != Prior {
		t.Errorf("%+v", got)
	}
	if got := figures[1]; got.Buffer != (Band{0.001, 0.002, 0.003}) || got.NaturalPH == nil || *got.NaturalPH != (Band{7, 8, 9}) || got.Note != "n" {
		t.Errorf("%+v", got)
	}
}

// Every figure that is asked for by name stands in its table, with a source.
func TestNamesOfFigures(t *testing.T) {
	model, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range packingNames {
		if figure := model.packing.figures[name]; figure.Citation.Source == "" || figure.Citation.Verified == "" {
			t.Errorf("%s: %+v", name, figure)
		}
	}
	if model.MustValue("no such constant") != 0 || model.Packing("no such figure") != 0 || model.Citation("no such constant").Source != "" {
		t.Error("a figure that is in no table has a value")
	}
	if got := model.MolarMass(Acetic); got != model.MustValue("acetic.molar_mass") || got == 0 {
		t.Errorf("molar mass %g", got)
	}
	if rows, err := table.Rows(table.MustBytes("acidity/constants.csv"), constantColumns...); err != nil || len(rows) != len(model.Constants()) {
		t.Errorf("%d rows, %v, %d constants", len(rows), err, len(model.Constants()))
	}
}
