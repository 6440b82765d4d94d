package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jarwright/validate"
	"jarwright/validate/catalog"
	"jarwright/validate/table"
)

// -full runs what compiles copies of everything: comparisons turned round, the guide, faults.
var full = flag.Bool("full", false, "also do to copies of the repository what takes minutes: comparisons turned round, the guide, faults")

func lockedNow(t *testing.T, top string, checker *validate.Checker) lock {
	t.Helper()
	now, err := lockNow(top, checker)
	if err != nil {
		t.Fatal(err)
	}
	return now
}

func TestVerdictsAreLocked(t *testing.T) {
	checker := load(t)
	now := lockedNow(t, "../..", checker)
	locked, err := os.ReadFile(filepath.Join("../..", verdictsFile))
	if err != nil {
		t.Fatal(err)
	}
	if changes := verdictChanges(string(locked), string(now.verdicts)); len(changes) > 0 {
		t.Errorf("%d verdicts are not those of the lock; go run ./cmd/generate tells which. The first: %s", len(changes), changes[0])
	}
	if locked, err = os.ReadFile(filepath.Join("../..", tablesFile)); err != nil || !bytes.Equal(locked, now.tables) {
		t.Errorf("the tables are not those of the lock: run go run ./cmd/generate (%v)", err)
	}
}

// What the lock holds is wide enough to notice a change: every rule fails somewhere in it and passes somewhere.
func TestLockShowsEveryRuleAtWork(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("../..", verdictsFile))
	if err != nil {
		t.Fatal(err)
	}
	lines, names := lockLines(string(text))
	ids := ruleIDs(lines["document"])
	seen := make([]map[byte]bool, len(ids))
	for i := range seen {
		seen[i] = map[byte]bool{}
	}
	for _, name := range names[1:] {
		for i := range ids {
			seen[i][lines[name][3][i]] = true
		}
	}
	for i, id := range ids {
		if !seen[i]['p'] || !seen[i]['F'] && !seen[i]['u'] {
			t.Errorf("no document of the lock shows %s both passing and not passing", id)
		}
	}
}

// lockedCopy copies what the lock is made of. The program that judges stays the one of this test.
func lockedCopy(t *testing.T) string {
	t.Helper()
	top := t.TempDir()
	for _, folder := range []string{"testdata", "examples", tablesFolder} {
		copyTree(t, filepath.Join("../..", folder), filepath.Join(top, folder))
	}
	return top
}

// figurePattern finds a decimal digit that may be another one without the file losing its shape.
var figurePattern = regexp.MustCompile(`[0-9]`)

// One figure changed in any of the tables is refused, unless a rule set is open.
func TestOneFigureChangedIsRefused(t *testing.T) {
	checker := load(t)
	top := lockedCopy(t)
	now := lockedNow(t, top, checker)
	if err := now.hold(top, "", io.Discard); err != nil {
		t.Fatalf("an untouched copy is refused: %v", err)
	}
	stamps, err := table.Stamps(os.DirFS(filepath.Join(top, tablesFolder)))
	if err != nil {
		t.Fatal(err)
	}
	if len(stamps) < 30 {
		t.Fatalf("%d tables", len(stamps))
	}
	for _, stamp := range stamps {
		t.Run(stamp.Name, func(t *testing.T) {
			file := filepath.Join(top, tablesFolder, filepath.FromSlash(stamp.Name))
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			figures := figurePattern.FindAllIndex(text, -1)
			changed := slices.Clone(text)
			if len(figures) == 0 {
				changed[len(text)/2] ^= 1 // a table of words: one letter is another one
			} else {
				at := figures[len(figures)/2][0]
				changed[at] = '0' + (text[at]-'0'+1)%10
			}
			write(t, file, changed)
			defer write(t, file, text)
			var told bytes.Buffer
			turned := now
			if turned.tables, err = tableHashes(top); err != nil {
				t.Fatal(err)
			}
			if err := turned.hold(top, "", &told); err == nil || !strings.Contains(told.String(), "table "+stamp.Name) {
				t.Errorf("accepted: %v, told %q", err, told.String())
			}
		})
	}
}

func write(t *testing.T, file string, text []byte) {
	t.Helper()
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
}

