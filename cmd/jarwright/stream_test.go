package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// startService builds the program and runs it as a process of its own, so that its memory can be told from the test's.
func startService(t *testing.T) (address string, process *os.Process) {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "jarwright")
	if out, err := exec.CommandContext(t.Context(), "go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("build: %v\n%s", err, out)
	}
	address = freeAddress(t)
	command := exec.Command(binary, "serve", "--address", address, "--log-level", "error")
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = command.Process.Kill()
		_ = command.Wait()
	})
	deadline := time.Now().Add(20 * time.Second)
	for {
		if connection, err := net.DialTimeout("tcp", address, time.Second); err == nil {
			connection.Close()
			return address, command.Process
		}
		if time.Now().After(deadline) {
			t.Fatal("the service did not start")
		}
		time.Sleep(20 * time.Millisecond)
	}
}

var peakLine = regexp.MustCompile(`VmHWM:\s+(\d+) kB`)

// peakMiB is the most memory that a process has had resident, as the kernel counts it. Only Linux tells.
func peakMiB(t *testing.T, process *os.Process) float64 {
	t.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", process.Pid))
	if err != nil {
		return 0
	}
	found := peakLine.FindSubmatch(status)
	if found == nil {
		t.Fatalf("no VmHWM in %s", status)
	}
	kB, err := strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	return kB / 1024
}

// The budget of the design: bytes resident during a stream.
const mostMiB = 128

// mixed writes a hundred thousand lines of every sort and gives what each is to be answered with.
func mixed(t *testing.T, number int) (line []byte, code string) {
	t.Helper()
	switch number % 20 {
	case 3:
		return []byte(`{"recipe":`), "malformed_json"
	case 5:
		return nil, "malformed_json"
	case 7:
		return []byte("{\"recipe\":\"\xff\xfe\"}"), "malformed_json"
	case 9:
		return []byte(`{"recipe":{"ingredients":[]}}`), "invalid_document"
	case 11:
		if number%400 == 11 {
			return bytes.Repeat([]byte("x"), 600<<10), "body_too_large"
		}
		return []byte(`[]`), "invalid_document"
	case 1, 13, 17:
		return fmt.Appendf(nil, `{"id":"n%d",%s`, number, dillLine[1:]), ""
	}
	return []byte(`{"recipe":{"ingredients":[{"item":"cucumber","per":"batch","amount":{"value":1,"unit":"stone"}}]}}`), "invalid_document"
}

// dillLine is one example as a line.
var dillLine = func() string {
	text, err := os.ReadFile("../../examples/dill-cucumbers.json")
	if err != nil {
		panic(err)
	}
	var out bytes.Buffer
	if err := json.Compact(&out, text); err != nil {
		panic(err)
	}
	return out.String()
}()

// 100,000 mixed lines through the endpoint: an answer each, in order, in bounded memory.
func TestHundredThousandLines(t *testing.T) {
	const lines = 100_000
	address, process := startService(t)
	body, out := io.Pipe()
	go func() {
		buffered := bufio.NewWriterSize(out, 64<<10)
		for number := 1; number <= lines; number++ {
			line, _ := mixed(t, number)
			_, _ = buffered.Write(line)
			_ = buffered.WriteByte('\n')
		}
		_ = buffered.Flush()
		out.Close()
	}()
	started := time.Now()
	request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, "http://"+address+"/v1/reports", body)
	if err != nil {
		t.Fatal(err)
	}
	request.Header.Set("Content-Type", "application/x-ndjson")
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	source := bufio.NewReaderSize(answer.Body, 1<<20)
	good := 0
	for number := 1; number <= lines; number++ {
		text, err := source.ReadBytes('\n')
		if err != nil {
			t.Fatalf("line %d: %v", number, err)
		}
		_, code := mixed(t, number)
		want := fmt.Sprintf(`{"line":%d,"problem":{`, number)
		if code == "" {
			good++
			want = fmt.Sprintf(`{"line":%d,"id":"n%d","report":{"disposition":"shelf"`, number, number)
		}
		if !bytes.HasPrefix(text, []byte(want)) || code != "" && !bytes.Contains(text, []byte(`"code":"`+code+`"`)) {
			t.Fatalf("line %d: %.200s, want %s %s", number, text, want, code)
		}
	}
	last, err := source.ReadString('\n')
	if want := fmt.Sprintf(`{"summary":{"lines":%d,"ok":%d,"failed":%d,"complete":true}}`, lines, good, lines-good) + "\n"; err != nil || last != want {
		t.Errorf("%v %s, want %s", err, last, want)
	}
	took, peak := time.Since(started), peakMiB(t, process)
	if peak > mostMiB {
		t.Errorf("%.0f MiB resident, at most %d", peak, mostMiB)
	}
	t.Logf("%d lines (%d reports) in %v: %.0f lines/s, %.0f reports/s; peak %.0f MiB", lines, good, took.Round(time.Millisecond), lines/took.Seconds(),
		float64(good)/took.Seconds(), peak)
}

// A client that sends and does not read makes nothing grow, and does not keep others waiting.
func TestStoppedReaderDoesNotMakeMemoryGrow(t *testing.T) {
	address, process := startService(t)
	connection, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer connection.Close()
	fmt.Fprint(connection, "POST /v1/reports HTTP/1.1\r\nHost: test\r\nContent-Type: application/x-ndjson\r\nTransfer-Encoding: chunked\r\n\r\n")
	chunk := strings.Repeat(dillLine+"\n", 100)
	sent, stopped := 0, false
	for range 2000 {
		_ = connection.SetWriteDeadline(time.Now().Add(2 * time.Second))
		if _, err := fmt.Fprintf(connection, "%x\r\n%s\r\n", len(chunk), chunk); err != nil {
			stopped = true
			break
		}
		sent += len(chunk)
	}
	if !stopped {
		t.Errorf("%d MiB were taken from a client that reads nothing", sent>>20)
	}
	if code, _, stderr := run(t, "health", "--address", address); code != exitGood {
		t.Errorf("others are not answered: %s", stderr)
	}
	if peak := peakMiB(t, process); peak > mostMiB {
		t.Errorf("%.0f MiB resident, at most %d", peak, mostMiB)
	} else {
		t.Logf("held back after %d KiB; peak %.0f MiB", sent>>10, peak)
	}
}
