package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"jarwright/validate"
	"jarwright/validate/budget"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

const (
	forShelf  = `{"recipe":{"keep":"shelf","ingredients":[{"item":"cucumber","per":"batch"}]}}`
	forFridge = `{"recipe":{"keep":"refrigerator","ingredients":[{"item":"cucumber","per":"batch"}]}}`
	unsaid    = `{"recipe":{"ingredients":[{"item":"cucumber","per":"batch"}]}}`
)

// answering is a Reporter with one disposition for every document that is an object.
type answering report.Disposition

func (a answering) Check(_ *budget.Budget, body []byte, _ report.Options) (report.Report, *ingest.Problem) {
	if !bytes.HasPrefix(body, []byte("{")) {
		return report.Report{}, &ingest.Problem{
			Title: "Not a request.", Total: 3, Errors: []ingest.Error{{Detail: "Broken."}, {Pointer: "/recipe", Detail: "Missing."}},
		}
	}
	return report.Report{Disposition: report.Disposition(a)}, nil
}

func (a answering) Draft(_ *budget.Budget, body []byte, _, _ bool) (draft.Draft, *ingest.Problem) {
	if !bytes.Contains(body, []byte("recipeIngredient")) {
		return draft.Draft{}, &ingest.Problem{Title: "Not a recipe.", Total: 1, Errors: []ingest.Error{{Detail: "Nothing in it."}}}
	}
	return draft.Draft{Report: &report.Report{Disposition: report.Disposition(a)}}, nil
}

// loaded gives a judge that is there already.
func loaded(judge judger) func() (judger, error) { return func() (judger, error) { return judge, nil } }

func written(t *testing.T, name, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestExitCodesOfReport(t *testing.T) {
	for _, test := range []struct {
		name        string
		body        string
		disposition report.Disposition
		want        int
	}{
		{"shelf for the shelf", forShelf, report.Shelf, exitGood},
		{"shelf for the refrigerator", forFridge, report.Shelf, exitGood},
		{"refrigerator for the refrigerator", forFridge, report.Refrigerate, exitGood},
		{"refrigerator for the shelf", forShelf, report.Refrigerate, exitNotFit},
		{"refrigerator, not said how kept", unsaid, report.Refrigerate, exitNotFit},
		{"undecided for the refrigerator", forFridge, report.Hold, exitNotFit},
		{"thrown away", forShelf, report.Discard, exitNotFit},
		{"unreadable", "[]", report.Shelf, exitUnreadable},
	} {
		var stdout, stderr bytes.Buffer
		file := written(t, "a.json", test.body)
		err := reportOn(t.Context(), loaded(answering(test.disposition)), []string{file}, reportSettings{format: "json"}, nil, &stdout, &stderr)
		got := exitGood
		var code exitError
		if errors.As(err, &code) {
			got = int(code)
		} else if err != nil {
			t.Errorf("%s: %v", test.name, err)
		}
		if got != test.want {
			t.Errorf("%s: exit code %d, want %d", test.name, got, test.want)
		}
		if (stdout.Len() == 0) != (test.want == exitUnreadable) || (stderr.Len() == 0) == (test.want == exitUnreadable) {
			t.Errorf("%s: standard output %q, standard error %q", test.name, &stdout, &stderr)
		}
	}
}

// The record of a canning day is read like any other request; the jar that is worst off decides the exit code.
func TestReportOnACanningDay(t *testing.T) {
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string]error{"canning-day.json": nil, "canning-day-one-unsealed.json": exitError(exitNotFit)} {
		var stdout, stderr bytes.Buffer
		err := reportOn(t.Context(), loaded(checker), []string{filepath.Join("..", "..", "examples", file)}, reportSettings{format: "text"}, nil, &stdout, &stderr)
		if !errors.Is(err, want) || stderr.Len() > 0 || !strings.Contains(stdout.String(), "What to do, in this order") {
			t.Errorf("%s: error %v, want %v: %s%s", file, err, want, &stdout, &stderr)
		}
	}
}

// One bad file neither hides the others nor is hidden by them.
func TestReportOnSeveralFiles(t *testing.T) {
	good, bad := written(t, "good.json", forShelf), written(t, "bad.json", "[]")
	var stdout, stderr bytes.Buffer
	files := []string{bad, good, filepath.Join(t.TempDir(), "none.json"), "-"}
	err := reportOn(t.Context(), loaded(answering(report.Shelf)), files, reportSettings{format: "json"},
		strings.NewReader(forFridge), &stdout, &stderr)
	if !errors.Is(err, exitError(exitUnreadable)) {
		t.Errorf("error %v", err)
	}
	if lines := strings.Count(stdout.String(), "\n"); lines != 2 {
		t.Errorf("%d reports for 2 good files", lines)
	}
	for _, want := range []string{"bad.json: Not a request.", "(whole document): Broken.", "/recipe: Missing.", "and 1 more", "none.json"} {
		if !strings.Contains(stderr.String(), want) {
			t.Errorf("standard error lacks %q:\n%s", want, &stderr)
		}
	}
}

