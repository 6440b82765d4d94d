package budget_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"jarwright/validate/budget"
)

func TestBudgetEndsForGood(t *testing.T) {
	limits := budget.Limits{Steps: 100, Held: 50, Answer: 10}
	cases := []struct {
		name     string
		resource budget.Resource
		within   func(*budget.Budget) bool // takes the whole of one resource
		beyond   func(*budget.Budget) bool
	}{
		{"work", budget.Work, func(b *budget.Budget) bool { return b.Spend(100) }, func(b *budget.Budget) bool { return b.Spend(1) }},
		{"memory", budget.Memory, func(b *budget.Budget) bool { return b.Hold(50) }, func(b *budget.Budget) bool { return b.Hold(1) }},
		{"answer", budget.Answer, write(10), write(1)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			b := budget.New(context.Background(), limits)
			if !c.within(b) || b.Err() != nil {
				t.Fatalf("the whole of the limit was refused: %v", b.Err())
			}
			if c.beyond(b) {
				t.Fatal("more than the limit was given")
			}
			var exceeded *budget.ExceededError
			if !errors.As(b.Err(), &exceeded) || exceeded.Resource != c.resource {
				t.Fatalf("the error is %v", b.Err())
			}
			if b.Spend(0) || b.Hold(0) || write(0)(b) {
				t.Error("a budget that has ended gives again")
			}
		})
	}
}

func write(bytes int) func(*budget.Budget) bool {
	return func(b *budget.Budget) bool {
		_, err := b.Writer(&strings.Builder{}).Write(make([]byte, bytes))
		return err == nil
	}
}

func TestNilBudgetHasNoLimits(t *testing.T) {
	var b *budget.Budget
	if !b.Spend(1<<40) || !b.Hold(1<<40) || b.Err() != nil || b.Documents() != 1 || !write(100)(b) {
		t.Error("a nil budget has a limit")
	}
}

// A client that has closed its side gets the answer to an ordinary document, and no more; one whose time is up gets none.
func TestContextEndsTheWork(t *testing.T) {
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	b := budget.New(gone, budget.DefaultLimits())
	for b.Steps() < budget.Ordinary {
		if !b.Spend(1) {
			t.Fatalf("an ordinary document ended after %d steps", b.Steps())
		}
	}
	for range 1000 {
		b.Spend(1)
	}
	if !errors.Is(b.Err(), context.Canceled) {
		t.Errorf("a costly document of a client that is gone goes on: %v", b.Err())
	}
	late, cancel := context.WithDeadline(context.Background(), time.Now().Add(-time.Second))
	defer cancel()
	b = budget.New(late, budget.DefaultLimits())
	for range 1000 {
		b.Spend(1)
	}
	if !errors.Is(b.Err(), context.DeadlineExceeded) {
		t.Errorf("a document goes on after its time: %v", b.Err())
	}
}

func TestDocuments(t *testing.T) {
	for _, c := range []struct {
		steps, documents int
	}{{0, 1}, {budget.Ordinary, 1}, {budget.Ordinary + 1, 2}, {10 * budget.Ordinary, 10}} {
		b := budget.New(context.Background(), budget.DefaultLimits())
		b.Spend(c.steps)
		if got := b.Documents(); got != c.documents {
			t.Errorf("%d steps come to %d documents, want %d", c.steps, got, c.documents)
		}
	}
}
