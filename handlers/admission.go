package handlers

import (
	"context"
	"io"
	"net/http"
	"net/netip"
	"time"

	"github.com/labstack/echo/v4"

	"jarwright/validate/budget"
	"jarwright/validate/ingest"
)

// admission lets a number of documents be judged at a time. Judging takes processor time and memory many times the size of
// the document, reading and writing take neither; so a slot is held only between the two, and slow clients hold none. It also
// has what clients share while they send: the memory of large bodies, and the streams.
type admission struct {
	judging   *turns
	bodies    *pool // in bytes
	streams   *pool
	answers   *pool // in bytes
	limits    *Limits
	queueTime time.Duration
	reject    func(reason string) // counts a request that is rejected
	watchdog  *watchdog
}

func newAdmission(limits *Limits, metrics *Metrics, watchdog *watchdog) *admission {
	return &admission{
		judging:   newTurns(limits.Concurrency),
		bodies:    newPool(int64(limits.LargeBodies)*maxDocument, limits, func() { metrics.giveWay(rejectedLargeBodies) }),
		streams:   newPool(int64(limits.Streams), limits, func() { metrics.giveWay(rejectedStreams) }),
		answers:   newPool(int64(limits.LargeAnswers)<<20, limits, func() { metrics.giveWay(rejectedLargeAnswers) }),
		limits:    limits,
		queueTime: limits.QueueTime,
		reject:    metrics.reject,
		watchdog:  watchdog,
	}
}

// Reasons for which a request is rejected with 503, as the metrics name them, and for which others give way.
const (
	rejectedQueue        = "queue"
	rejectedLargeBodies  = "large_bodies"
	rejectedStreams      = "streams"
	rejectedConnections  = "connections"
	rejectedLargeAnswers = "large_answers"
)

// slot is what one request holds of the admission. It belongs to the goroutine of the request.
type slot struct {
	from       *admission
	judging    bool
	client     netip.Prefix
	sent       *sentBody   // nil where the request has no body
	connection *connection // nil where another server than ours has it
	large      *holder     // of the memory of a large body, in bytes
	stream     *holder
	answer     *holder // of the memory of a large answer until the client has taken it, in bytes

	route, requestID string         // for the log
	budget           *budget.Budget // nil until it is asked for
	cancel           context.CancelFunc
}

// slotKey is where the slot stands in the context of a request.
const slotKey = "slot"

