package handlers

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"runtime"
	"runtime/debug"
	"sync"
	"time"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/labstack/echo/v4"
	"go.uber.org/zap"

	"jarwright/validate/budget"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// Limits of a stream of documents, one a line.
const (
	linesAhead      = 4 // documents read ahead of the one being answered, for each worker
	writeBufferSize = 32 << 10
	maxLineID       = 200         // bytes of an id that is echoed
	partingTime     = time.Second // for the last lines of a stream that gives way, and for what its client still sends
)

// lineAnswer is what a line of a stream is answered with. Exactly one of Report, Draft and Problem is there.
type lineAnswer struct {
	Line    int            `json:"line"` // from 1
	ID      jsontext.Value `json:"id,omitempty"`
	Report  any            `json:"report,omitempty"`
	Draft   any            `json:"draft,omitempty"`
	Problem *Problem       `json:"problem,omitempty"`
}

// lineSummary closes a stream. A stream without it, or with Complete false, was cut.
type lineSummary struct {
	Lines    int  `json:"lines"`
	OK       int  `json:"ok"`
	Failed   int  `json:"failed"`
	Complete bool `json:"complete"` // every line that was sent has been read to its end and answered
}

// lineJudge answers one document. What it returns goes into the report or draft member of the answer.
type lineJudge func(b *budget.Budget, document []byte) (answer lineAnswer, problem *ingest.Problem)

// streamRoute names the lines of streams to the watchdog.
const streamRoute = "a line of a stream"

// lineJob is one line on its way: read, judged by one of the workers, and written in its turn.
type lineJob struct {
	number int
	text   []byte
	long   int   // length of a line over the limit, of which nothing is kept
	held   int64 // bytes of the memory of its stream that it is taken to hold
	length bodyLength
	done   chan lineResult
}

type lineResult struct {
	body *bytes.Buffer
	ok   bool
	json bool // the line was a JSON value of bearable length, whatever else was wrong with it
}

// stream answers a body of documents, one a line, with answers, one a line, in the same order. It reads no further than a
// few lines beyond what the client has taken, so that a client that stops reading stops the work, and it ends when the
// client goes away, or before the service stops.
func (s *Server) stream(c echo.Context, judge lineJudge) error {
	request, response := c.Request(), c.Response()
	control := http.NewResponseController(response.Writer) // the Flush of echo itself panics where there is none
	source, target := newLineSource(c), &idleWriter{target: response, control: control, idle: s.limits.StreamIdleTimeout}
	if err := slotOf(c).openStream(func() { source.giveWay(target) }); err != nil {
		return err
	}
	source.patient(s.limits.StreamIdleTimeout)
	// Without this the server reads the whole request before the first byte of the answer. A server that cannot do it (a
	// test's recorder) has the whole request already.
	_ = control.EnableFullDuplex()
	ctx, cancel := context.WithCancel(request.Context())
	defer cancel()

	workers, id := runtime.GOMAXPROCS(0), requestID(c)
	jobs := make(chan *lineJob)
	pending := make(chan *lineJob, workers*linesAhead)
	memory := newLineMemory(int64(workers * linesAhead * lineShare))
	readError := make(chan error, 1)
	go func() {
		defer close(jobs)
		defer close(pending)
		readError <- readLines(ctx, source, jobs, pending, memory)
	}()
	for range workers {
		go s.answerLines(ctx, jobs, judge, payer{s, clientOf(c.RealIP())}, id)
	}
	go func() {
		select {
		case <-s.draining:
			source.end(0)
			target.endBy(time.Now().Add(s.limits.StopTimeout / 8))
		case <-ctx.Done():
		}
	}()

	header := response.Header()
	header.Set(echo.HeaderContentType, mediaNDJSON)
	header.Set(echo.HeaderCacheControl, "no-store")
	header.Set("Content-Language", "en")
	response.WriteHeader(http.StatusOK)
	summary, writeError := writeLines(target, pending, memory, &answerAllowance{limits: &s.limits})
	if writeError == nil {
		why := <-readError
		if why != nil {
			source.noMore()
		}
		summary.Complete = why == nil
		return s.closeStream(target, summary, why, id)
	}
	source.noMore()
	cancel()
	if errors.Is(writeError, errAnswerLimit) {
		if err := s.closeStream(target, summary, writeError, id); err != nil {
			return err
		}
		slotOf(c).release()
		defer source.dropRest()
		source.end(partingTime)
	} else {
		source.end(0) // the client is gone or takes nothing
	}
	// The reader may be waiting for the client; it must be done with the body before this handler returns.
	for range pending { // what is under way ends unread
		continue
	}
	<-readError //nolint:errcheck // why reading ended no longer matters
	return nil
}