// A changed verdict is told with the rules that moved it, refused without an open rule set and taken over with one.
func TestChangedVerdictIsToldAndNeedsARuleset(t *testing.T) {
	checker := load(t)
	top := lockedCopy(t)
	now := lockedNow(t, top, checker)
	file := filepath.Join(top, verdictsFile)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	lines, names := lockLines(string(text))
	name := names[1]
	cells := slices.Clone(lines[name])
	cells[1] = "hold"
	cells[3] = strings.Replace(cells[3], "p", "F", 1)
	before := strings.Replace(string(text), strings.Join(lines[name], "\t"), strings.Join(cells, "\t"), 1)
	write(t, file, []byte(before))
	var told bytes.Buffer
	if err := now.hold(top, "", &told); err == nil {
		t.Error("accepted without an open rule set")
	}
	if got := told.String(); !strings.Contains(got, name+": hold → shelf, because ") || !strings.Contains(got, " fail → pass") {
		t.Errorf("told %q", got)
	}
	if kept, _ := os.ReadFile(file); string(kept) != before {
		t.Error("the lock was written though the change was refused")
	}
	if err := now.hold(top, "2026.9", io.Discard); err != nil {
		t.Errorf("refused with an open rule set: %v", err)
	}
	if kept, _ := os.ReadFile(file); !bytes.Equal(kept, text) {
		t.Error("the lock was not written")
	}
}

// A rename that stands in the list is no change.
func TestRenamesAreNoChange(t *testing.T) {
	checker := load(t)
	top := lockedCopy(t)
	now := lockedNow(t, top, checker)
	file := filepath.Join(top, verdictsFile)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	write(t, file, bytes.ReplaceAll(text, []byte("/recipe/headspace"), []byte("/recipe/room")))
	if err := now.hold(top, "", io.Discard); err == nil {
		t.Error("accepted without the rename")
	}
	renames, err := os.ReadFile(filepath.Join(top, renamesFile))
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(top, renamesFile), append(renames, []byte("/recipe/room,/recipe/headspace\n")...))
	if err := now.hold(top, "", io.Discard); err != nil {
		t.Errorf("refused in spite of the rename: %v", err)
	}
}

// comparison is one ordering in the code of the rules, with the operator that says the opposite.
type comparison struct {
	file   string
	line   int
	offset int // of the operator
	was    token.Token
}

// opposites turn a comparison round.
var opposites = map[token.Token]token.Token{token.LSS: token.GEQ, token.GEQ: token.LSS, token.GTR: token.LEQ, token.LEQ: token.GTR}

// comparisons lists the orderings in the rules, file by file.
func comparisons(t *testing.T, top string) []comparison {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(top, "validate/rules/*.go"))
	if err != nil {
		t.Fatal(err)
	}
	var found []comparison
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		set := token.NewFileSet()
		parsed, err := parser.ParseFile(set, file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(parsed, func(node ast.Node) bool {
			if e, ok := node.(*ast.BinaryExpr); ok && opposites[e.Op] != token.ILLEGAL {
				position := set.Position(e.OpPos)
				found = append(found, comparison{file, position.Line, position.Offset, e.Op})
			}
			return true
		})
	}
	return found
}

// One comparison turned round in any rule makes the generator refuse: ten of them, spread over the rules, each in a copy
// whose rule set is dated.
func TestOneComparisonTurnedRoundIsRefused(t *testing.T) {
	if !*full {
		t.Skip("compiles ten copies; go test ./cmd/generate -run TurnedRound -args -full runs it, as .ci/run does")
	}
	top := t.TempDir()
	copyTree(t, "../..", top)
	closeHistory(t, top)
	all := comparisons(t, top)
	const tried = 10
	if len(all) < tried {
		t.Fatalf("%d comparisons", len(all))
	}
	unnoticed := 0
	const most = 2 // a comparison that moves only the place of a finding, or a time that no edge of the lock exceeds
	for i := range tried {
		c := all[(2*i+1)*len(all)/(2*tried)]
		inside, _ := filepath.Rel(top, c.file)
		t.Run(fmt.Sprintf("%s:%d", inside, c.line), func(t *testing.T) {
			text, err := os.ReadFile(c.file)
			if err != nil {
				t.Fatal(err)
			}
			defer write(t, c.file, text)
			turned := string(text[:c.offset]) + opposites[c.was].String() + string(text[c.offset+len(c.was.String()):])
			write(t, c.file, []byte(turned))
			out, err := generate(t.Context(), top)
			if err == nil || !strings.Contains(out, "no rule set is open") {
				unnoticed++
				report := t.Logf
				if unnoticed > most {
					report = t.Errorf
				}
				report("turning round this went unnoticed: %s\n%v", strings.Split(string(text), "\n")[c.line-1], err)
			}
		})
	}
}

// closeHistory dates the newest rule set of a copy.
func closeHistory(t *testing.T, top string) {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	if tables.OpenRuleset() == "" {
		return
	}
	file := filepath.Join(top, tablesFolder, table.HistoryFile)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	write(t, file, bytes.ReplaceAll(text, []byte(tables.OpenRuleset()+",,"), []byte(tables.OpenRuleset()+",2099-12-31,")))
}

// generate runs the generator of a copy.
func generate(ctx context.Context, top string) (string, error) {
	command := exec.CommandContext(ctx, "go", "run", "./cmd/generate")
	command.Dir = top
	out, err := command.CombinedOutput()
	return string(out), err
}
