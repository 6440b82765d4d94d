// Package budget bounds what one document may cost: the work it makes, the memory it holds and the length of its answer, and
// the time that its sender waits. Reading and judging are linear in the document, so that nobody who writes a recipe ever
// meets a bound; a budget is there for what was overlooked, and to say how much a document did cost.
package budget

import (
	"context"
	"errors"
	"fmt"
	"io"
)

// Limits are what one document may cost.
type Limits struct {
	Steps  int64 // of work; a step is about a microsecond of one processor
	Held   int64 // bytes of memory beside the document
	Answer int64 // bytes of the answer
}

// DefaultLimits are for documents of the greatest length that is read. The costliest that is known takes a fifth of the
// steps (TestCostliest in cmd/jarwright searches for it).
func DefaultLimits() Limits {
	return Limits{Steps: 500_000, Held: 256 << 20, Answer: 16 << 20}
}

// Ordinary is how many steps an ordinary document takes at most. What takes more counts as so many documents as it has of them.
const Ordinary = 2000

// Resource is what a document had no more of.
type Resource string

// The resources of a document.
const (
	Work   Resource = "work"
	Memory Resource = "memory"
	Answer Resource = "answer"
)

// ExceededError says that a document costs more than one may.
type ExceededError struct {
	Resource Resource
	Limit    int64 // in steps for work, in bytes otherwise
}

func (e *ExceededError) Error() string {
	return fmt.Sprintf("the document costs more %s than the limit of %d", e.Resource, e.Limit)
}

// Budget is what one document may still cost. The first limit that is passed ends it for good: every later question is
// answered with no, so that loops end at once and only their end has to look at Err. A nil Budget has no limits. It belongs
// to the goroutine of its document.
type Budget struct {
	ctx    context.Context //nolint:containedctx // a Budget is the context of a document, with what it may cost besides
	limits Limits
	steps  int64
	held   int64
	wrote  int64
	looked int64 // steps at which the context was last asked
	err    error
}

// New makes a budget that also ends when the context does. A context that is canceled, as it is when the client has closed its
// side of the connection, ends no document that is ordinary: such a client may still wait for its answer.
func New(ctx context.Context, limits Limits) *Budget {
	return &Budget{ctx: ctx, limits: limits}
}

// lookEvery is how many steps may pass until the context is asked again.
const lookEvery = 200

// Spend takes steps from the budget. It reports false once the work is to end.
func (b *Budget) Spend(steps int) bool {
	if b == nil {
		return true
	}
	if b.err != nil {
		return false
	}
	if b.steps += int64(max(steps, 0)); b.steps > b.limits.Steps {
		b.err = &ExceededError{Resource: Work, Limit: b.limits.Steps}
		return false
	}
	if b.steps-b.looked >= lookEvery {
		b.looked = b.steps
		b.look()
	}
	return b.err == nil
}

// SpendText takes the steps of reading a text once or twice, a step for each 32 bytes.
func (b *Budget) SpendText(bytes int) bool {
	const bytesPerStep = 32
	return b.Spend(1 + bytes/bytesPerStep)
}

// look asks whether the time is up or the client gone.
func (b *Budget) look() {
	err := b.ctx.Err()
	if err == nil || errors.Is(err, context.Canceled) && b.steps <= Ordinary {
		return
	}
	b.err = fmt.Errorf("work on the document: %w", err)
}

// Hold takes bytes of memory that stay until the answer is there. It reports false once the work is to end.
func (b *Budget) Hold(bytes int) bool {
	if b == nil {
		return true
	}
	if b.err != nil {
		return false
	}
	if b.held += int64(max(bytes, 0)); b.held > b.limits.Held {
		b.err = &ExceededError{Resource: Memory, Limit: b.limits.Held}
	}
	return b.err == nil
}

// Err says why the work is to end, nil as long as it is not: an *ExceededError, or one that wraps context.Canceled or
// context.DeadlineExceeded.
func (b *Budget) Err() error {
	if b == nil {
		return nil
	}
	return b.err
}

// Steps is how many have been taken.
func (b *Budget) Steps() int64 {
	if b == nil {
		return 0
	}
	return b.steps
}

// Documents is how many ordinary documents the work so far comes to, at least one.
func (b *Budget) Documents() int {
	return 1 + int(max(b.Steps()-1, 0)/Ordinary)
}

// Writer writes to another writer what the answer may still have. Its error is that of Err.
func (b *Budget) Writer(w io.Writer) io.Writer {
	if b == nil {
		return w
	}
	return &writer{budget: b, target: w}
}

type writer struct {
	budget *Budget
	target io.Writer
}

func (w *writer) Write(p []byte) (int, error) {
	b := w.budget
	if b.wrote += int64(len(p)); b.err == nil && b.wrote > b.limits.Answer {
		b.err = &ExceededError{Resource: Answer, Limit: b.limits.Answer}
	}
	if !b.SpendText(len(p) / 8) { // writing is quicker than reading
		return 0, b.err
	}
	return w.target.Write(p)
}
