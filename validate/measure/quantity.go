// Package measure holds quantities in SI units and the closed list of units in which people may write them. It turns a
// written value into SI and back and refuses to do more: it does not turn cups of a food into its weight (that depends
// on the food, see package published), does not guess which region's cup is meant, and cannot notice that a length is
// a headspace where a piece size was wanted. Quantities of one dimension are all of one Go type.
package measure

// The quantities, each a plain float64 in the SI unit named. None is checked for sign or range.
type (
	Mass        float64 // kg
	Volume      float64 // m3
	Length      float64 // m
	Temperature float64 // K
	Duration    float64 // s
	Pressure    float64 // Pa
	Fraction    float64 // 1 is the whole
)

// Named amounts of one unit, exact by definition (UCUM v2.2; see units.csv, which a test holds equal to these).
const (
	Gram       Mass     = 0.001
	Milliliter Volume   = 0.000001
	Millimeter Length   = 0.001
	Inch       Length   = 0.0254
	Foot       Length   = 0.3048
	Minute     Duration = 60
	Day        Duration = 86400
)

// Milliliters gives the volume in milliliters.
func (v Volume) Milliliters() float64 { return float64(v / Milliliter) }

// Millimeters gives the length in millimeters.
func (l Length) Millimeters() float64 { return float64(l / Millimeter) }

// Inches gives the length in inches.
func (l Length) Inches() float64 { return float64(l / Inch) }

// Feet gives the length in feet.
func (l Length) Feet() float64 { return float64(l / Foot) }

// Minutes gives the duration in minutes.
func (d Duration) Minutes() float64 { return float64(d / Minute) }

// Days gives the duration in days of 24 hours.
func (d Duration) Days() float64 { return float64(d / Day) }

// Celsius gives the temperature in degrees Celsius: K = C + 273.15.
func (t Temperature) Celsius() float64 { return float64(t) - 273.15 }

// Fahrenheit gives the temperature in degrees Fahrenheit: K = (F + 459.67) x 5/9.
func (t Temperature) Fahrenheit() float64 { return float64(t)*9/5 - 459.67 }
