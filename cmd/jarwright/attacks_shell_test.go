package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The command line under attack: by documents, by names of files, and by people who have waited long enough.

const terminate = syscall.SIGTERM

// archiveOf writes a file of so many documents, one a line.
func archiveOf(t *testing.T, lines int) string {
	t.Helper()
	return written(t, "archive.ndjson", strings.Repeat(dillLine+"\n", lines))
}

// stopped is one way to use the command line that takes long.
type stopped struct {
	name      string
	arguments func(t *testing.T) []string
	waits     bool // standard input stays open and says nothing
	writes    bool // reports come as they are done
}

// under is how long it takes until a command is under way, where its output does not tell.
func (s *stopped) under() time.Duration {
	if s.writes {
		return 20 * time.Second
	}
	return 700 * time.Millisecond
}

// noticed keeps what is written and tells when the first of it comes.
type noticed struct {
	bytes.Buffer
	first chan struct{}
}

func (n *noticed) Write(p []byte) (int, error) {
	if n.Len() == 0 {
		close(n.first)
	}
	return n.Buffer.Write(p)
}

func longCommands() []stopped {
	return []stopped{
		{name: "an archive as lines", writes: true, arguments: func(t *testing.T) []string { return []string{"report", "--format", "ndjson", archiveOf(t, 60_000)} }},
		{name: "an archive as a table", arguments: func(t *testing.T) []string { return []string{"report", archiveOf(t, 60_000)} }},
		{name: "an archive as one log", arguments: func(t *testing.T) []string { return []string{"report", "--format", "sarif", archiveOf(t, 60_000)} }},
		{name: "a folder", writes: true, arguments: func(t *testing.T) []string {
			folder := t.TempDir()
			for i := range 20 {
				name := filepath.Join(folder, fmt.Sprintf("%d.ndjson", i))
				if err := os.WriteFile(name, []byte(strings.Repeat(dillLine+"\n", 5_000)), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			return []string{"report", "--format", "ndjson", folder}
		}},
		{name: "standard input that does not come", waits: true, arguments: func(*testing.T) []string { return []string{"report", "-"} }},
		{name: "a document to explain that does not come", waits: true, arguments: func(*testing.T) []string {
			return []string{"explain", "-", "--rule", "process.altitude-time"}
		}},
	}
}

// stopAfter is how soon a command that was told to stop has to have ended. The issue says 100 ms; a machine that others use adds to it.
const (
	stopAfter = 100 * time.Millisecond
	busy      = 900 * time.Millisecond
)

// Ctrl-C and SIGTERM end each command at once, with what was finished: whole lines, and a status that is not that of success.
func TestCommandLineStops(t *testing.T) {
	onlyWithCost(t)
	for _, each := range longCommands() {
		for _, signal := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM} {
			t.Run(each.name+", "+signal.String(), func(t *testing.T) {
				run := exec.Command(measured(t), each.arguments(t)...)
				var complaints bytes.Buffer
				out := &noticed{first: make(chan struct{})}
				run.Stdout, run.Stderr = out, &complaints
				input, err := run.StdinPipe()
				if err != nil {
					t.Fatal(err)
				}
				if !each.waits {
					input.Close()
				}
				if err := run.Start(); err != nil {
					t.Fatal(err)
				}
				select {
				case <-out.first:
				case <-time.After(each.under()):
				}
				begin := time.Now()
				if err := run.Process.Signal(signal); err != nil {
					t.Fatalf("it has ended before: %v: %s", err, &complaints)
				}
				timer := time.AfterFunc(10*time.Second, func() { _ = run.Process.Kill() })
				err = run.Wait()
				timer.Stop()
				took := time.Since(begin)
				code := run.ProcessState.ExitCode()
				t.Logf("pid %d ended %v after %s with status %d (%v); %d bytes written", run.Process.Pid, took.Round(time.Millisecond), signal, code, err, out.Len())
				record(figure{
					Name: "command line: " + each.name + ", " + signal.String(), Status: fmt.Sprintf("status %d after %s", code, milliseconds(took)),
					Answer: int64(out.Len()),
				})
				if took > stopAfter+busy {
					t.Errorf("ended after %v, want %v", took, stopAfter)
				}
				if code == exitGood || code == exitNotFit {
					t.Errorf("status %d, as if it had been done", code)
				}
				if out.Len() > 0 && out.Bytes()[out.Len()-1] != '\n' {
					t.Errorf("the output ends within a line: …%.100s", out.Bytes()[max(0, out.Len()-100):])
				}
				if each.writes {
					wholeReports(t, out.Bytes())
				}
			})
		}
	}
}

// wholeReports wants finished reports in a stopped command's output, each of them JSON.
func wholeReports(t *testing.T, text []byte) {
	t.Helper()
	reports := 0
	for line := range bytes.Lines(text) {
		if !json.Valid(line) {
			t.Fatalf("a line is cut: %.200s", line)
		}
		if bytes.Contains(line[:min(len(line), 200)], []byte(`"report":`)) {
			reports++
		}
	}
	if reports == 0 {
		t.Error("nothing of what was finished is in the output")
	}
}

// Neither a document nor the name of a file can write to the terminal as if it were the program.
func TestCommandLineTextIsHarmless(t *testing.T) {
	folder := t.TempDir()
	body := edited("dill-cucumbers.json", map[string]any{"recipe/name": forged, "recipe/ingredients/0/item": forged, "recipe/ingredients/0/form": forged})
	named := filepath.Join(folder, "a\x1b[2J\u202eb.json")
	broken := filepath.Join(folder, "c\x1b]0;x\x07.json")
	linked := filepath.Join(folder, "d\u2066.jsonld")
	for name, text := range map[string][]byte{
		named: body, broken: []byte("{\"\x1b[1m\u202e\":1}"), linked: published("1 lb "+forged, "Boil "+forged+" minutes. "+forged),
	} {
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for i, arguments := range [][]string{
		{"report", named},
		{"report", broken},
		{"report", linked},
		{"report", folder},
		{"report", "--full", folder},
		{"report", filepath.Join(folder, "\x1b[2Jnone.json")},
		{"report", "--format", "markdown", named},
		{"report", "--format", "markdown", folder},
		{"explain", named, "--rule", "process.altitude-time"},
		{"explain", named, "--rule", "ingredient.unknown"},
		{"report", "--format", "\x1b[2J", named},
		{"explain", named, "--rule", "\x1b[2J"},
		{"\x1b[2J"},
		{"report", "--\x1b[2J"},
	} {
		t.Run(fmt.Sprintf("%d %q", i, arguments[0]), func(t *testing.T) {
			_, stdout, stderr := command(t, 20*time.Second, "", arguments...)
			if wrong := controls(stdout); wrong != "" {
				t.Errorf("standard output: %s: %.300q", wrong, stdout)
			}
			if wrong := controls(stderr); wrong != "" {
				t.Errorf("standard error: %s: %.300q", wrong, stderr)
			}
			if stdout == "" && stderr == "" {
				t.Error("nothing is said")
			}
		})
	}
}

// An archive in which nothing stands was not found good.
func TestCommandLineBlankArchive(t *testing.T) {
	blank := written(t, "blank.ndjson", strings.Repeat("\n \t\r\n", 100_000))
	for _, test := range []struct {
		name, stdin string
		arguments   []string
	}{
		{"a file of blank lines", "", []string{"report", blank}},
		{"a file of blank lines, as lines", "", []string{"report", "--format", "ndjson", blank}},
		{"a file of nothing", "", []string{"report", written(t, "nothing.ndjson", "")}},
		{"a folder of them", "", []string{"report", filepath.Dir(blank)}},
		{"standard input of blank lines", strings.Repeat("\n", 10_000), []string{"report", "-"}},
		{"standard input of nothing", "", []string{"report", "-"}},
		{"fail on error", "", []string{"report", "--fail-on", "error", blank}},
	} {
		t.Run(test.name, func(t *testing.T) {
			code, stdout, stderr := command(t, 20*time.Second, test.stdin, test.arguments...)
			record(figure{Name: "command line: " + test.name, Status: fmt.Sprintf("status %d", code), Answer: int64(len(stdout))})
			if code != exitUnreadable || stderr == "" {
				t.Errorf("status %d, standard error %q, standard output %.200q", code, stderr, stdout)
			}
		})
	}
}

// A folder of a hundred thousand files gives its first report at once: what comes before it takes no longer than looking at each name.
func TestCommandLineManyFiles(t *testing.T) {
	if !*cost {
		t.Skip("makes 100,000 files; -args -cost runs it")
	}
	folder := t.TempDir()
	var first string // of a thousand, which are one file by many names
	for i := range 100_000 {
		below := filepath.Join(folder, fmt.Sprint(i/1000))
		name := filepath.Join(below, fmt.Sprintf("%d.json", i))
		var err error
		if i%1000 == 0 {
			first = name
			err = errors.Join(os.MkdirAll(below, 0o700), os.WriteFile(first, []byte(dillLine), 0o600))
		} else {
			err = os.Link(first, name)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	run := exec.Command(measured(t), "report", "--format", "ndjson", folder)
	out, err := run.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	begin := time.Now()
	if err := run.Start(); err != nil {
		t.Fatal(err)
	}
	timer := time.AfterFunc(time.Minute, func() { _ = run.Process.Kill() })
	defer timer.Stop()
	line, err := bufio.NewReader(out).ReadString('\n')
	spent, problem := processorTime(run.Process.Pid)
	took := time.Since(begin)
	_ = run.Process.Kill()
	_, _ = io.Copy(io.Discard, out)
	_ = run.Wait()
	if err != nil || problem != nil || !strings.Contains(line, `"report":`) {
		t.Fatalf("%v, %v: %.200s", err, problem, line)
	}
	t.Logf("the first of 100,000 reports after %v, %v of CPU", took.Round(time.Millisecond), spent.Round(time.Millisecond))
	record(figure{Name: "command line: the first report on 100,000 files", CPU: spent, Status: "after " + milliseconds(took)})
	if spent > 2*time.Second {
		t.Errorf("%v of CPU until the first report", spent)
	}
}
