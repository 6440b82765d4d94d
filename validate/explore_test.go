package validate

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"jarwright/validate/report"
)

func TestExploreWords(t *testing.T) {
	for _, pattern := range []string{"../testdata/corpus/*.json", "../examples/*.json", "../../../shared/cases/*.json"} {
		files, _ := filepath.Glob(pattern)
		shelf := 0
		for _, file := range files {
			body, _ := os.ReadFile(file)
			r, problem := checker.Check(nil, body, report.Options{})
			if problem != nil {
				fmt.Println(file, "REFUSED", problem)
				continue
			}
			if r.Disposition == report.Shelf {
				shelf++
			}
			for _, f := range r.Findings {
				if f.Rule == "ingredient.words" || f.Rule == "ingredient.contradiction" || pattern[3:5] == "..." || (len(pattern) > 20 && pattern[3] == '.' && f.Severity == report.Error) {
					fmt.Println(filepath.Base(file), r.Disposition, f.Rule, f.At, f.Message)
				}
			}
		}
		fmt.Println(pattern, len(files), shelf)
	}
}
