package report_test

import (
	"strings"
	"syscall"
	"testing"
	"time"

	"jarwright/validate/plaintext/plaintexttest"
	"jarwright/validate/report"
)

func TestWrapped(t *testing.T) {
	word := strings.Repeat("x", 70)
	wide := strings.Repeat("漢", 39)
	for _, test := range []struct{ name, text, want string }{
		{"nothing", "", "- \n"},
		{"ordinary", "Put  salt\nin.", "- Put salt in.\n"},
		{"long word", "a " + strings.Repeat("y", 90) + " b", "- a\n  " + strings.Repeat("y", 90) + "\n  b\n"},
		{"our quotation", word + " “Pickled bell peppers and so on”", "- " + word + "\n  “Pickled bell peppers and so on”\n"},
		{"our quotation broken", word + " “Pickled bell " + word + "”", "- " + word + "\n  “Pickled bell\n  " + word + "”\n"},
		{"words as ours", "“" + word + " FIT FOR THE SHELF " + word + "”, so.", "- “" + word + " FIT\n  “FOR THE SHELF\n  “" + word + "”, so.\n"},
		{"words as ours, no end", "“" + word + " FIT FOR THE SHELF", "- “" + word + " FIT\n  “FOR THE SHELF\n"},
		{"after the quotation", "“FIT FOR” " + word + " x " + word, "- “FIT FOR”\n  " + word + " x\n  " + word + "\n"},
		{"wide signs", wide + " FIT FOR THE SHELF", "- " + wide + "\n  FIT FOR THE SHELF\n"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := report.Wrapped(test.text, "- ", "  "); got != test.want {
				t.Errorf("became\n%swant\n%s", got, test.want)
			}
		})
	}
}

// Whatever length of word stands before and after them, quoted words of a stranger never begin a line as ours do.
func TestWrappedNeverForges(t *testing.T) {
	for before := range 100 {
		for _, padding := range []string{"x", "漢", "x ", "“", "”“"} {
			text := "There is “" + strings.Repeat(padding, before) + " FIT FOR THE SHELF " + strings.Repeat("y", 70) + "”."
			for _, rest := range []string{"", "   "} {
				if err := plaintexttest.Forged(report.Wrapped(text, rest, rest)); err != nil && !strings.Contains(padding, "”") {
					t.Errorf("%d %s: %v", before, padding, err)
				}
			}
		}
	}
}

// processorTime is what this process has used of the processors, in which other processes do not show.
func processorTime(t *testing.T) time.Duration {
	t.Helper()
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		t.Fatal(err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}

// Breaking twice the text takes about twice the time: nothing is looked at again for each word or mark.
func TestWrappedIsLinear(t *testing.T) {
	for _, piece := range []string{"word ", "“ ", "“FIT FOR” ", "“A B ", "漢 "} {
		t.Run(piece, func(t *testing.T) {
			per := func(times int) float64 {
				text := strings.Repeat(piece, times)
				least := time.Hour
				for range 7 {
					began := processorTime(t)
					report.Wrapped(text, "", "")
					least = min(least, processorTime(t)-began)
				}
				return float64(least)
			}
			const most = 24 // eight times the text, and the cache of a busy machine
			if once, more := per(5000), per(40_000); more > most*once {
				t.Errorf("%.0f ns, and %.0f for 8 times the text", once, more)
			}
		})
	}
}
