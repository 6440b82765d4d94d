package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"sync"
	"syscall"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
)

// flushTime is how long the end of the program waits for the log to be taken.
const flushTime = time.Second

// logger makes the log. Nothing that is logged is waited for: what the target does not take in time is dropped and counted. flush
// waits for a short while until all is written.
func (s *settings) logger(target io.Writer, dropped func(lines int)) (logger *zap.Logger, flush func(), err error) {
	level, levelError := zapcore.ParseLevel(s.logLevel)
	encoder, formatError := logEncoder(s.logFormat)
	if err := errors.Join(levelError, formatError); err != nil {
		return nil, nil, err
	}
	// A write to a standard error that nobody has open ends the program, unless it asks to be told.
	signal.Notify(make(chan os.Signal, 1), syscall.SIGPIPE)
	notice := func(lines int) []byte {
		entry := zapcore.Entry{Level: zapcore.WarnLevel, Time: time.Now(), Message: "lines of the log were dropped, because it was not read"}
		text, err := encoder.EncodeEntry(entry, []zapcore.Field{zap.Int("lines", lines)})
		if err != nil {
			return nil
		}
		return text.Bytes()
	}
	out := newLogWriter(target, s.logBuffer, dropped, notice)
	return zap.New(zapcore.NewCore(encoder, out, level)), func() { out.close(flushTime) }, nil
}

// logEncoder writes one line an entry.
func logEncoder(format string) (zapcore.Encoder, error) {
	config := zap.NewProductionEncoderConfig()
	config.TimeKey = "time"
	config.EncodeTime = zapcore.RFC3339NanoTimeEncoder
	switch format {
	case "json":
		return zapcore.NewJSONEncoder(config), nil
	case "console":
		return zapcore.NewConsoleEncoder(config), nil
	}
	return nil, fmt.Errorf("read --log-format: %q is neither json nor console", format)
}

// logWriter keeps whoever logs from waiting for whoever reads the log. It holds at most twice as many bytes as it has room for: those
// that wait, and those that are being written.
type logWriter struct {
	target  io.Writer
	room    int
	dropped func(lines int)        // counts
	notice  func(lines int) []byte // the line that tells of dropped ones
	wake    chan struct{}          // holds one when there may be something to write
	done    chan struct{}          // closed when all is written after the end

	mutex   sync.Mutex
	waiting []byte
	lost    int // lines that nobody was told of yet
	ended   bool
}

func newLogWriter(target io.Writer, room int, dropped func(int), notice func(int) []byte) *logWriter {
	w := &logWriter{target: target, room: room, dropped: dropped, notice: notice, wake: make(chan struct{}, 1), done: make(chan struct{})}
	go w.run()
	return w
}

// Write takes a line, or drops it where there is no room. It never waits and never fails.
func (w *logWriter) Write(line []byte) (int, error) {
	if !w.takes(line) {
		w.dropped(1)
	}
	w.stir()
	return len(line), nil
}

func (w *logWriter) takes(line []byte) bool {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.ended || len(w.waiting)+len(line) > w.room {
		w.lost++
		return false
	}
	w.tell()
	w.waiting = append(w.waiting, line...)
	return true
}

// tell says how many lines were dropped, in the place where they are missing. That goes a few bytes over the room.
func (w *logWriter) tell() {
	if w.lost > 0 {
		w.waiting = append(w.waiting, w.notice(w.lost)...)
		w.lost = 0
	}
}

func (w *logWriter) stir() {
	select {
	case w.wake <- struct{}{}:
	default: // it is awake
	}
}

// Sync does nothing: waiting for the log is what this is there to avoid.
func (w *logWriter) Sync() error { return nil }

// run writes what waits, for as long as the program runs.
func (w *logWriter) run() {
	defer close(w.done)
	var writing []byte
	for range w.wake {
		w.mutex.Lock()
		writing, w.waiting = w.waiting, writing[:0]
		ended := w.ended
		w.mutex.Unlock()
		if n, err := w.target.Write(writing); err != nil {
			w.failed(bytes.Count(writing[n:], []byte("\n")))
		}
		if ended {
			return
		}
	}
}

// failed counts lines that could not be written.
func (w *logWriter) failed(lines int) {
	w.dropped(lines)
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.lost += lines
}

// close takes nothing more and waits for a while until all is written.
func (w *logWriter) close(within time.Duration) {
	w.mutex.Lock()
	w.tell()
	w.ended = true
	w.mutex.Unlock()
	w.stir()
	select {
	case <-w.done:
	case <-time.After(within):
	}
}
