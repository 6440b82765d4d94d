package handlers

import (
	"context"
	"io"
	"time"

	"github.com/labstack/echo/v4"

	"jarwright/validate/budget"
	"jarwright/validate/ingest"
)

// admission lets a number of documents be judged at a time. Judging takes processor time and memory many times the size of
// the document, reading and writing take neither; so a slot is held only between the two, and slow clients hold none.
type admission struct {
	judging     chan struct{}
	largeBodies chan struct{}
	streams     chan struct{}
	queueTime   time.Duration
	reject      func(reason string) // counts a request that is rejected
	watchdog    *watchdog
}

func newAdmission(limits Limits, reject func(string), watchdog *watchdog) *admission {
	return &admission{
		judging:     make(chan struct{}, limits.Concurrency),
		largeBodies: make(chan struct{}, limits.LargeBodies),
		streams:     make(chan struct{}, limits.Streams),
		queueTime:   limits.QueueTime,
		reject:      reject,
		watchdog:    watchdog,
	}
}

// Reasons for which a request is rejected with 503, as the metrics name them.
const (
	rejectedQueue       = "queue"
	rejectedLargeBodies = "large_bodies"
	rejectedStreams     = "streams"
)

// slot is what one request holds of the admission. It belongs to the goroutine of the request.
type slot struct {
	from    *admission
	judging bool
	large   int // how many of Limits.LargeBodies it has
	stream  bool

	route, requestID string         // for the log
	budget           *budget.Budget // nil until it is asked for
	cancel           context.CancelFunc
}

// slotKey is where the slot stands in the context of a request.
const slotKey = "slot"

// admitting gives each request a slot, which is empty at first, and takes back what it still holds when it is over.
func (s *Server) admitting(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		held := &slot{from: s.admission, route: c.Path(), requestID: requestID(c)}
		c.Set(slotKey, held)
		defer func() {
			held.release()
			if held.cancel != nil {
				held.cancel()
			}
			if held.budget != nil {
				s.charge(c, held.budget.Documents()-1)
				s.metrics.cost.Observe(float64(held.budget.Steps()))
			}
		}()
		return next(c)
	}
}

// slotOf is the slot of a request, nil where there is no admission.
func slotOf(c echo.Context) *slot {
	held, _ := c.Get(slotKey).(*slot)
	return held
}

// enter waits until the document may be judged, and fails when that takes too long. It does not ask whether the context of the
// request has ended: it ends too when the client has closed its half of the connection and waits for the answer.
func (h *slot) enter() error {
	if h == nil || h.judging {
		return nil
	}
	select {
	case h.from.judging <- struct{}{}:
		h.entered()
		return nil
	default:
	}
	timeout := time.NewTimer(h.from.queueTime)
	defer timeout.Stop()
	select {
	case h.from.judging <- struct{}{}:
		h.entered()
		return nil
	case <-timeout.C:
		h.from.reject(rejectedQueue)
		return &failure{kind: kindOverloaded}
	}
}

// enterPatiently waits as long as it takes. The lines of a stream are not turned away: the client is given no more than it waits for.
func (h *slot) enterPatiently() {
	if h.from == nil || h.judging {
		return
	}
	h.from.judging <- struct{}{}
	h.entered()
}

func (h *slot) entered() {
	h.judging = true
	h.from.watchdog.enter(h)
}

// reserveLarge asks for the memory of a large body, and of several where it may be longer than a document. It does not wait: those
// that have it may be slow.
func (h *slot) reserveLarge(limit int64) error {
	if h == nil {
		return nil
	}
	for int64(h.large)*maxDocument < limit {
		select {
		case h.from.largeBodies <- struct{}{}:
			h.large++
		default:
			h.from.reject(rejectedLargeBodies)
			return &failure{kind: kindOverloaded}
		}
	}
	return nil
}

// openStream asks for the memory of a stream. It does not wait: a stream may last for hours.
func (h *slot) openStream() error {
	if h == nil || h.stream {
		return nil
	}
	select {
	case h.from.streams <- struct{}{}:
		h.stream = true
		return nil
	default:
		h.from.reject(rejectedStreams)
		return &failure{kind: kindOverloaded}
	}
}

// release gives back what the slot holds. It may be called again.
func (h *slot) release() {
	if h == nil {
		return
	}
	if h.judging {
		h.from.watchdog.leave(h)
		<-h.from.judging
		h.judging = false
	}
	for ; h.large > 0; h.large-- {
		<-h.from.largeBodies
	}
	if h.stream {
		<-h.from.streams
		h.stream = false
	}
}

// readBody reads a body of at most limit bytes, and one byte more of a longer one to tell the two apart. Beyond smallBody it
// asks for the memory of a large one.
func (h *slot) readBody(body io.Reader, announced int64, limit int64) ([]byte, error) {
	room := min(smallBody, limit) + 1
	read := make([]byte, 0, min(max(announced, 511), room)+1)
	read, err := readInto(read, body, room)
	if err != nil || int64(len(read)) < room || room > limit {
		return read, err
	}
	if err := h.reserveLarge(limit); err != nil {
		return read, err
	}
	whole := make([]byte, len(read), min(max(announced, 2*room), limit)+2)
	copy(whole, read)
	return readInto(whole, body, limit+1)
}

// readInto reads until there are room bytes or the reader ends.
func readInto(read []byte, from io.Reader, room int64) ([]byte, error) {
	for int64(len(read)) < room {
		if len(read) == cap(read) {
			read = append(read, 0)[:len(read)]
		}
		n, err := from.Read(read[len(read):min(int64(cap(read)), room)])
		read = read[:len(read)+n]
		if err == io.EOF {
			return read, nil
		}
		if err != nil {
			return read, err
		}
	}
	return read, nil
}

// maxDocument is the length of the longest document in bytes.
const maxDocument = int64(ingest.MaxBytes)
