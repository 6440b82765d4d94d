package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"
)

// exitBySignal and the number of a signal make the exit code of a command that a signal ended, as shells have it: 130 for
// SIGINT (Ctrl-C), 143 for SIGTERM, 141 for SIGPIPE.
const exitBySignal = 128

// interruption is why a command ended before it was done.
type interruption struct{ signal syscall.Signal }

func (i interruption) Error() string {
	if i.signal == syscall.SIGTERM {
		return "terminated"
	}
	return "interrupted"
}

func (i interruption) code() int { return exitBySignal + int(i.signal) }

// name is how POSIX calls the signal.
func (i interruption) name() string {
	if i.signal == syscall.SIGTERM {
		return "SIGTERM"
	}
	return "SIGINT"
}

// withSignals gives a context that ends with the first SIGINT or SIGTERM; an interruption is its cause.
func withSignals(parent context.Context) (context.Context, func()) {
	ctx, cancel := context.WithCancelCause(parent)
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	go func() {
		select {
		case received := <-signals:
			number, _ := received.(syscall.Signal)
			cancel(interruption{number})
		case <-ctx.Done():
		}
	}()
	return ctx, func() { signal.Stop(signals); cancel(nil) }
}

// interruptionOf is the interruption that ended a context; a context that ended otherwise counts as interrupted by hand.
func interruptionOf(ctx context.Context) interruption {
	var cause interruption
	if errors.As(context.Cause(ctx), &cause) {
		return cause
	}
	return interruption{syscall.SIGINT}
}

// lastWords is how long an interrupted command may take to write what it has finished: less than the 100 ms after which a person
// finds that a program does not listen. Who does not read our output cannot keep us longer.
const lastWords = 60 * time.Millisecond

// interruptible does some work until it is done or the context ends. The work may be anywhere by then, in a read that never
// returns or in the midst of a long document, and is left behind; the program ends with the command. What it writes goes
// through the gate, behind which finish writes the last words; unfinished does where there is no time for them.
func interruptible(ctx context.Context, g gate, work func() error, finish, unfinished func(interruption)) error {
	done := make(chan error, 1)
	go func() { done <- work() }()
	select {
	case err := <-done:
		if ctx.Err() == nil || !errors.Is(err, ctx.Err()) { // otherwise the work has only noticed first
			return err
		}
	case <-ctx.Done():
	}
	cause := interruptionOf(ctx)
	finished := make(chan struct{})
	go func() {
		defer close(finished)
		<-g // and nobody gets it back
		finish(cause)
	}()
	select {
	case <-finished:
	case <-time.After(lastWords):
		unfinished(cause)
	}
	return cause
}

// answerWhole does work that writes one answer, all of it or, when the context ends first, nothing.
func answerWhole(ctx context.Context, stdout, stderr io.Writer, work func(answer, complaints io.Writer) error) error {
	g := newGate()
	return interruptible(ctx, g, func() error {
		var answer, complaints bytes.Buffer
		worked := work(&answer, &complaints)
		return g.pass(ctx, func() error {
			_, _ = stderr.Write(complaints.Bytes()) // nobody is left to tell
			if _, err := stdout.Write(answer.Bytes()); err != nil {
				return fmt.Errorf("write to standard output: %w", err)
			}
			return worked
		})
	}, func(cause interruption) {
		fmt.Fprintf(stderr, "jarwright: %v before there was an answer\n", cause)
	}, func(cause interruption) {
		fmt.Fprintf(stderr, "jarwright: %v while nobody read the answer\n", cause)
	})
}

// gate lets one of two write at a time: the work of a command, and its end after an interruption. It holds a token while nobody
// writes.
type gate chan struct{}

func newGate() gate {
	g := make(gate, 1)
	g <- struct{}{}
	return g
}

// pass writes, unless the context has ended: then only the end of the command may.
func (g gate) pass(ctx context.Context, write func() error) error {
	select {
	case <-g:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { g <- struct{}{} }()
	if ctx.Err() != nil {
		return fmt.Errorf("write: %w", ctx.Err())
	}
	return write()
}
