package meter_test

import (
	"testing"
	"time"

	"jarwright/validate/budget/meter"
)

// failing keeps a failure for itself.
type failing struct {
	testing.TB
	failed bool
}

func (f *failing) Errorf(string, ...any) { f.failed = true }

func TestWithin(t *testing.T) {
	busy := func() {
		for before := meter.Processor(t); meter.Processor(t)-before < 20*time.Millisecond; {
			continue
		}
	}
	for _, test := range []struct {
		name string
		most time.Duration
		do   func()
		fail bool
	}{
		{"work beyond the limit", 5 * time.Millisecond, busy, true},
		{"work within the limit", time.Second, busy, false},
		{"waiting is no work", 15 * time.Millisecond, func() { time.Sleep(40 * time.Millisecond) }, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := &failing{TB: t}
			if took := meter.Within(f, test.most, test.do); f.failed != test.fail {
				t.Errorf("took %v, failed: %t", took, f.failed)
			}
		})
	}
}