func TestReportRefusesWhatIsTooLong(t *testing.T) {
	var stdout, stderr bytes.Buffer
	long := strings.Repeat(" ", ingest.MaxBytes+1)
	err := reportOn(t.Context(), loaded(answering(report.Shelf)), []string{"-"}, reportSettings{format: "text"}, strings.NewReader(long), &stdout, &stderr)
	if !errors.Is(err, exitError(exitUnreadable)) || !strings.Contains(stderr.String(), "longer than") {
		t.Errorf("error %v, standard error %q", err, &stderr)
	}
}

func run(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, complaints bytes.Buffer
	code = execute(t.Context(), args, strings.NewReader(""), &out, &complaints)
	return code, out.String(), complaints.String()
}

func TestCommandLineMistakes(t *testing.T) {
	for _, args := range [][]string{
		{"unknown"},
		{"report"},
		{"report", "--format", "xml", "-"},
		{"report", "--fail-on", "info", "-"},
		{"report", "no-such-folder/*.json"},
		{"rules", "--format", "xml"},
		{"rules", "extra"},
		{"serve", "--log-level", "loud"},
		{"serve", "--log-format", "xml"},
		{"serve", "--address", "nowhere"},
		{"health", "--address", "127.0.0.1:1"},
	} {
		code, stdout, stderr := run(t, args...)
		if code != exitUnreadable || stdout != "" || !strings.HasPrefix(stderr, "jarwright: ") {
			t.Errorf("%v: exit code %d, standard output %q, standard error %q", args, code, stdout, stderr)
		}
	}
}

func TestRules(t *testing.T) {
	code, text, _ := run(t, "rules")
	if code != exitGood {
		t.Fatalf("exit code %d", code)
	}
	code, encoded, _ := run(t, "rules", "--format", "json")
	if code != exitGood {
		t.Fatalf("exit code %d", code)
	}
	var list struct {
		Items []struct{ ID string }
	}
	if err := json.Unmarshal([]byte(encoded), &list); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(text), "\n")
	if len(lines) != len(list.Items) || len(lines) == 0 {
		t.Fatalf("%d lines for %d rules", len(lines), len(list.Items))
	}
	for i, item := range list.Items {
		if !strings.HasPrefix(lines[i], item.ID+" ") {
			t.Errorf("line %q is not about %s", lines[i], item.ID)
		}
	}
}

// freeAddress finds a port that nothing listens on.
func freeAddress(t *testing.T) string {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	return listener.Addr().String()
}

// The service starts, is found ready, answers, and stops when it is told to.
func TestServe(t *testing.T) {
	address := freeAddress(t)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	stopped := make(chan int, 1)
	var stdout, stderr bytes.Buffer
	go func() {
		stopped <- execute(ctx, []string{"serve", "--address", address, "--log-level", "error"}, nil, &stdout, &stderr)
	}()
	deadline := time.Now().Add(10 * time.Second)
	for {
		if code, out, _ := run(t, "health", "--address", address); code == exitGood {
			if out != "ready\n" {
				t.Errorf("health says %q", out)
			}
			break
		}
		if time.Now().After(deadline) {
			t.Fatal("the service did not get ready")
		}
		time.Sleep(10 * time.Millisecond)
	}
	response, err := http.Get("http://" + address + "/v1/nothing")
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	var problem struct{ Type string }
	if err := json.NewDecoder(response.Body).Decode(&problem); err != nil {
		t.Fatal(err)
	}
	if want := "http://" + address + "/problems/not_found"; problem.Type != want {
		t.Errorf("type %q, want %q", problem.Type, want)
	}
	stop()
	if code := <-stopped; code != exitGood {
		t.Errorf("exit code %d: %s", code, &stderr)
	}
}

func TestReachable(t *testing.T) {
	for given, want := range map[string]string{
		":8080": "127.0.0.1:8080", "0.0.0.0:80": "127.0.0.1:80", "[::]:80": "127.0.0.1:80", "[::1]:80": "[::1]:80", "host:1": "host:1",
	} {
		if got := reachable(given); got != want {
			t.Errorf("%s became %s, want %s", given, got, want)
		}
	}
}
