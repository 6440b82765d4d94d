package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"jarwright/validate/budget"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// atOnce is the time in which a person expects a program to listen to Ctrl-C.
const atOnce = 100 * time.Millisecond

// interrupted is how one run of the program itself was interrupted.
type interrupted struct {
	pid    int
	took   time.Duration // from the signal to the end of the process
	code   int
	stdout string
	stderr string
}

// interrupt starts the program, waits until ready says so, sends the signal, and waits for the end. ready is given standard input
// and the first bytes of standard output as they come.
func interrupt(t *testing.T, signal os.Signal, ready func(stdin io.Writer, stdout *bufio.Reader), arguments ...string) interrupted {
	t.Helper()
	file, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	command := exec.Command(file, arguments...)
	stdin, err := command.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	stdout, err := command.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var complaints, written bytes.Buffer
	command.Stderr = &complaints
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = command.Process.Kill() }()
	lines := bufio.NewReaderSize(io.TeeReader(stdout, &written), 1<<20)
	ready(stdin, lines)
	sent := time.Now()
	if err := command.Process.Signal(signal); err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(io.Discard, lines); err != nil { // ends with the process
		t.Fatal(err)
	}
	took := time.Since(sent)
	_ = command.Wait() // the code is looked at
	return interrupted{pid: command.Process.Pid, took: took, code: command.ProcessState.ExitCode(), stdout: written.String(), stderr: complaints.String()}
}

// soon interrupts until one run has ended at once: this machine may have others on it that take their time. pause is how long to
// wait for the program, more from one try to the next. A signal that comes before the program has begun to listen ends it
// without a word, as it ends every program; that does not count.
func soon(t *testing.T, once func(pause time.Duration) interrupted) interrupted {
	t.Helper()
	const most = 8
	var run interrupted
	for try := range most {
		run = once(time.Duration(1+try) * 300 * time.Millisecond)
		t.Logf("process %d ended with %d in %v: %s", run.pid, run.code, run.took.Round(time.Microsecond), strings.TrimSpace(run.stderr))
		if run.took <= atOnce && run.code >= 0 {
			return run
		}
	}
	t.Errorf("never ended within %v of the signal", atOnce)
	return run
}

