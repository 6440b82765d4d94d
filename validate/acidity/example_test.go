package acidity_test

import (
	"fmt"

	"jarwright/validate/acidity"
)

// Textbooks have a pH of 2.88 for acetic acid of 0.1 mol/L (from memory); the acid in a liter of vinegar of 5 % is 0.8326 mol.
func ExampleModel_PH() {
	model, err := acidity.Load()
	if err != nil {
		fmt.Println(err)
		return
	}
	weak, err := model.PH(acidity.Mixture{WaterKg: 1, Acids: acidity.Acids{acidity.Acetic: 0.1}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("pH %.2f\n%.4f mol\n", weak.PH, model.VinegarMoles(1000, 5))
	// Output:
	// pH 2.88
	// 0.8326 mol
}
