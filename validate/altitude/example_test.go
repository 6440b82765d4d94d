package altitude

import "fmt"

// Complete Guide to Home Canning (AIB 539, 2015), p. 1-14: 10 minutes, and 1 more for each further 1,000 ft.
func ExampleSterilizingMinutes() {
	for _, feet := range []float64{1000, 1001, 5200} {
		minutes, err := SterilizingMinutes(feet)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.0f ft: %.0f min\n", feet, minutes)
	}
	// Output:
	// 1000 ft: 10 min
	// 1001 ft: 11 min
	// 5200 ft: 15 min
}

// iapws 1.5.2 has water boil at 99.974 °C under the 101,325 Pa of sea level.
func ExampleBoilingAt() {
	at, err := BoilingAt(0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f Pa, %.3f °C\n", at.PressurePa, at.TemperatureC)
	// Output: 101325 Pa, 99.974 °C
}
