package handlers

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"sync"
	"sync/atomic"
	"time"
)

// sentBody is a body as it comes from the client. It measures how fast that is, gives each read its time, and may be ended from
// elsewhere.
type sentBody struct {
	source  io.ReadCloser
	control *http.ResponseController
	pace    *pace
	bytes   atomic.Int64 // that came

	mutex sync.Mutex
	by    time.Time     // when all of it has to be there; zero for as long as it likes
	most  time.Duration // how far behind the least rate it may be, or, without by, how long one read may take
	ended error         // why nothing more is read
}

// errStreamEnded is the error of reading on when the service stops or has given the client up.
var errStreamEnded = errors.New("the stream was ended")

// Read reads what is there, or waits for it.
func (b *sentBody) Read(into []byte) (int, error) {
	now := time.Now()
	if err := b.prepare(now); err != nil {
		return 0, err
	}
	b.pace.wait(now)
	n, err := b.source.Read(into)
	b.pace.moved(time.Now(), n)
	b.bytes.Add(int64(n))
	switch {
	case errors.Is(err, io.EOF):
		// The server goes on reading to notice when the client leaves. That has no end, or the request would be taken for
		// abandoned at it.
		_ = b.control.SetReadDeadline(time.Time{})
	case err != nil:
		err = b.explained(err)
	}
	return n, err
}

// Close closes the body.
func (b *sentBody) Close() error { return b.source.Close() }

func (b *sentBody) prepare(now time.Time) error {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if b.ended != nil {
		return b.ended
	}
	deadline := now.Add(b.most)
	if !b.by.IsZero() {
		if deadline = deadline.Add(-b.pace.behind(now)); b.by.Before(deadline) {
			deadline = b.by
		}
	}
	_ = b.control.SetReadDeadline(deadline) // a test's recorder has none
	return nil
}

// explained is why a read failed.
func (b *sentBody) explained(err error) error {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if b.ended != nil {
		return b.ended
	}
	if errors.Is(err, os.ErrDeadlineExceeded) && !b.by.IsZero() && time.Now().Before(b.by) {
		return b.tooSlow("")
	}
	return err
}

// tooSlow is the failure of a client that is behind the least rate.
func (b *sentBody) tooSlow(more string) *failure {
	return &failure{
		kind: kindRequestTimeout, cause: errStreamEnded,
		detail: fmt.Sprintf("The service waited for the client, which moved less than %d bytes a second.%s", b.pace.least, more),
	}
}

// asStream lets the body take as long as it likes, as long as no read takes longer than idle.
func (b *sentBody) asStream(idle time.Duration) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	b.by, b.most = time.Time{}, idle
}

// end makes the read under way fail after so long, and every later one.
func (b *sentBody) end(why error, after time.Duration) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if b.ended == nil {
		b.ended = why
	}
	_ = b.control.SetReadDeadline(time.Now().Add(after))
}

// giveWay ends the body because others ask for what it holds.
func (b *sentBody) giveWay() { b.end(b.tooSlow(" Others were waiting for its place."), 0) }

// dropRest reads and drops what the client goes on sending for a short while, so that it reads the answer before it notices that
// nobody listens.
func (b *sentBody) dropRest(within time.Duration) {
	_ = b.control.SetReadDeadline(time.Now().Add(within))
	_, _ = io.CopyN(io.Discard, b.source, drainBytes)
}
