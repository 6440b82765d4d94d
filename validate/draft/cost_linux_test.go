package draft_test

import (
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
	"unsafe"

	"jarwright/validate/draft"
)

// Reading has to be linear in what is read. The texts that try it are made of everything the readers look for: each word and
// phrase that stands in their source and tables, repeated with each separator. One long text may not cost much more than
// eight short ones of the same bytes; a loop over the text for each hit in it costs eight times as much.
//
//	go test ./validate/draft -run CostsNoMore -everycost     tries every word with every separator (some minutes)

var everyCost = flag.Bool("everycost", false, "try every word of the readers with every separator, not three of them")

// costSeparators stand between the repetitions of a word.
var costSeparators = []string{
	" ", ", ", "/", " or ", " and ", " plus ", " to ", "-", " - ", "; ", ". ", ": ", "(", " (", ") ", "", " & ", "%", " per ", " with ", " of ", "=", `"`,
	". A", " 1 ", ", 1 ", "\n", " x ", " about ", "&amp;", "<", "½",
}

// costMarks are numbers, brackets and marks in many forms. Each is tried in every shape.
var costMarks = strings.Split(`1|1/2|1 1/2|½|⅓|100|1.5|1,000|5%|(1|(1 cup|(a|[1|{a|(a)|(aaaa)|[a]|&|&#x41;|<|<a|<b>|>|"|'|1 cup|1 pint|1 clove|1 zz|`+
	`2 (14 oz) cans|1-|1 to 2|1 cup salt|5 min|process 5 min|pint jar 5 min|1 inch|1/2 inch headspace|5% vinegar|180 f|1 day|2 weeks before opening|`+
	`at 5 ft process 5 min|1 in for|over 30 min|A. A|é|İ|漢|-|--|1 or 2|one-half|one-|(optional)|1 large|fresh, |garlic|zz chopped|salt|juice of 1|or a|(or a)|`+
	`black pepper|finely ground|salt and|1 cup (|1 clove (|jar lid|aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa`, "|")

// costWords are the words and phrases of the readers, and the spellings of units.
func costWords(t *testing.T) []string {
	t.Helper()
	words := map[string]bool{}
	for _, folder := range []string{".", "amount", "steps"} {
		files, err := filepath.Glob(filepath.Join(folder, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			if !strings.HasSuffix(file, "_test.go") {
				addLiterals(t, file, words)
			}
		}
	}
	file, err := os.Open("../table/measure/written_units.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		for spelling := range strings.SplitSeq(row[len(row)-1], "|") {
			words[spelling] = true
		}
	}
	var sorted []string
	for word := range words {
		sorted = append(sorted, word)
	}
	slices.Sort(sorted)
	return sorted
}

// addLiterals adds the strings of a source file, and each word of those that are lists of words.
func addLiterals(t *testing.T, file string, words map[string]bool) {
	t.Helper()
	source, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(source, func(n ast.Node) bool {
		literal, ok := n.(*ast.BasicLit)
		if !ok || literal.Kind != token.STRING {
			return true
		}
		text, err := strconv.Unquote(literal.Value)
		if err != nil {
			t.Fatal(err)
		}
		const longest = 60
		if text != "" && len(text) <= longest {
			words[text] = true
		}
		if literal.Value[0] == '`' {
			for each := range strings.FieldsSeq(text) {
				words[each] = true
			}
		}
		return true
	})
}

// cost is what reading took.
type cost struct {
	processor time.Duration // of this thread
	allocated uint64        // bytes
}

// costOf reads documents.
func costOf(bodies ...string) cost {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	started := threadTime()
	for _, body := range bodies {
		checker.Draft(nil, []byte(body), false, false)
	}
	took := threadTime() - started
	runtime.ReadMemStats(&after)
	return cost{took, after.TotalAlloc - before.TotalAlloc}
}

// threadTime is what the thread has had of the processor. Getrusage would tell it too, only to a tenth of a millisecond.
func threadTime() time.Duration {
	const clockOfThread = 3 // CLOCK_THREAD_CPUTIME_ID
	var had syscall.Timespec
	if _, _, failed := syscall.Syscall(syscall.SYS_CLOCK_GETTIME, clockOfThread, uintptr(unsafe.Pointer(&had)), 0); failed != 0 {
		panic(failed)
	}
	return time.Duration(had.Nano())
}

// steadily keeps the test on one thread, and the collector of garbage away from it.
func steadily(t *testing.T) {
	t.Helper()
	runtime.LockOSThread()
	percent := debug.SetGCPercent(-1)
	t.Cleanup(func() {
		debug.SetGCPercent(percent)
		runtime.UnlockOSThread()
	})
}

