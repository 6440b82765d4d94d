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

// guideTimeout bounds the compiling and testing of a copy for one section. It takes a quarter of a minute on two cores.
const guideTimeout = 5 * time.Minute

// guideSections are the sections of the contributor guide that are done step by step, in their order.
var guideSections = []struct {
	name    string
	heading string
	shows   string // what the last command prints
	always  bool   // without -full too
}{
	{"a rule", "### One rule, step by step", canner, true},
	{"a tested recipe", "### One tested recipe, step by step", "Cherry pie filling", false},
	{"a unit", "### One unit, step by step", `"unit":"gill"`, false},
	{"a substitution", "### One substitution, step by step", "squash-relish-onions", false},
	{"an endpoint", "### One endpoint, step by step", "--- PASS: TestCountsAreThoseOfTheLists", false},
	{"an output format", "### One output format, step by step", "rule,severity,outcome,at,message", false},
}

// canner is the rule that the guide adds.
const canner = "pack.canner-water"

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
	section, _, _ = strings.Cut(section, "\n### ")
	parts := strings.Split(section, "```")
	for i := 1; i < len(parts); i += 2 {
		language, text, _ := strings.Cut(parts[i], "\n")
		before := oneSpace(parts[i-1])
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
		if oneSpace(line) != e.after {
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

// shell runs a command of the guide in a copy.
func shell(ctx context.Context, top, command string) (string, error) {
	run := exec.CommandContext(ctx, "sh", "-c", command)
	run.Dir = top
	out, err := run.CombinedOutput()
	return string(out), err
}

// What the guide says of adding things is done to one copy, word for word, section by section, and each leads to what the last
// command shows.
func TestGuide(t *testing.T) {
	if testing.Short() {
		t.Skip("left out by -short: it compiles a copy of everything, twenty seconds; go test without -short runs it")
	}
	top := t.TempDir()
	copyTree(t, "../..", top)
	for _, section := range guideSections {
		t.Run(section.name, func(t *testing.T) {
			if !section.always && !*full {
				t.Skip("go test ./cmd/generate -run Guide -args -full does it, as .ci/run does")
			}
			ctx, cancel := context.WithTimeout(t.Context(), guideTimeout)
			defer cancel()
			edits, commands := guideSteps(t, section.heading)
			if len(edits) < 2 || len(commands) < 3 {
				t.Fatalf("%d edits and %d commands", len(edits), len(commands))
			}
			applyAll(ctx, t, top, edits)
			var last string
			for _, command := range commands {
				out, err := shell(ctx, top, command)
				if err != nil {
					t.Fatalf("%s: %v\n%s", command, err, out)
				}
				if strings.Contains(out, "no tests to run") {
					t.Errorf("%s: %s", command, out)
				}
				last = out
			}
			if !strings.Contains(last, section.shows) {
				t.Errorf("nothing shows %s:\n%s", section.shows, last)
			}
		})
	}
	t.Run("a case is missed", func(t *testing.T) {
		if err := os.Remove(filepath.Join(top, "testdata/rules", canner, "fail.json")); err != nil {
			t.Fatal(err)
		}
		out, err := shell(t.Context(), top, "go test ./validate -run EveryRuleHasItsCases")
		if err == nil || !strings.Contains(out, canner) {
			t.Errorf("nobody misses the failing case of %s: %v\n%s", canner, err, out)
		}
	})
}

// oneSpace is a text with one space where it has any, as lines are named in the guide.
func oneSpace(text string) string { return strings.Join(strings.Fields(text), " ") }

// applyAll applies the edits of a section to a copy. Go files must come out formatted.
func applyAll(ctx context.Context, t *testing.T, top string, edits []edit) {
	t.Helper()
	for i := range edits {
		edits[i].apply(t, top)
		if !strings.HasSuffix(edits[i].file, ".go") {
			continue
		}
		if out, err := shell(ctx, top, "gofmt -l "+edits[i].file); err != nil || out != "" {
			t.Errorf("not formatted: %s %v", out, err)
		}
	}
}
