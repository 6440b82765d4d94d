package draft_test

import "testing"

// BenchmarkDraft reads one recipe of eight lines and five steps, of our own words.
func BenchmarkDraft(b *testing.B) {
	body := []byte(recipe(b,
		[]string{
			"For the brine:", "2 cups cider or white vinegar (5% acidity)", "1 1/2 cups water", "2 tablespoons canning salt",
			"4 large garlic cloves, peeled and thinly sliced", "3-4 lbs pickling cucumbers, 3 to 4 inches long",
			"salt and freshly ground black pepper to taste", "1 head dill, per jar", "6 pint canning jars with lids and bands",
		},
		"Wash the jars and keep them hot. Bring vinegar, water and salt to a boil.",
		"Pack cucumbers into hot pint jars and pour hot brine over, leaving 1/2 inch headspace.",
		"Process pints 10 minutes, quarts 15 minutes in a boiling-water canner at 0 to 1,000 ft, with water 1 inch over the lids.",
		"At 6,000 to 8,000 ft process 20 minutes.",
		"Store in a cool, dark place. Wait 3 to 4 weeks before eating.",
	))
	b.ReportAllocs()
	for b.Loop() {
		if _, problem := checker.Draft(nil, body, false, false); problem != nil {
			b.Fatal(problem)
		}
	}
}
