package main

import (
	"context"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// guideTimeout bounds the compiling and testing of a whole copy. It takes a quarter of a minute on two cores.
const guideTimeout = 5 * time.Minute

// edit is a block of the contributor guide with where it goes.
type edit struct {
	file, after string // after is the line that it follows; empty where the file is new
	text        string
}

var (
	newFileForm  = regexp.MustCompile("New file `([^`]+)`:$")
	insertedForm = regexp.MustCompile("[Ii]n `([^`]+)`, after `([^`]+)`:$")
)

// guideSteps reads what a section of the guide has its reader write, and which commands it has them run.
func guideSteps(t *testing.T, heading string) (edits []edit, commands []string) {
	t.Helper()
	page, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, section, found := strings.Cut(string(page), "\n"+heading+"\n")
	if !found {
		t.Fatalf("the guide has no %q", heading)
	}
	section, _, _ = strings.Cut(section, "\n## ")
	parts := strings.Split(section, "```")
	for i := 1; i < len(parts); i += 2 {
		language, text, _ := strings.Cut(parts[i], "\n")
		before := strings.Join(strings.Fields(parts[i-1]), " ")
		if language == "sh" {
			commands = append(commands, strings.Split(strings.TrimSpace(text), "\n")...)
		} else if at := newFileForm.FindStringSubmatch(before); at != nil {
			edits = append(edits, edit{file: at[1], text: text})
		} else if at := insertedForm.FindStringSubmatch(before); at != nil {
			edits = append(edits, edit{file: at[1], after: at[2], text: text})
		} else {
			t.Fatalf("the guide does not say where this goes:\n%s", text)
		}
	}
	return edits, commands
}

// copyTree copies the repository as it stands here, without its history.
func copyTree(t *testing.T, from, to string) {
	t.Helper()
	err := filepath.WalkDir(from, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		inside, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		switch {
		case entry.Name() == ".git":
			if entry.IsDir() {
				return filepath.SkipDir
			}
			return nil
		case entry.IsDir():
			return os.MkdirAll(filepath.Join(to, inside), 0o755)
		case !entry.Type().IsRegular():
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, inside), text, 0o644)
	})
	if err != nil {
		t.Fatal(err)
	}
}

func (e *edit) apply(t *testing.T, top string) {
	t.Helper()
	file := filepath.Join(top, e.file)
	if e.after == "" {
		if _, err := os.Stat(file); err == nil {
			t.Fatalf("%s is not new", e.file)
		}
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(e.text), 0o600); err != nil {
			t.Fatal(err)
		}
		return
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	lines, found := strings.SplitAfter(string(text), "\n"), -1
	for i, line := range lines {
		if strings.TrimSpace(line) != e.after {
			continue
		}
		if found >= 0 {
			t.Fatalf("%s has %q twice", e.file, e.after)
		}
		found = i
	}
	if found < 0 {
		t.Fatalf("%s has no line %q", e.file, e.after)
	}
	changed := strings.Join(lines[:found+1], "") + e.text + strings.Join(lines[found+1:], "")
	if err := os.WriteFile(file, []byte(changed), 0o600); err != nil {
		t.Fatal(err)
	}
}

// What the guide says of adding a rule is done to a copy, word for word, and leads to a rule that the program lists. Without its
// cases the tests that the guide names refuse it.
func TestGuideAddsARule(t *testing.T) {
	if testing.Short() {
		t.Skip("left out by -short: it compiles a copy of everything, twenty seconds; go test without -short runs it")
	}
	ctx, cancel := context.WithTimeout(t.Context(), guideTimeout)
	defer cancel()
	top := t.TempDir()
	copyTree(t, "../..", top)
	edits, commands := guideSteps(t, "### One rule, step by step")
	if len(edits) < 5 || len(commands) < 3 {
		t.Fatalf("%d edits and %d commands", len(edits), len(commands))
	}
	run := func(command string) (string, error) {
		shell := exec.CommandContext(ctx, "sh", "-c", command)
		shell.Dir = top
		out, err := shell.CombinedOutput()
		return string(out), err
	}
	for i := range edits {
		edits[i].apply(t, top)
		if !strings.HasSuffix(edits[i].file, ".go") {
			continue
		}
		if out, err := run("gofmt -l " + edits[i].file); err != nil || out != "" {
			t.Errorf("not formatted: %s %v", out, err)
		}
	}
	var last string
	for _, command := range commands {
		out, err := run(command)
		if err != nil {
			t.Fatalf("%s: %v\n%s", command, err, out)
		}
		if strings.Contains(out, "no tests to run") {
			t.Errorf("%s: %s", command, out)
		}
		last = out
	}
	const id = "pack.canner-water"
	if !strings.Contains(last, id) {
		t.Errorf("the program does not list %s:\n%s", id, last)
	}
	for _, e := range edits {
		if !strings.HasSuffix(e.file, "/fail.json") {
			continue
		}
		if err := os.Remove(filepath.Join(top, e.file)); err != nil {
			t.Fatal(err)
		}
		if out, err := run("go test ./validate -run EveryRuleHasItsCases"); err == nil || !strings.Contains(out, id) {
			t.Errorf("nobody misses %s: %v\n%s", e.file, err, out)
		}
	}
}