// growth tells how many times as much the long document costs as the short ones of the same bytes. A growth that is too large
// is measured again: the least of several is what reading costs.
func growth(long string, short []string, most float64) (processor, memory float64) {
	const (
		attempts = 12
		little   = 100 * time.Microsecond // not counted: what the machine does beside
		few      = 100_000                // bytes
	)
	one, many := cost{1 << 62, 1 << 62}, cost{1 << 62, 1 << 62}
	for attempt := range attempts {
		if attempt > 0 {
			runtime.GC() // memory that was used before costs less than new memory, which the machine makes at its own pace
		}
		c := costOf(short...)
		many = cost{min(many.processor, c.processor), min(many.allocated, c.allocated)}
		c = costOf(long)
		one = cost{min(one.processor, c.processor), min(one.allocated, c.allocated)}
		processor = float64(one.processor) / float64(many.processor+little)
		memory = float64(one.allocated) / float64(many.allocated+few)
		if processor <= most && memory <= most {
			break
		}
	}
	return processor, memory
}

// costShape makes documents of a text: one that has it at its full length, and eight that have an eighth of it each.
type costShape struct {
	name      string
	bytes     int // of the whole text
	before    string
	member    func(text string) map[string]any
	marksOnly bool // it is too long to be tried with every word
}

// costTimes is how many times longer the long text is.
const costTimes = 8

var costShapes = []costShape{
	{"line", 1900, "1 cup ", ingredientText, false},
	{"line of no amount", 1900, "x ", ingredientText, false},
	{"line of this alone", 1900, "", ingredientText, false},
	{"second food", 480, "1 salt ", ingredientText, false},
	{"long line", 16 << 10, "", ingredientText, false},
	{"longest line", 130_000, "", ingredientText, true},
	{"longest steps", 130_000, "", func(text string) map[string]any {
		return map[string]any{"recipeIngredient": []string{"a"}, "step": text}
	}, true},
	{"steps", 8 << 10, "Process jars in a water bath, 5% vinegar. ", func(text string) map[string]any {
		return map[string]any{"recipeIngredient": []string{"1 cup vinegar", "1 cup pickling lime"}, "recipeInstructions": text}
	}, false},
	{"titles", 4 << 10, "", func(text string) map[string]any {
		return map[string]any{"recipeIngredient": []string{"1 cup vinegar"}, "name": text, "keywords": text, "recipeYield": text, "recipeCategory": text}
	}, false},
}

func ingredientText(text string) map[string]any {
	return map[string]any{"recipeIngredient": []string{text}}
}

func (s *costShape) documents(t *testing.T, unit string) (long string, short []string) {
	t.Helper()
	written := len(jsonOf(t, unit)) - len(`""`)
	of := func(bytes int) string {
		return jsonText(t, s.member(s.before+strings.Repeat(unit, max(1, (bytes-len(s.before))/written))))
	}
	one := of(s.bytes / costTimes)
	return of(s.bytes), slices.Repeat([]string{one}, costTimes)
}

// jsonText is a recipe of some members.
func jsonText(t *testing.T, members map[string]any) string {
	t.Helper()
	members["@type"] = "Recipe"
	return jsonOf(t, members)
}

// jsonOf writes JSON as short as it can be.
func jsonOf(t *testing.T, value any) string {
	t.Helper()
	var b strings.Builder
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(b.String())
}

func TestLongTextsCostNoMoreThanShortOnes(t *testing.T) {
	const most = 3
	words := costWords(t)
	if len(words) < 1000 {
		t.Fatalf("only %d words of the readers were found", len(words))
	}
	tried := 3
	if *everyCost {
		tried = len(costSeparators)
	}
	for s := range costShapes {
		shape := &costShapes[s]
		t.Run(shape.name, func(t *testing.T) {
			steadily(t)
			worst := 0.0
			try := func(unit string) {
				long, short := shape.documents(t, unit)
				if len(long) > draft.MaxJSONBytes {
					t.Fatalf("%q: a document of %d bytes is not read", unit, len(long))
				}
				processor, memory := growth(long, short, most)
				worst = max(worst, processor, memory)
				if processor > most || memory > most {
					t.Errorf("%q, %d bytes: %.1f times the processor time and %.1f times the memory of %d texts of an eighth",
						unit, shape.bytes, processor, memory, costTimes)
				}
			}
			for i, mark := range costMarks {
				if try(mark); !shape.marksOnly {
					try(mark + costSeparators[(i+s)%len(costSeparators)])
				}
			}
			for i, word := range words {
				for j := range tried {
					if shape.marksOnly {
						continue
					}
					if *everyCost || (i+j)%len(costShapes) == s { // each word is tried in three shapes
						try(word + costSeparators[(i*7+j*11+s)%len(costSeparators)])
					}
				}
				if i%50 == 0 {
					runtime.GC()
				}
			}
			t.Logf("at most %.1f times", worst)
		})
	}
}

