package amount

import (
	"testing"

	"jarwright/validate/measure"
)

// benchmarkLines are of our own, one of each notation and some with much behind the amount.
var benchmarkLines = []string{
	"2 cups sugar", "1 1/2 cups white vinegar (5% acidity)", "2 (14 oz) cans tomatoes, drained and chopped", "200ml/7fl oz water", "½ tsp salt",
	"4 large garlic cloves, peeled and thinly sliced", "salt and freshly ground black pepper to taste", "1 cup plus 2 tablespoons flour",
	"3-4 lbs pickling cucumbers, 3 to 4 inches long",
	"1 &frac12; cups sugar", "juice of 2 lemons", "1–2 tbsp mustard seed", "8 oz. (225 g) cucumbers, cut into 1/4-inch slices", "a handful of dill",
}

// BenchmarkLine counts lines per second on one core; the aim is 50,000.
func BenchmarkLine(b *testing.B) {
	units, err := measure.LoadUnits()
	if err != nil {
		b.Fatal(err)
	}
	reader, err := NewReader(units)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		reader.Line(benchmarkLines[n%len(benchmarkLines)])
		n++
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "lines/s")
}