// answerLines is one worker of a stream.
func (s *Server) answerLines(ctx context.Context, jobs <-chan *lineJob, judge lineJudge, pays payer, requestID string) {
	for job := range jobs {
		result := s.answerLine(ctx, job, judge, pays, requestID)
		s.metrics.Line(result.ok)
		job.done <- result
	}
}

// closeStream writes the summary of a stream, and before it what ended the stream, where the client can mend that. If the client
// is gone nobody is left to tell.
func (s *Server) closeStream(target *idleWriter, summary lineSummary, why error, id string) error {
	var closing bytes.Buffer
	var known *failure
	if errors.As(why, &known) {
		summary.Lines++
		summary.Failed++
		s.metrics.Line(false)
		if err := report.Encode(&closing, lineAnswer{Line: summary.Lines, Problem: s.lineProblem(known, id)}); err != nil {
			return err
		}
	}
	last, err := encodeJSON(struct {
		Summary lineSummary `json:"summary"`
	}{summary})
	if err != nil {
		return err
	}
	closing.Write(last)
	if _, err := target.Write(closing.Bytes()); err == nil {
		_ = target.flush()
	}
	return nil
}

// readLines parts the body into lines and hands each to the workers and, in order, to the writer. It returns nil at the end
// of the body.
func readLines(ctx context.Context, body measuredSource, jobs, pending chan<- *lineJob, memory *lineMemory) error {
	source := bufio.NewReaderSize(body, 64<<10)
	var unpacked int64
	for number := 1; ctx.Err() == nil; number++ {
		text, long, err := nextLine(source)
		atEnd := errors.Is(err, io.EOF)
		if err != nil && !atEnd {
			return err
		}
		if atEnd && len(text) == 0 && long == 0 {
			return nil
		}
		unpacked += int64(max(len(text), long) + 1)
		job := &lineJob{
			number: number, text: text, long: long, length: bodyLength{unpacked: unpacked, sent: body.sent()}, done: make(chan lineResult, 1),
		}
		if err := memory.take(ctx, job); err != nil {
			return err
		}
		select {
		case pending <- job:
		case <-ctx.Done():
			return ctx.Err()
		}
		select {
		case jobs <- job:
		case <-ctx.Done():
			job.done <- lineResult{} // nobody is left to read it, but the writer waits for each line
			return ctx.Err()
		}
		if atEnd {
			return nil
		}
	}
	return ctx.Err()
}

// nextLine reads one line without its end. Of a line longer than ingest.MaxBytes only the length is kept.
func nextLine(source *bufio.Reader) (text []byte, long int, err error) {
	for {
		part, err := source.ReadSlice('\n')
		ended := err == nil
		part = bytes.TrimSuffix(part, []byte("\n"))
		switch {
		case long > 0:
			long += len(part)
		case len(text)+len(part) > ingest.MaxBytes+1: // a carriage return may still go
			long, text = len(text)+len(part), nil
		default:
			text = append(text, part...)
		}
		if ended {
			return bytes.TrimSuffix(text, []byte("\r")), long, nil
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return text, long, err
		}
	}
}

// writeLines writes the answers in order. It sends what it has whenever it has to wait.
func writeLines(target *idleWriter, pending <-chan *lineJob, memory *lineMemory, allowance *answerAllowance) (lineSummary, error) {
	var summary lineSummary
	out := bufio.NewWriterSize(target, writeBufferSize)
	send := func() error {
		if err := out.Flush(); err != nil {
			return err
		}
		return target.flush()
	}
	for {
		var job *lineJob
		var open bool
		select {
		case job, open = <-pending:
		default:
			if err := send(); err != nil {
				return summary, err
			}
			job, open = <-pending
		}
		if !open {
			return summary, send()
		}
		var result lineResult
		select {
		case result = <-job.done:
		default:
			if err := send(); err != nil {
				return summary, err
			}
			result = <-job.done
		}
		if !allowance.has(job, result) {
			return summary, errors.Join(send(), errAnswerLimit)
		}
		summary.Lines++
		if result.ok {
			summary.OK++
		} else {
			summary.Failed++
		}
		if result.body != nil { // nil: the line was given up
			if _, err := out.Write(result.body.Bytes()); err != nil {
				return summary, err
			}
			if result.body.Cap() <= keptBody {
				lineBodies.Put(result.body)
			}
		}
		memory.giveBack(job)
	}
}

