package handlers

import (
	"context"
	"errors"
	"io"
	"net/http"
	"sync"
	"time"

	"github.com/labstack/echo/v4"
	"golang.org/x/sync/semaphore"
)

// What a line is taken to hold of the memory until its answer is written: lineShare for an answer of usual length, and
// growth times its own length. Answers with a finding for each of 200 jars are four times as long as their document.
const (
	lineShare = 32 << 10
	growth    = 5
)

// lineMemory bounds what the lines of one stream hold from when they are read until their answers are written. It is no more
// than an estimate, because the length of an answer is known only when it is there.
type lineMemory struct {
	left *semaphore.Weighted
	most int64
}

func newLineMemory(most int64) *lineMemory {
	return &lineMemory{left: semaphore.NewWeighted(most), most: most}
}

// take waits until there is room for a line and its answer. A line that would take more than there is waits to be alone.
func (m *lineMemory) take(ctx context.Context, job *lineJob) error {
	job.held = min(lineShare+growth*int64(len(job.text)), m.most)
	return m.left.Acquire(ctx, job.held)
}

func (m *lineMemory) giveBack(job *lineJob) { m.left.Release(job.held) }

// measuredSource is a body that tells how much of it was sent so far, as it was sent.
type measuredSource interface {
	io.Reader
	sent() int64
}

// lineSource is the body of a stream.
type lineSource struct {
	io.Reader
	body       *sentBody // as it was sent; nil where there is none
	connection *connection
}

func newLineSource(c echo.Context) *lineSource {
	source := &lineSource{Reader: c.Request().Body}
	if held := slotOf(c); held != nil {
		source.body, source.connection = held.sent, held.connection
	}
	return source
}

func (s *lineSource) sent() int64 {
	if s.body == nil {
		return 0
	}
	return s.body.bytes.Load()
}

// patient lets the body take as long as it likes, as long as no read takes longer than idle.
func (s *lineSource) patient(idle time.Duration) {
	if s.body != nil {
		s.body.asStream(idle)
	}
}

// end makes the read under way fail after so long, and every later one.
func (s *lineSource) end(after time.Duration) {
	if s.body != nil {
		s.body.end(errStreamEnded, after)
	}
}

// giveWay ends the stream because others ask for its place. Who does not take answers is not waited for.
func (s *lineSource) giveWay(target *idleWriter) {
	now := time.Now()
	if s.connection != nil && s.connection.taking.behind(now) > s.connection.sending.behind(now) {
		target.endBy(now)
	} else {
		target.endBy(now.Add(partingTime))
	}
	if s.body != nil {
		s.body.giveWay()
	}
}

// noMore keeps what is left of the body from being taken for another request.
func (s *lineSource) noMore() {
	if s.connection != nil {
		s.connection.noMore()
	}
}

// dropRest reads and drops what the client goes on sending for a short while.
func (s *lineSource) dropRest() {
	if s.body != nil {
		s.body.dropRest(partingTime)
	}
}

// bodyLength is how long the body of a stream was up to the end of one of its lines.
type bodyLength struct{ unpacked, sent int64 }

// answerAllowance bounds the answers of a stream by the length of its body: those to lines that are no JSON, which cost the
// sender nothing, by the length of its lines; all of them by what was sent, which gzip makes a thousand times shorter.
type answerAllowance struct {
	limits        *Limits
	problems, all int64 // bytes answered
}

// errAnswerLimit is the failure of a stream that has had as long answers as it may.
var errAnswerLimit error = &failure{kind: kindAnswerLimit}

// has counts an answer and says whether it is still within what the body allows.
func (a *answerAllowance) has(job *lineJob, result lineResult) bool {
	if result.body == nil {
		return true // the line was given up
	}
	length := int64(result.body.Len())
	a.all += length
	if !result.json {
		a.problems += length
	}
	return a.problems <= freeProblems+int64(a.limits.StreamProblemRatio)*job.length.unpacked &&
		a.all <= freeAnswers+int64(a.limits.StreamAnswerRatio)*job.length.sent
}

// idleWriter gives each write its own time, as long as there is any left.
type idleWriter struct {
	target  io.Writer
	control *http.ResponseController
	idle    time.Duration // how long one write may take
	mutex   sync.Mutex
	last    time.Time // when all writing has to be done, if that is known
}

func (w *idleWriter) Write(body []byte) (int, error) {
	w.wait()
	return w.target.Write(body)
}

func (w *idleWriter) wait() {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	deadline := time.Now().Add(w.idle)
	if !w.last.IsZero() && w.last.Before(deadline) {
		deadline = w.last
	}
	_ = w.control.SetWriteDeadline(deadline) // a recorder has none
}

// endBy lets the write under way, and every later one, take until then and no longer.
func (w *idleWriter) endBy(last time.Time) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.last = last
	_ = w.control.SetWriteDeadline(last)
}

func (w *idleWriter) flush() error {
	w.wait()
	if err := w.control.Flush(); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	return nil
}
