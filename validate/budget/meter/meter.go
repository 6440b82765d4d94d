// Package meter tells tests how much of the processors something takes. Unlike the time on the wall it hardly depends on what
// else the machine does.
package meter

import (
	"syscall"
	"testing"
	"time"
)

// Processor is the time on the processors that this program has taken so far, in all its threads.
func Processor(t testing.TB) time.Duration {
	t.Helper()
	var usage syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &usage); err != nil {
		t.Fatalf("ask for the time on the processors: %v", err)
	}
	return time.Duration(usage.Utime.Nano() + usage.Stime.Nano())
}

// tries is how often something is done before it is said to take too much: the collector of garbage may have worked meanwhile.
const tries = 3

// Within fails a test when something takes more time on the processors than it may, each time it is tried, and gives the least
// that it took.
func Within(t testing.TB, most time.Duration, do func()) time.Duration {
	t.Helper()
	least := time.Duration(-1)
	for range tries {
		before := Processor(t)
		do()
		if took := Processor(t) - before; least < 0 || took < least {
			least = took
		}
		if least <= most {
			return least
		}
	}
	t.Errorf("it takes %v of the processors, more than %v", least, most)
	return least
}