// answerLine judges one line. A panic becomes a problem of this one line.
func (s *Server) answerLine(ctx context.Context, job *lineJob, judge lineJudge, pays payer, requestID string) (result lineResult) {
	defer func() {
		if cause := recover(); cause != nil {
			s.log.Error("line failed", zap.String("request_id", requestID), zap.String("error", fmt.Sprintf("panic: %v\n%s", cause, debug.Stack())))
			result = s.encodedLine(nil, lineAnswer{Line: job.number, Problem: s.lineProblem(&failure{kind: kindInternal}, requestID)}, requestID)
		}
	}()
	if job.long > 0 || len(job.text) > ingest.MaxBytes {
		return s.encodedLine(nil, lineAnswer{
			Line: job.number, Problem: s.lineProblem(fromIngest(ingest.TooLong(max(job.long, len(job.text)), ingest.MaxBytes)), requestID),
		}, requestID)
	}
	id, document := lineID(job.text)
	if refused := pays.wait(ctx); refused != nil {
		return s.encodedLine(nil, lineAnswer{Line: job.number, ID: id, Problem: s.lineProblem(refused, requestID)}, requestID)
	}
	held := &slot{from: s.admission, client: pays.client, route: streamRoute, requestID: requestID}
	held.enterPatiently()
	defer held.release()
	b, cancel := s.newBudget(ctx)
	defer cancel()
	answer, problem := judge(b, document)
	if problem != nil {
		answer = lineAnswer{Problem: s.lineProblem(fromIngest(problem), requestID)}
	}
	answer.Line, answer.ID = job.number, id
	result = s.encodedLine(b, answer, requestID)
	pays.charge(b.Documents() - 1)
	s.metrics.cost.Observe(float64(b.Steps()))
	return result
}

// encodedLine encodes the answer to a line as long as its budget lasts.
func (s *Server) encodedLine(b *budget.Budget, answer lineAnswer, requestID string) lineResult {
	body := lineBodies.Get().(*bytes.Buffer)
	body.Reset()
	if err := report.Encode(b.Writer(body), answer); err != nil {
		answer = lineAnswer{Line: answer.Line, ID: answer.ID, Problem: s.lineProblem(failureOf(err), requestID)}
		body.Reset()
		_ = report.Encode(body, answer)
	}
	json := answer.Problem == nil || answer.Problem.Code != kindMalformed.Code && answer.Problem.Code != kindTooLarge.Code
	return lineResult{body: body, ok: answer.Problem == nil, json: json}
}

// lineBodies are buffers of answers that have been written: a quarter of what a line allocated was one. What a stream that broke
// off leaves behind goes to the collector.
var lineBodies = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// keptBody is the largest buffer, in bytes, that is kept for another line.
const keptBody = 64 << 10

// lineProblem is the problem that a whole request of this kind would be answered with.
func (s *Server) lineProblem(f *failure, requestID string) *Problem {
	return &Problem{
		Type: s.problemType(f.kind.Code), Title: f.kind.Title, Status: f.kind.Status, Code: f.kind.Code, Detail: f.detail, RequestID: requestID,
		Errors: f.errors, ErrorsTotal: max(f.total, len(f.errors)),
	}
}

// lineID takes the member id off the top of a document: a text or a number by which the client knows the line again. What
// is no object, or has no such member, stays as it is.
func lineID(line []byte) (jsontext.Value, []byte) {
	if !bytes.Contains(line, []byte(`"id"`)) {
		return nil, line
	}
	source := jsontext.NewDecoder(bytes.NewBuffer(line), jsontext.AllowDuplicateNames(true))
	if token, err := source.ReadToken(); err != nil || token.Kind() != '{' {
		return nil, line
	}
	for first := true; source.PeekKind() != '}'; first = false {
		before := source.InputOffset()
		name, err := source.ReadToken()
		if err != nil {
			return nil, line
		}
		isID := name.Kind() == '"' && name.String() == "id"
		value, err := source.ReadValue()
		if err != nil {
			return nil, line
		}
		if !isID {
			continue
		}
		if kind := value.Kind(); kind != '"' && kind != '0' || len(value) > maxLineID {
			return nil, line
		}
		return bytes.Clone(value), withoutMember(line, int(before), int(source.InputOffset()), first)
	}
	return nil, line
}

// withoutMember cuts a member out of a line, together with the comma that parted it from the next or the one before.
func withoutMember(line []byte, from, to int, first bool) []byte {
	if first {
		rest := bytes.TrimLeft(line[to:], " \t\r")
		to += len(line[to:]) - len(rest)
		if bytes.HasPrefix(rest, []byte(",")) {
			to++
		}
	}
	kept := make([]byte, 0, len(line)-(to-from))
	return append(append(kept, line[:from]...), line[to:]...)
}