// costLists are documents of many members, of which each is read.
var costLists = map[string]func(n int) map[string]any{
	"lines":              func(n int) map[string]any { return ingredientList(repeated("1 cup salt", n)) },
	"lines without food": func(n int) map[string]any { return ingredientList(repeated("", n)) },
	"headings":           func(n int) map[string]any { return ingredientList(repeated("a:", n)) },
	"equipment":          func(n int) map[string]any { return ingredientList(repeated("jar lids", n)) },
	"empty objects":      func(n int) map[string]any { return ingredientList(slices.Repeat([]any{map[string]any{}}, n)) },
	"sections": func(n int) map[string]any {
		return ingredientList(slices.Repeat([]any{map[string]any{"name": "a:", "itemListElement": []any{}}}, n))
	},
	"steps":              func(n int) map[string]any { return stepList(repeated("Process pints 5 min at 9 ft in 5% vinegar.", n)) },
	"short steps":        func(n int) map[string]any { return stepList(repeated("a", n)) },
	"notes on elevation": func(n int) map[string]any { return stepList(numbered("At %d ft add 5 min.", n)) },
	"strengths": func(n int) map[string]any {
		return stepList(repeated("Use 5% vinegar, rinse the lime three times.", n))
	},
	"headspaces": func(n int) map[string]any {
		return stepList(repeated("Leave 900 inch headspace, 1 in water over lids.", n))
	},
	"sentences":           func(n int) map[string]any { return stepList([]any{strings.Repeat("A. ", n)}) },
	"sentences on jars":   func(n int) map[string]any { return stepList([]any{strings.Repeat("Pint jars, 8 oz jars. ", n)}) },
	"times":               func(n int) map[string]any { return stepList([]any{strings.Repeat("process 5 min, ", n)}) },
	"keywords":            func(n int) map[string]any { return other("keywords", strings.Repeat("a,", n)) },
	"yields":              func(n int) map[string]any { return other("recipeYield", repeated("5 cups", n)) },
	"yields of many jars": func(n int) map[string]any { return other("recipeYield", strings.Repeat("pint 8 oz ", n)) },
	"categories":          func(n int) map[string]any { return other("recipeCategory", repeated("a", n)) },
	"tools":               func(n int) map[string]any { return other("tool", repeated("pint jars", n)) },
	"unknown members": func(n int) map[string]any {
		members := ingredientList(repeated("1 cup salt", 1))
		for i := range n {
			members["x"+strconv.Itoa(i)] = 1
		}
		return members
	},
}

func ingredientList(lines []any) map[string]any { return map[string]any{"recipeIngredient": lines} }

func stepList(steps []any) map[string]any {
	return map[string]any{"recipeIngredient": repeated("1 cup vinegar", 150), "recipeInstructions": steps}
}

func other(name string, value any) map[string]any {
	return map[string]any{"recipeIngredient": []string{"1 cup vinegar"}, name: value}
}

func repeated(text string, n int) []any { return slices.Repeat([]any{text}, n) }

func numbered(text string, n int) []any {
	all := make([]any, n)
	for i := range all {
		all[i] = fmt.Sprintf(text, i)
	}
	return all
}

func TestLongListsCostNoMoreThanShortOnes(t *testing.T) {
	const most = 3
	for name, list := range costLists {
		t.Run(name, func(t *testing.T) {
			steadily(t)
			entries := entriesIn(t, list) / costTimes
			short := jsonText(t, list(entries))
			processor, memory := growth(jsonText(t, list(costTimes*entries)), slices.Repeat([]string{short}, costTimes), most)
			if processor > most || memory > most {
				t.Errorf("%.1f times the processor time and %.1f times the memory of %d lists of an eighth", processor, memory, costTimes)
			}
			runtime.GC()
		})
	}
}

// entriesIn is how many entries of a list make a document of the greatest length that is read as JSON.
func entriesIn(t *testing.T, list func(n int) map[string]any) int {
	t.Helper()
	const (
		few     = 1000
		longest = 200_000 // bytes
	)
	none, some := len(jsonText(t, list(0))), len(jsonText(t, list(few)))
	return (longest - none) * few / (some - none)
}

// A draft lists no more than a recipe can say, counts what it leaves out, and stays short.
func TestDraftsOfLongDocumentsAreShort(t *testing.T) {
	const (
		longest = 4 << 20 // bytes of the answer
		listed  = 1002    // notes, with those that count the others
	)
	for name, list := range costLists {
		t.Run(name, func(t *testing.T) {
			d, problem := checker.Draft(nil, []byte(jsonText(t, list(entriesIn(t, list)))), false, false)
			if problem != nil {
				if code := problem.Errors[0].Code; code != draft.CodeTooMany && code != draft.CodeNoIngredients {
					t.Errorf("refused: %+v", problem.Errors)
				}
				return
			}
			text, err := json.Marshal(d)
			if err != nil {
				t.Fatal(err)
			}
			if len(text) > longest || len(d.Facts) > listed || len(d.NotUnderstood) > listed || len(d.Assumed) > listed {
				t.Errorf("%d bytes, %d facts, %d notes, %d assumed", len(text), len(d.Facts), len(d.NotUnderstood), len(d.Assumed))
			}
			for _, notes := range [][]draft.Note{d.NotUnderstood, d.Assumed} {
				if len(notes) >= 1000 && !strings.Contains(notes[len(notes)-1].What, "further") {
					t.Errorf("nothing counts what is left out: %+v", notes[len(notes)-1])
				}
			}
		})
	}
}
