package validate_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// goFile is one Go file of the repository, seen from its top folder.
type goFile struct {
	path    string // from the top folder, with forward slashes
	name    string // of the package
	imports []string
}

// goFiles reads the heads of all Go files of the repository, tests among them.
func goFiles(t *testing.T) []goFile {
	t.Helper()
	var files []goFile
	top := os.DirFS("..")
	err := fs.WalkDir(top, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && name != "." && strings.HasPrefix(entry.Name(), ".") {
			return fs.SkipDir
		}
		if entry.IsDir() || path.Ext(name) != ".go" {
			return nil
		}
		text, err := fs.ReadFile(top, name)
		if err != nil {
			return err
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), name, text, parser.ImportsOnly)
		if err != nil {
			return err
		}
		file := goFile{path: name, name: strings.TrimSuffix(parsed.Name.Name, "_test")}
		for _, spec := range parsed.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			file.imports = append(file.imports, imported)
		}
		files = append(files, file)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// below reports whether an import path is one of the trees, or lies in one.
func below(imported string, trees ...string) bool {
	return slices.ContainsFunc(trees, func(tree string) bool { return imported == tree || strings.HasPrefix(imported, tree+"/") })
}

// The rules of who may import what. Judging a recipe must stay a plain function of bytes, which can run in a command, a
// test or a fuzzer; so what it takes to talk over a network, to log, or to describe an API stays above it.
var (
	transport  = []string{"net/http", "github.com/labstack/echo", "go.uber.org/zap", "github.com/getkin/kin-openapi"}
	above      = []string{"jarwright/handlers", "jarwright/cmd", "jarwright/api"}
	mayAnswer  = []string{"handlers", "cmd"}
	unsettling = []string{"math/rand", "crypto/rand", "os", "net", "context"}
)

func TestOnlyHandlersAndCommandsKnowTheNetwork(t *testing.T) {
	asked := map[string]bool{}
	for _, file := range goFiles(t) {
		tree, _, _ := strings.Cut(file.path, "/")
		asked[tree] = true
		if slices.Contains(mayAnswer, tree) {
			continue
		}
		for _, imported := range file.imports {
			// The contract of the API is checked by the library that reads such contracts.
			contractTest := tree == "api" && strings.HasSuffix(file.path, "_test.go") && below(imported, "github.com/getkin/kin-openapi")
			if below(imported, transport...) && !contractTest {
				t.Errorf("%s imports %s: only %s may", file.path, imported, strings.Join(mayAnswer, " and "))
			}
		}
	}
	for _, tree := range []string{"api", "cmd", "handlers", "schemas", "validate"} {
		if !asked[tree] {
			t.Errorf("no Go file of %s was looked at", tree)
		}
	}
}

func TestJudgingImportsNothingAboveIt(t *testing.T) {
	for _, file := range goFiles(t) {
		if !below(file.path, "validate", "schemas") {
			continue
		}
		for _, imported := range file.imports {
			if below(imported, above...) {
				t.Errorf("%s imports %s, which stands above it", file.path, imported)
			}
		}
	}
}

// clockReaders are what package time has that looks at the clock, waits for it or asks the machine for its zone.
var clockReaders = []string{
	"Now", "Since", "Until", "Local", "Sleep", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer", "LoadLocation",
}

// The package time parses and compares; its clock and the zone of the machine are refused.
func TestJudgingReadsNoClock(t *testing.T) {
	looked := 0
	for _, file := range goFiles(t) {
		if !below(file.path, "validate", "schemas") || strings.HasSuffix(file.path, "_test.go") || !slices.Contains(file.imports, "time") {
			continue
		}
		looked++
		text, err := os.ReadFile(filepath.Join("..", file.path))
		if err != nil {
			t.Fatal(err)
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file.path, text, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(parsed, func(node ast.Node) bool {
			selector, ok := node.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if of, ok := selector.X.(*ast.Ident); ok && of.Name == "time" && slices.Contains(clockReaders, selector.Sel.Name) {
				t.Errorf("%s uses time.%s", file.path, selector.Sel.Name)
			}
			return true
		})
	}
	if looked == 0 {
		t.Error("no file that imports time was looked at")
	}
}

// The same request gives the same report, whatever the hour and the machine: no clock, chance, files or network.
func TestJudgingHasNoClockChanceOrFiles(t *testing.T) {
	for _, file := range goFiles(t) {
		if !below(file.path, "validate", "schemas") || strings.HasSuffix(file.path, "_test.go") {
			continue
		}
		for _, imported := range file.imports {
			// net/url only parses text; a budget asks a context whether anybody still waits, and nothing else.
			asks := imported == "context" && file.path == "validate/budget/budget.go"
			if below(imported, unsettling...) && imported != "net/url" && !asks {
				t.Errorf("%s imports %s", file.path, imported)
			}
		}
	}
}

// Two libraries differ in what they take for the same document: doubled names, letter case, broken UTF-8. Documents are read
// by one; the standard library only writes answers, in one function that says why.
func TestOneLibraryReadsJSON(t *testing.T) {
	const writer = "validate/report/encode.go"
	used := false
	for _, file := range goFiles(t) {
		if strings.HasSuffix(file.path, "_test.go") || !slices.Contains(file.imports, "encoding/json") {
			continue
		}
		if used = used || file.path == writer; file.path != writer {
			t.Errorf("%s imports encoding/json: read with github.com/go-json-experiment/json, write with report.Encode", file.path)
		}
	}
	if !used {
		t.Errorf("%s does not import encoding/json: its exception can go", writer)
	}
}

// A package is named after what it holds. These names hold anything.
func TestNoPackageForOddsAndEnds(t *testing.T) {
	for _, file := range goFiles(t) {
		for _, name := range []string{file.name, path.Base(path.Dir(file.path))} {
			if slices.Contains([]string{"util", "utils", "common", "helper", "helpers", "model", "models", "type", "types"}, name) {
				t.Errorf("%s: a package called %s says nothing of what it holds", file.path, name)
			}
		}
	}
}

// Physics and chemistry are functions of plain numbers: they know no facts of a request and no rules.
func TestFormulasKnowNoRules(t *testing.T) {
	seen := map[string]bool{}
	for _, file := range goFiles(t) {
		if strings.HasSuffix(file.path, "_test.go") {
			continue
		}
		for _, formulas := range []string{"acidity", "altitude", "headspace", "heating"} {
			if !below(file.path, "validate/"+formulas) {
				continue
			}
			seen[formulas] = true
			for _, imported := range file.imports {
				if below(imported, "jarwright/validate/rules", "jarwright/validate/facts", "jarwright/validate/match", "jarwright/validate/composition",
					"jarwright/validate/contents", "jarwright/validate/canningday") {
					t.Errorf("%s imports %s", file.path, imported)
				}
			}
		}
	}
	if len(seen) != 4 {
		t.Errorf("formulas were looked for in %v", seen)
	}
}

// A file that is longer holds more than one thing. Tables of data are not Go.
func TestNoFileOverFiveHundredLines(t *testing.T) {
	const most = 500
	for _, file := range goFiles(t) {
		text, err := os.ReadFile(filepath.Join("..", file.path))
		if err != nil {
			t.Fatal(err)
		}
		if lines := strings.Count(string(text), "\n"); lines > most {
			t.Errorf("%s has %d lines, more than %d", file.path, lines, most)
		}
	}
}
