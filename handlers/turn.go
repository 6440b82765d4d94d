package handlers

import (
	"io"
	"time"

	"github.com/labstack/echo/v4"

	"jarwright/validate/ingest"
)

// gate lets a number of documents be judged at a time. Judging takes processor time and memory many times the size of the
// document, reading and writing take neither; so a slot is held only between the two, and slow clients hold none.
type gate struct {
	judging     chan struct{}
	largeBodies chan struct{}
	streams     chan struct{}
	queueTime   time.Duration
	shed        func(reason string)
}

func newGate(limits Limits, shed func(string)) *gate {
	return &gate{
		judging:     make(chan struct{}, limits.Concurrency),
		largeBodies: make(chan struct{}, limits.LargeBodies),
		streams:     make(chan struct{}, limits.Streams),
		queueTime:   limits.QueueTime,
		shed:        shed,
	}
}

// Reasons for which a request is turned away with 503, as the metrics name them.
const (
	shedQueue       = "queue"
	shedLargeBodies = "large_bodies"
	shedStreams     = "streams"
)

// turn is what one request holds of the gate. It belongs to the goroutine of the request.
type turn struct {
	gate    *gate
	judging bool
	large   int // how many of Limits.LargeBodies it has
	stream  bool
}

// turnKey is where the turn stands in the context of a request.
const turnKey = "turn"

// takingTurns gives each request its turn, and takes back what it still holds when it is over.
func (s *surface) takingTurns(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		mine := &turn{gate: s.gate}
		c.Set(turnKey, mine)
		defer mine.leave()
		return next(c)
	}
}

// turnOf is the turn of a request, nil where there is no gate.
func turnOf(c echo.Context) *turn {
	mine, _ := c.Get(turnKey).(*turn)
	return mine
}

// enter waits until the document may be judged, and fails when that takes too long. It does not ask whether the context of the
// request has ended: it ends too when the client has closed its half of the connection and waits for the answer.
func (t *turn) enter() error {
	if t == nil || t.judging {
		return nil
	}
	select {
	case t.gate.judging <- struct{}{}:
		t.judging = true
		return nil
	default:
	}
	patience := time.NewTimer(t.gate.queueTime)
	defer patience.Stop()
	select {
	case t.gate.judging <- struct{}{}:
		t.judging = true
		return nil
	case <-patience.C:
		t.gate.shed(shedQueue)
		return &failure{kind: kindOverloaded}
	}
}

// wait waits as long as it takes. The lines of a stream are not turned away: the client is given no more than it waits for.
func (t *turn) wait() {
	if t.gate == nil || t.judging {
		return
	}
	t.gate.judging <- struct{}{}
	t.judging = true
}

// enlarge asks for the memory of a large body, and of several where it may be longer than a document. It does not wait: those
// that have it may be slow.
func (t *turn) enlarge(limit int64) error {
	if t == nil {
		return nil
	}
	for int64(t.large)*maxDocument < limit {
		select {
		case t.gate.largeBodies <- struct{}{}:
			t.large++
		default:
			t.gate.shed(shedLargeBodies)
			return &failure{kind: kindOverloaded}
		}
	}
	return nil
}

// openStream asks for the memory of a stream. It does not wait: a stream may last for hours.
func (t *turn) openStream() error {
	if t == nil || t.stream {
		return nil
	}
	select {
	case t.gate.streams <- struct{}{}:
		t.stream = true
		return nil
	default:
		t.gate.shed(shedStreams)
		return &failure{kind: kindOverloaded}
	}
}

// leave gives back what the turn holds. It may be called again.
func (t *turn) leave() {
	if t == nil {
		return
	}
	if t.judging {
		<-t.gate.judging
		t.judging = false
	}
	for ; t.large > 0; t.large-- {
		<-t.gate.largeBodies
	}
	if t.stream {
		<-t.gate.streams
		t.stream = false
	}
}

// readBody reads a body of at most limit bytes, and one byte more of a longer one to tell the two apart. Beyond smallBody it
// asks for the memory of a large one.
func (t *turn) readBody(body io.Reader, announced int64, limit int64) ([]byte, error) {
	room := min(smallBody, limit) + 1
	read := make([]byte, 0, min(max(announced, 511), room)+1)
	read, err := readInto(read, body, room)
	if err != nil || int64(len(read)) < room || room > limit {
		return read, err
	}
	if err := t.enlarge(limit); err != nil {
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