// admitting gives each request a slot, which is empty at first, and takes back what it still holds when it is over.
func (s *Server) admitting(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		request := c.Request()
		held := &slot{
			from: s.admission, client: clientOf(c.RealIP()), connection: connectionOf(request.Context()), route: c.Path(), requestID: requestID(c),
		}
		if request.Body != nil && request.Body != http.NoBody {
			held.sent = s.measured(request.Body, c.Response().Writer, held.connection)
			request.Body = held.sent
		}
		c.Set(slotKey, held)
		defer func() {
			held.leave()
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

// measured is a body whose client is measured.
func (s *Server) measured(body io.ReadCloser, writer http.ResponseWriter, connection *connection) *sentBody {
	sent := &sentBody{source: body, control: http.NewResponseController(writer), most: s.limits.Patience}
	if connection == nil {
		sent.pace, sent.by = &pace{least: s.limits.LeastRate}, time.Now().Add(s.limits.ReadTimeout)
		return sent
	}
	sent.pace, sent.by = &connection.sending, connection.begin().Add(s.limits.ReadTimeout)
	connection.receives(sent)
	return sent
}

// holder is one that gives way when the client of the request is behind.
func (h *slot) holder(end func()) *holder {
	behind := func(now time.Time) time.Duration {
		switch {
		case h.connection != nil:
			return h.connection.behind(now)
		case h.sent != nil:
			return h.sent.pace.behind(now)
		}
		return 0
	}
	return &holder{client: h.client, behind: behind, end: end}
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
	if !h.from.judging.enter(h.client, h.from.queueTime) {
		h.from.reject(rejectedQueue)
		return &failure{kind: kindOverloaded}
	}
	h.entered()
	return nil
}

// enterPatiently waits as long as it takes. The lines of a stream are not turned away: the client is given no more than it waits for.
func (h *slot) enterPatiently() {
	if h.from == nil || h.judging {
		return
	}
	h.from.judging.enter(h.client, 0)
	h.entered()
}

func (h *slot) entered() {
	h.judging = true
	h.from.watchdog.enter(h)
}

// reserve asks for so many bytes of memory for a large body, and waits for a while where others have to give way first.
func (h *slot) reserve(bytes int64) error {
	if h == nil {
		return nil
	}
	if h.large == nil {
		h.large = h.holder(func() {
			if h.sent != nil {
				h.sent.giveWay()
			}
		})
	}
	return h.admitted(h.from.bodies.takeWithin(h.large, bytes, h.from.queueTime), rejectedLargeBodies)
}

// reserveAnswer asks for the memory of an answer, which is held until the client has taken it, and waits for a while where others
// have to give way first. Answers of usual length need not ask.
func (h *slot) reserveAnswer(bytes int) error {
	const usual = 32 << 10
	if h == nil || bytes <= usual || h.answer != nil {
		return nil
	}
	h.answer = h.holder(func() {
		if h.connection != nil {
			_ = h.connection.Close()
		}
	})
	return h.admitted(h.from.answers.takeWithin(h.answer, int64(bytes), h.from.queueTime), rejectedLargeAnswers)
}

// openStream asks for one of the streams. What ends it is called when its client is behind and others wait.
func (h *slot) openStream(end func()) error {
	if h == nil || h.stream != nil {
		return nil
	}
	h.stream = h.holder(end)
	return h.admitted(h.from.streams.takeWithin(h.stream, 1, h.from.queueTime), rejectedStreams)
}

// admitted is what a client is told that could not have what it asked for.
func (h *slot) admitted(result outcome, reason string) error {
	switch {
	case result == taken:
		return nil
	case result == left && h.sent != nil:
		return h.sent.tooSlow(" Others were waiting for its place.")
	case result == ownShare:
		h.from.reject(reason)
		return &failure{kind: kindOverloaded, detail: "The client itself has as much under way as one may have."}
	}
	h.from.reject(reason)
	return &failure{kind: kindOverloaded}
}

// leave gives back all that the slot holds.
func (h *slot) leave() {
	h.release()
	if h.answer != nil {
		h.from.answers.release(h.answer)
	}
}

// release gives back what the slot holds but the memory of an answer that is on its way. It may be called again.
func (h *slot) release() {
	if h == nil {
		return
	}
	if h.judging {
		h.from.watchdog.leave(h)
		h.from.judging.leave()
		h.judging = false
	}
	if h.large != nil {
		h.from.bodies.release(h.large)
	}
	if h.stream != nil {
		h.from.streams.release(h.stream)
	}
}

// readBody reads a body of at most limit bytes, and one byte more of a longer one to tell the two apart. Beyond smallBody it
// asks for memory, twice as much each time, so that it holds no more than a few times what has arrived, whatever was announced.
func (h *slot) readBody(body io.Reader, announced, limit int64) ([]byte, error) {
	room := min(smallBody, limit) + 1
	read, err := readInto(make([]byte, 0, min(max(announced, 511), room)+1), body, room)
	most := limit + 1
	if announced >= 0 {
		most = min(most, announced+1)
	}
	for reserved := int64(0); err == nil && int64(len(read)) == room && room < most; {
		room = min(2*room, most)
		if err := h.reserve(min(room, limit) - reserved); err != nil {
			return read, err
		}
		reserved = min(room, limit)
		larger := make([]byte, len(read), room)
		copy(larger, read)
		read, err = readInto(larger, body, room)
	}
	return read, err
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
