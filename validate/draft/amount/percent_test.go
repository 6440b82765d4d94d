package amount

import (
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// percentInWords is the regular expression that says what Percent reads.
var percentInWords = regexp.MustCompile(`(\d+(?:[.,]\d+)?)(?:\s*(?:-|to)\s*(\d+(?:[.]\d+)?))?\s*(?:%|per ?cent\b)`)

// Percent finds in every text what the regular expression finds that says the same.
func TestPercentReadsAsInWords(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4)) //nolint:gosec // a test
	parts := strings.Split(`1|5|12|100|4.5|0,5|.|,|-| - | |  |to| to |%| %|percent| percent|per cent|percents|cent|x|_|é|(|)`, "|")
	read := 0
	for range 50_000 {
		var b strings.Builder
		for range 1 + random.IntN(8) {
			b.WriteString(parts[random.IntN(len(parts))])
		}
		text := b.String()
		got, ok := Percent(text)
		var want float64
		wantOK := false
		if m := percentInWords.FindStringSubmatch(text); m != nil {
			want, _ = strconv.ParseFloat(strings.ReplaceAll(m[1], ",", "."), 64)
			wantOK = want <= 100
		}
		if ok != wantOK || ok && got != want {
			t.Fatalf("%q: %v %v, want %v %v", text, got, ok, want, wantOK)
		}
		if ok {
			read++
		}
	}
	if read < 1000 {
		t.Errorf("only %d texts have a percentage", read)
	}
}
