package heating

import "fmt"

// Table 4 of Breidt, Kay, Osborne, Ingham and Arritt (2014) prints 5.6 min at 160 °F, 2.8 at 165 and 1.4 at 170 for a pH from 4.1
// to 4.6.
func ExampleTarget_MinutesAt() {
	target, _ := TargetFor(4.4)
	for _, fahrenheit := range []float64{160, 165, 170} {
		fmt.Printf("%.0f °F: %.1f min\n", fahrenheit, target.MinutesAt(Celsius(fahrenheit)))
	}
	// Output:
	// 160 °F: 5.6 min
	// 165 °F: 2.8 min
	// 170 °F: 1.4 min
}
