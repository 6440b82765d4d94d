package handlers_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"

	"jarwright/handlers"
)

// Streams that stand still or drip give way to those that come, and say so. One that moves does not.
func TestDrippingStreamsGiveWay(t *testing.T) {
	metrics := handlers.NewMetrics()
	address := serving(t, newReading(t), func(c *handlers.Config) {
		c.Limits.Streams, c.Limits.GiveWay, c.Metrics = 4, 200*time.Millisecond, metrics
	})
	var slow []*net.TCPConn
	for i := range 6 {
		each := connect(t, address, fmt.Sprintf("127.0.0.%d", 1+i%3))
		posting(each, "/v1/reports", ndjson+"\r\nTransfer-Encoding: chunked", fmt.Sprintf("%x\r\n%s\n\r\n", len(request)+1, request))
		slow = append(slow, each)
		go func() {
			for drip := time.NewTicker(20 * time.Millisecond); ; <-drip.C {
				if _, err := fmt.Fprint(each, "1\r\n \r\n"); err != nil {
					return
				}
			}
		}()
	}
	for _, from := range sameAndOther() {
		t.Run(from, func(t *testing.T) {
			for range 4 {
				if status, problem := sending(t, address, from, "/v1/reports", request+"\n", ndjson); status != http.StatusOK {
					t.Errorf("status %d, %+v", status, problem)
				}
			}
		})
	}
	told := 0
	for _, each := range slow {
		each.SetReadDeadline(time.Now().Add(300 * time.Millisecond))
		answer, err := http.ReadResponse(bufio.NewReader(each), nil)
		if err != nil || answer.StatusCode != http.StatusOK {
			continue
		}
		got := answersIn(t, answer.Body)
		if len(got) == 1 {
			continue // it has its place still
		}
		told++
		checkParting(t, got)
	}
	if told == 0 {
		t.Error("nobody was told that it gave way")
	}
	if text := scraped(t, metrics); strings.Contains(text, `jarwright_gave_way_total{of="streams"} 0`) {
		t.Error("the metrics do not tell of it")
	}
}

// checkParting wants one report, why the stream was ended, and that it was.
func checkParting(t *testing.T, got []answered) {
	t.Helper()
	if len(got) != 3 || got[0].Report == nil || got[1].Problem == nil || got[1].Problem.Code != "request_timeout" || got[1].Line != 2 ||
		got[2].Summary == nil || got[2].Summary.Complete || got[2].Summary.Lines != 2 || got[2].Summary.Failed != 1 {
		t.Errorf("the stream that gave way: %+v", got)
	}
}

// A live class types slowly and is left alone while there is room.
func TestSlowStreamsStayWhileThereIsRoom(t *testing.T) {
	address := serving(t, newReading(t), func(c *handlers.Config) { c.Limits.Streams, c.Limits.GiveWay = 4, 10*time.Millisecond })
	class := connect(t, address, "")
	posting(class, "/v1/reports", ndjson+"\r\nTransfer-Encoding: chunked", "")
	answer, err := http.ReadResponse(bufio.NewReader(class), nil)
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		time.Sleep(100 * time.Millisecond)
		fmt.Fprintf(class, "%x\r\n%s\n\r\n", len(request)+1, request)
		if status, _ := sending(t, address, "", "/v1/reports", request+"\n", ndjson); status != http.StatusOK {
			t.Errorf("another stream: status %d", status)
		}
	}
	fmt.Fprint(class, "0\r\n\r\n")
	if got := answersIn(t, answer.Body); len(got) != 4 || !got[3].Summary.Complete {
		t.Errorf("%+v", got)
	}
}

