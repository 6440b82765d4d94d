package validate

import (
	"os"
	"slices"
	"testing"

	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// countingChecker is a Checker that counts how often a recipe is judged: once for each time that its first rule is asked.
func countingChecker(t *testing.T) (counted *Checker, judgments *int) {
	t.Helper()
	counted, err := New()
	if err != nil {
		t.Fatal(err)
	}
	judgments = new(int)
	applies := counted.rules[0].Applies
	counted.rules[0].Applies = func(f *facts.Facts) bool {
		*judgments++
		return applies(f)
	}
	return counted, judgments
}

// The picture of the pH once judged the recipe anew for each of its 21 points.
func TestAPageIsJudgedOnce(t *testing.T) {
	counted, judgments := countingChecker(t)
	for _, name := range []string{"dill-cucumbers", "salsa-too-many-peppers", "beets-metric"} {
		t.Run(name, func(t *testing.T) {
			body, err := os.ReadFile("../examples/" + name + ".json")
			if err != nil {
				t.Fatal(err)
			}
			*judgments = 0
			judged, problem := counted.Illustrate(nil, body, report.Options{})
			if problem != nil {
				t.Fatal(problem.Detail)
			}
			if *judgments != 1 {
				t.Errorf("judged %d times", *judgments)
			}
			if judged.Request.Recipe.Name == "" || len(judged.Report.Rules) != len(counted.rules) || len(judged.Report.Curves) == 0 {
				t.Errorf("the request or the report is not whole")
			}
		})
	}
}

func TestThePicturesOfAPage(t *testing.T) {
	body, err := os.ReadFile("../examples/dill-cucumbers.json")
	if err != nil {
		t.Fatal(err)
	}
	counted, _ := countingChecker(t)
	judged, problem := counted.Illustrate(nil, body, report.Options{})
	if problem != nil {
		t.Fatal(problem.Detail)
	}
	var ids []string
	for _, figure := range judged.Pictures {
		ids = append(ids, figure.ID)
	}
	if want := []string{"picture-ph", "picture-heat", "picture-jar"}; !slices.Equal(ids, want) {
		t.Errorf("pictures %v, want %v", ids, want)
	}
}

// What the picture shows at the share of the recipe is the figure of the report.
func TestThePictureOfThePHPassesThroughTheReport(t *testing.T) {
	body, err := os.ReadFile("../examples/dill-cucumbers.json")
	if err != nil {
		t.Fatal(err)
	}
	counted, _ := countingChecker(t)
	request, problem := counted.request(nil, body)
	if problem != nil {
		t.Fatal(problem.Detail)
	}
	f, day := counted.derive(&request, report.Options{})
	want, ok := phOf(counted.assemble(f, day, counted.judge(nil, f), report.Options{}))
	if !ok {
		t.Fatal("the report has no pH")
	}
	share, ok := counted.vinegarShare(&f.Composition)
	if !ok {
		t.Fatal("the recipe has no vinegar")
	}
	got, ok := counted.phAt(f, share, share.vinegarML/(share.vinegarML+share.waterML))
	if !ok || got != want {
		t.Errorf("the picture has pH %v, the report %v", got, want)
	}
}