// many makes a folder with links to one document, and one to another that cannot be read.
func many(t *testing.T, count int) string {
	t.Helper()
	folder := t.TempDir()
	text, err := os.ReadFile("../../examples/dill-cucumbers.json")
	if err != nil {
		t.Fatal(err)
	}
	first := filepath.Join(folder, "00000.json")
	if err := os.WriteFile(first, text, 0o600); err != nil {
		t.Fatal(err)
	}
	for i := 1; i < count; i++ {
		if err := os.Link(first, filepath.Join(folder, fmt.Sprintf("%05d.json", i))); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// waiting waits for some time when ready has come back.
func waiting(ready func(io.Writer, *bufio.Reader), pause time.Duration) func(io.Writer, *bufio.Reader) {
	return func(stdin io.Writer, stdout *bufio.Reader) {
		ready(stdin, stdout)
		time.Sleep(pause)
	}
}

func oneLine(_ io.Writer, stdout *bufio.Reader) { _, _ = stdout.ReadString('\n') }

// Wherever it is, the program ends at once with the code of the signal.
func TestInterruptedWhileReading(t *testing.T) {
	nothing := func(io.Writer, *bufio.Reader) {}
	halfAPage := func(stdin io.Writer, _ *bufio.Reader) {
		_, _ = io.WriteString(stdin, "<html>"+strings.Repeat("fresh, ", 200_000))
	}
	wholePage := func(stdin io.Writer, _ *bufio.Reader) {
		const page = `<script type="application/ld+json">{"@type":"Recipe","recipeIngredient":["1 cup %s"]}</script>`
		fmt.Fprintf(stdin, page, strings.Repeat("fresh, salt/pint (a) < ", 4<<20/23-10))
		_ = stdin.(io.Closer).Close()
	}
	for _, test := range []struct {
		name      string
		signal    syscall.Signal
		ready     func(io.Writer, *bufio.Reader)
		arguments []string
	}{
		{"report, nothing comes", syscall.SIGINT, nothing, []string{"report", "-"}},
		{"report, terminated", syscall.SIGTERM, nothing, []string{"report", "-"}},
		{"report, half a page", syscall.SIGINT, halfAPage, []string{"report", "-"}},
		{"explain, nothing comes", syscall.SIGINT, nothing, []string{"explain", "-", "--rule", "acid.vinegar-strength"}},
		{"explain, terminated", syscall.SIGTERM, nothing, []string{"explain", "-", "--rule", "acid.vinegar-strength"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			run := soon(t, func(pause time.Duration) interrupted {
				return interrupt(t, test.signal, waiting(test.ready, pause), test.arguments...)
			})
			if run.code != 128+int(test.signal) || run.stdout != "" && !strings.HasSuffix(run.stdout, "\n") || strings.Count(run.stderr, "\n") != 1 {
				t.Errorf("%+v", run)
			}
		})
	}
	t.Run("report, a page of 4 MiB", func(t *testing.T) {
		run := soon(t, func(time.Duration) interrupted { return interrupt(t, syscall.SIGINT, wholePage, "report", "-") })
		// By then it may have been read: then the signal comes too late, and it has ended by itself.
		if run.code != 130 && run.code != exitUnreadable && run.code != exitNotFit {
			t.Errorf("%+v", run)
		}
	})
}

// In the midst of a long folder, what was finished is written whole, and it says that it is not all.
func TestInterruptedInAFolder(t *testing.T) {
	folder := many(t, 20_000)
	schema, err := jsonschema.Compile("../../testdata/sarif/sarif-schema-2.1.0.json")
	if err != nil {
		t.Fatal(err)
	}
	nothing := func(io.Writer, *bufio.Reader) {}
	for _, test := range []struct {
		format string
		ready  func(io.Writer, *bufio.Reader)
		check  func(t *testing.T, stdout string, documents int)
	}{
		{"text", oneLine, func(t *testing.T, stdout string, documents int) {
			in := fmt.Sprintf("%8d  in all\n\nNot complete: interrupted after %d documents.\n", documents, documents)
			if strings.Count(stdout, "\nshelf  ")+1 != documents || !strings.HasSuffix(stdout, in) {
				t.Errorf("%d rows for %d documents, or no end: %.2000s", strings.Count(stdout, "\nshelf  ")+1, documents, stdout[max(0, len(stdout)-2000):])
			}
		}},
		{"markdown", oneLine, func(t *testing.T, stdout string, documents int) {
			if strings.Count(stdout, " | shelf |") != documents || !strings.HasSuffix(stdout, "documents.\n") || !strings.HasPrefix(stdout, "| document |") {
				t.Errorf("%d documents: %.2000s", documents, stdout)
			}
		}},
		{"json", oneLine, func(t *testing.T, stdout string, documents int) {
			if wholeLines(t, stdout) != documents {
				t.Errorf("%d lines for %d documents", wholeLines(t, stdout), documents)
			}
		}},
		{"ndjson", oneLine, func(t *testing.T, stdout string, documents int) {
			last := fmt.Sprintf(`{"summary":{"complete":false,"documents":%d,"failed":0,"ok":%d}}`+"\n", documents, documents)
			if wholeLines(t, stdout) != documents+1 || !strings.HasSuffix(stdout, last) {
				t.Errorf("%d lines for %d documents", wholeLines(t, stdout), documents)
			}
		}},
		{"sarif", nothing, func(t *testing.T, stdout string, _ int) {
			var log any
			if err := json.Unmarshal([]byte(stdout), &log); err != nil {
				t.Fatal(err)
			}
			if err := schema.Validate(log); err != nil || !strings.Contains(stdout, `"executionSuccessful":false,"exitCode":130,"exitSignalName":"SIGINT"`) {
				t.Errorf("%v: %.500s", err, stdout)
			}
		}},
	} {
		t.Run(test.format, func(t *testing.T) {
			run := soon(t, func(pause time.Duration) interrupted {
				ready := test.ready
				if test.format == "sarif" { // which writes nothing until the end
					ready = waiting(ready, 2*pause)
				}
				return interrupt(t, syscall.SIGINT, ready, "report", "--format", test.format, folder)
			})
			found := regexp.MustCompile(`^jarwright: interrupted after ([0-9]+) documents?; what was not finished is left out\n$`).FindStringSubmatch(run.stderr)
			if run.code != 130 || found == nil {
				t.Fatalf("exit code %d: %q", run.code, run.stderr)
			}
			documents, err := strconv.Atoi(found[1])
			if err != nil || documents == 0 && test.format != "sarif" || documents >= 20_000 {
				t.Errorf("%d documents, %v", documents, err)
			}
			test.check(t, run.stdout, documents)
		})
	}
}

// wholeLines counts the lines of JSON, each of which must be a whole value.
func wholeLines(t *testing.T, stdout string) int {
	t.Helper()
	if !strings.HasSuffix(stdout, "\n") {
		t.Errorf("the last line is not whole")
	}
	lines := 0
	for line := range strings.Lines(stdout) {
		if lines++; !json.Valid([]byte(line)) {
			t.Errorf("line %d is not JSON: %.200q", lines, line)
		}
	}
	return lines
}

// A reader of our output that has stopped reading cannot keep the program.
func TestInterruptedWhileNobodyReads(t *testing.T) {
	file, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	folder := many(t, 3000)
	run := soon(t, func(pause time.Duration) interrupted {
		reading, writing, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		defer reading.Close()
		command := exec.Command(file, "report", "--format", "ndjson", folder)
		var complaints bytes.Buffer
		command.Stdout, command.Stderr = writing, &complaints
		if err := command.Start(); err != nil {
			t.Fatal(err)
		}
		writing.Close()
		time.Sleep(3 * pause) // until the pipe is full
		sent := time.Now()
		if err := command.Process.Signal(syscall.SIGTERM); err != nil {
			t.Fatal(err)
		}
		_ = command.Wait() // the code is looked at
		return interrupted{pid: command.Process.Pid, took: time.Since(sent), code: command.ProcessState.ExitCode(), stderr: complaints.String()}
	})
	if run.code != 143 || !strings.Contains(run.stderr, "terminated") {
		t.Errorf("exit code %d: %q", run.code, run.stderr)
	}
}

// stuck is a judge that never comes to an end with what is not the first document.
type stuck struct{ judged int }

func (s *stuck) Check(*budget.Budget, []byte, report.Options) (report.Report, *ingest.Problem) {
	if s.judged++; s.judged > 1 {
		select {}
	}
	return report.Report{Disposition: report.Shelf}, nil
}

func (s *stuck) Draft(*budget.Budget, []byte, bool, bool) (draft.Draft, *ingest.Problem) { select {} }

// Even a judgment that never ends does not keep the command, and what is finished is told as such.
func TestInterruptedWhileJudging(t *testing.T) {
	ctx, cancel := context.WithCancelCause(t.Context())
	first, second := written(t, "a.json", forShelf), written(t, "b.json", forShelf)
	var stdout, stderr bytes.Buffer
	time.AfterFunc(200*time.Millisecond, func() { cancel(interruption{syscall.SIGTERM}) })
	err := reportOn(ctx, loaded(&stuck{}), []string{first, second}, reportSettings{format: "text"}, nil, &stdout, &stderr)
	var cause interruption
	if !errors.As(err, &cause) || cause.code() != 143 {
		t.Errorf("error %v", err)
	}
	if !strings.HasPrefix(stdout.String(), "shelf ") || !strings.HasSuffix(stdout.String(), "       1  in all\n\nNot complete: terminated after 1 document.\n") {
		t.Errorf("%s", &stdout)
	}
	if stderr.String() != "jarwright: terminated after 1 document; what was not finished is left out\n" {
		t.Errorf("%q", &stderr)
	}
}

// A pipe that nobody reads any more ends the command without a word.
func TestClosedOutputIsNoMistake(t *testing.T) {
	file, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	folder := many(t, 2000)
	for _, test := range []struct{ name, script string }{
		{"as shells run it", `"$0" report "$1" | head -n 1; exit "${PIPESTATUS[0]}"`},
		{"NDJSON", `"$0" report --format ndjson "$1" | head -n 1; exit "${PIPESTATUS[0]}"`},
		{"rules", `"$0" rules | true; exit 141`},
		{"below a program that ignores the signal", `trap "" PIPE; "$0" report "$1" | head -n 1; exit "${PIPESTATUS[0]}"`},
	} {
		t.Run(test.name, func(t *testing.T) {
			command := exec.Command("bash", "-c", test.script, file, folder)
			var complaints bytes.Buffer
			command.Stderr = &complaints
			_, err := command.Output()
			var ended *exec.ExitError
			if !errors.As(err, &ended) || ended.ExitCode() != 141 || complaints.Len() > 0 {
				t.Errorf("%v, %q", err, &complaints)
			}
		})
	}
}
