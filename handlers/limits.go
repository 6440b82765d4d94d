package handlers

import (
	"runtime"
	"time"

	"jarwright/validate/ingest"
)

// Limits bound what clients, all of them together and each of them alone, can take of the service. Every member is to
// be more than zero; DefaultLimits are a start.
type Limits struct {
	ReadHeaderTimeout time.Duration // from the first byte of a request to the end of its header
	ReadTimeout       time.Duration // from the first byte of a request to the end of its body
	WriteTimeout      time.Duration // from the end of the header to the end of the answer
	IdleTimeout       time.Duration // between two requests of a connection
	StopTimeout       time.Duration // for the requests under way when the service stops
	HeaderBytes       int           // of the request line and the header fields together
	Connections       int           // open at a time; for the next, one gives way that has nothing to do
	Concurrency       int           // documents judged at a time
	QueueTime         time.Duration // how long a document that has arrived waits to be judged
	DocumentTime      time.Duration // that the answer to one document, or line of a stream, may take
	LargeBodies       int           // memory for bodies over smallBody bytes, or compressed, in times ingest.MaxBytes
	LargeAnswers      int           // MiB of answers over 32 KiB that clients have not taken yet
	Streams           int           // bodies of a document a line that are answered at a time

	ClientShare        int           // the most that one client may have of connections, large bodies and streams, in percent
	LeastRate          int           // bytes a second, of a body and of an answer, while the service waits for the client
	GiveWay            time.Duration // how far behind LeastRate a client may be while others ask for what it has
	Patience           time.Duration // how far behind LeastRate a body may be that is not a stream
	StreamIdleTimeout  time.Duration // how long one read or one write of a stream may take
	StreamAnswerRatio  int           // how many times as long as the body, as it was sent, all answers may be, beside freeAnswers
	StreamProblemRatio int           // how many times as long as the body, unpacked, answers to lines that are no JSON may be, beside freeProblems
}

// What a stream is answered with however short it is, in bytes.
const (
	freeAnswers  = 4 << 20
	freeProblems = 1 << 20
)

// smallBody is the size in bytes up to which a body is read without asking for one of Limits.LargeBodies. Nearly every
// recipe is shorter, so that clients who keep long bodies waiting cannot keep the usual ones out.
const smallBody = 16 << 10

// DefaultLimits fit a machine or container with 256 MiB of memory: 2,048 connections that hold a small body each, and 128
// documents of the largest size, come to 64 MiB beside the tables, the connections and what is judged. A stream of the largest
// documents holds one of them and its report, together some 2 MiB.
func DefaultLimits() Limits {
	return Limits{
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       15 * time.Second,
		WriteTimeout:      30 * time.Second,
		IdleTimeout:       time.Minute,
		StopTimeout:       20 * time.Second,
		HeaderBytes:       16 << 10,
		Connections:       2048,
		Concurrency:       2 * runtime.GOMAXPROCS(0),
		QueueTime:         time.Second,
		DocumentTime:      5 * time.Second,
		LargeBodies:       (32 << 20) / ingest.MaxBytes,
		LargeAnswers:      32,
		Streams:           32,

		ClientShare:        75,
		LeastRate:          1024,
		GiveWay:            750 * time.Millisecond,
		Patience:           10 * time.Second,
		StreamIdleTimeout:  30 * time.Second,
		StreamAnswerRatio:  10_000,
		StreamProblemRatio: 8,
	}
}