// What a stream that was ended leaves on its connection is not taken for another request.
func TestRestOfAStreamIsNoRequest(t *testing.T) {
	address := serving(t, newReading(t), func(c *handlers.Config) { c.Limits.StreamIdleTimeout = 100 * time.Millisecond })
	connection := connect(t, address, "")
	posting(connection, "/v1/reports", ndjson+"\r\nTransfer-Encoding: chunked", "200\r\n"+request)
	from := bufio.NewReader(connection)
	answer, err := http.ReadResponse(from, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := answersIn(t, answer.Body); len(got) != 1 || got[0].Summary == nil || got[0].Summary.Complete {
		t.Errorf("%+v", got)
	}
	fmt.Fprint(connection, "GET /healthz HTTP/1.1\r\nHost: a\r\n\r\n")
	connection.SetReadDeadline(time.Now().Add(5 * time.Second))
	if again, err := http.ReadResponse(from, nil); err == nil {
		t.Errorf("the rest of a body was answered with %d", again.StatusCode)
	}
}

// Answers are in proportion to what was sent.
func TestAnswersOfStreamsAreInProportion(t *testing.T) {
	reader := newReading(t)
	reader.report.Summary.Text = strings.Repeat("long ", 4000) // 20 KB, as reports are
	server, _ := newServer(t, reader)
	const mebibyte = 1 << 20
	example, err := os.ReadFile("../examples/dill-cucumbers.json")
	if err != nil {
		t.Fatal(err)
	}
	var honest bytes.Buffer
	if err := json.Compact(&honest, example); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name   string
		lines  string
		packed bool
		most   int64 // bytes answered
		whole  bool
	}{
		{"a million blank lines", strings.Repeat("\n", mebibyte), true, 10 * mebibyte, false},
		{"carriage returns", strings.Repeat("\r\n", mebibyte), true, 20 * mebibyte, false},
		{"blank lines as they are", strings.Repeat("\n", 256<<10), false, 4 * mebibyte, false},
		{"a letter a line", strings.Repeat("x\n", mebibyte), true, 20 * mebibyte, false},
		{"not UTF-8", strings.Repeat("\xff\n", mebibyte), true, 20 * mebibyte, false},
		{"empty objects", strings.Repeat("{}\n", mebibyte), true, 65 * mebibyte, false},
		{"a few blank lines", strings.Repeat("\n", 1000), false, mebibyte, true},
		{"a tiny recipe again and again", strings.Repeat(request+"\n", 10_000), true, 70 * mebibyte, false},
		{"an archive of nearly the same recipe", strings.Repeat(honest.String()+"\n", 5000), true, 110 * mebibyte, true},
	} {
		t.Run(test.name, func(t *testing.T) {
			body, headers := test.lines, []string{ndjson}
			if test.packed {
				body, headers = packed(t, test.lines), append(headers, "Content-Encoding: gzip")
			}
			answer := call(server, "POST", "/v1/reports", body, headers...)
			text := answer.Body.Bytes()
			t.Logf("%d bytes sent, %d unpacked, %d answered", len(body), len(test.lines), len(text))
			if int64(len(text)) > test.most {
				t.Errorf("%d bytes are answered with %d, want at most %d", len(body), len(text), test.most)
			}
			end := answersIn(t, bytes.NewReader(text[bytes.LastIndexByte(text[:bytes.LastIndexByte(text[:len(text)-1], '\n')], '\n')+1:]))
			lines := strings.Count(test.lines, "\n")
			last := end[len(end)-1].Summary
			if last == nil || last.Complete != test.whole || last.Lines > lines || test.whole && last.Lines != lines {
				t.Fatalf("summary %+v", last)
			}
			if !test.whole && (end[0].Problem == nil || end[0].Problem.Code != "answer_limit" || end[0].Line != last.Lines) {
				t.Errorf("the line before the last: %+v", end[0])
			}
		})
	}
}

// A client whose stream has ended early, while it goes on sending, reads why.
func TestAnswerLimitReachesWhoGoesOnSending(t *testing.T) {
	address := serving(t, newReading(t), func(*handlers.Config) {})
	connection := connect(t, address, "")
	posting(connection, "/v1/reports", ndjson+"\r\nTransfer-Encoding: chunked", "")
	go func() {
		part := fmt.Sprintf("%x\r\n%s\r\n", 4096, strings.Repeat("\n", 4096))
		for {
			if _, err := io.WriteString(connection, part); err != nil {
				return
			}
		}
	}()
	answer, err := http.ReadResponse(bufio.NewReader(connection), nil)
	if err != nil {
		t.Fatal(err)
	}
	got := answersIn(t, answer.Body)
	if last := got[len(got)-1]; last.Summary == nil || last.Summary.Complete || got[len(got)-2].Problem.Code != "answer_limit" {
		t.Errorf("%d lines, the last %+v", len(got), last)
	}
}
