package figures

import (
	"fmt"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

func show(l []report.Derived) {
	for _, d := range l {
		fmt.Printf("%s %v", d.Name, d.Value)
		if d.Low != nil {
			fmt.Printf(" low %v", *d.Low)
		}
		if d.High != nil {
			fmt.Printf(" high %v", *d.High)
		}
		fmt.Printf(" %s %+v\n", d.Unit, d.Inputs)
	}
}

func TestScratch(t *testing.T) {
	f := factsOf(t, inKitchen(relish()))
	show(Acid(f))
	for _, s := range Derivation(f) {
		fmt.Println(s.Title, "|", s.Text)
	}
	d := factsOf(t, dills(t))
	fmt.Println("--")
	show(Acid(d))
	show(Jar(d))
	show(Altitude(d))
	for _, s := range Derivation(d) {
		fmt.Println(s.Title, "|", s.Text)
	}
	l, c := Heating(d, nil)
	show(l)
	fmt.Println(len(c), c[0].Xs[:5], c[0].Ys[:5], c[1].Ys[:5], c[0].Xs[len(c[0].Xs)-1])
	r := relish()
	r.Jar = &document.Jar{ID: "pint"}
	r.Headspace = amount(.5, "in")
	r.Jars = new(4.0)
	r.Pack = "hot"
	fmt.Println("--relish")
	show(Jar(factsOf(t, inKitchen(r))))
}
