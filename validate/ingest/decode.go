package ingest

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
)

// Limits of a body. The request schema states the same figures to people.
const (
	MaxBytes = 256 << 10 // of one document
	MaxDepth = 32        // objects and lists inside each other
)

// maxListKept is how many entries of a list go into the tree: one more than the longest list any schema allows, so
// that the schema still sees that it is too long, while a list of a hundred thousand costs no more than reading it.
const maxListKept = 201

// tree is a body as plain values (map[string]any, []any, string, float64, bool, nil), made only for checking.
type tree struct {
	root      any
	listSizes map[string]int // true length, by pointer, of each list that was cut at maxListKept
	errors    []Error        // in the order of reading
	unlisted  int            // errors beyond MaxErrors, of which only the number is kept
	faint     int            // numbers so far that may be too near to zero to be read quickly
	keepAll   bool           // keep every entry of every list

	source   *jsontext.Decoder
	hidden   int    // names around the place of reading that are longer than a pointer may be
	hiddenAt string // the object with the outermost of them
}

var errStopped = errors.New("reading stopped at an error that is already recorded")

// readTree reads body as exactly one JSON value. Names repeated in an object and numbers beyond float64 are all
// recorded; a syntax error or too much depth ends the reading.
func readTree(body []byte) tree { return readTreeOf(body, false) }

func readTreeOf(body []byte, keepAll bool) tree {
	t := tree{keepAll: keepAll}
	switch {
	case len(bytes.TrimSpace(body)) == 0:
		t.add("", CodeEmptyBody, "The body is empty; a JSON document is expected.", nil)
		return t
	case !utf8.Valid(body):
		at := invalidUTF8At(body)
		t.add("", CodeInvalidUTF8, fmt.Sprintf("The body is not UTF-8 text: %s.", place(body, at)), nil)
		return t
	}
	// Repeated names are allowed here because this package finds them itself, all of them and not only the first.
	t.source = jsontext.NewDecoder(bytes.NewBuffer(body), jsontext.AllowDuplicateNames(true))
	root, err := t.value()
	if err == nil {
		t.root = root
		_, err = t.source.ReadToken()
		if err == nil {
			err = &jsontext.SyntacticError{ByteOffset: t.source.InputOffset(), Err: errTrailing}
		}
	}
	var syntax *jsontext.SyntacticError
	switch {
	case errors.Is(err, io.EOF), errors.Is(err, errStopped):
	case errors.As(err, &syntax):
		t.add(string(syntax.JSONPointer), CodeNotJSON, syntaxDetail(body, syntax), nil)
	default:
		t.add("", CodeNotJSON, "The body is not JSON.", nil)
	}
	return t
}

var errTrailing = errors.New("more than one value")

// full counts one more error and tells whether there are so many already that it need not be described.
func (t *tree) full() bool {
	if len(t.errors) < MaxErrors {
		return false
	}
	t.unlisted++
	return true
}

func (t *tree) add(pointer, code, detail string, params *Params) {
	t.errors = append(t.errors, Error{Pointer: boundedPointer(pointer), Code: code, Detail: detail, Params: params})
}

func (t *tree) value() (any, error) {
	token, err := t.source.ReadToken()
	if err != nil {
		return nil, err
	}
	switch token.Kind() {
	case '{':
		return t.object()
	case '[':
		return t.list()
	case '"':
		return token.String(), nil
	case '0':
		return t.number(token), nil
	case 't', 'f':
		return token.Bool(), nil
	}
	return nil, nil
}

func (t *tree) number(token jsontext.Token) float64 {
	text := token.String()
	var value float64
	var err error
	faint := isFaint(text)
	if faint {
		t.faint++
	}
	if !faint || t.faint <= maxFaint {
		if value, err = strconv.ParseFloat(text, 64); err == nil && (value != 0 || isZero(text)) {
			return value
		}
	}
	if !t.full() {
		size := "large"
		if err == nil {
			size = "small"
		}
		shown := shortened(text, maxShown)
		t.add(t.pointer(), CodeNumberOutOfRange,
			fmt.Sprintf("The number %s is too %s to be read.", shown, size), &Params{Got: shown})
	}
	return 0
}

// maxFaint is how many faint numbers a document may have. Go reads a number like 5e-324, six bytes long, a hundred times as slowly as
// others, so that a document of nothing else took a second. Nobody means one of them.
const maxFaint = 100

// isFaint tells a number that is written with an exponent near the least that a 64-bit floating-point number has.
func isFaint(text string) bool {
	at := strings.IndexAny(text, "eE")
	if at < 0 || text[at+1] != '-' {
		return false
	}
	exponent, err := strconv.Atoi(text[at+1:])
	const least = -280 // however many digits stand before the point
	return err != nil || exponent <= least
}

// isZero tells a zero from what is so small that it reads as zero, such as 1e-400: an ingredient of which there is none would
// be taken for left out.
func isZero(text string) bool {
	mantissa, _, _ := strings.Cut(strings.ToLower(text), "e")
	return !strings.ContainsAny(mantissa, "123456789")
}

func (t *tree) object() (any, error) {
	if err := t.checkDepth(); err != nil {
		return nil, err
	}
	members := make(map[string]any)
	for t.source.PeekKind() != '}' {
		token, err := t.source.ReadToken()
		if err != nil {
			return nil, err
		}
		name := token.String()
		value, err := t.member(name)
		if err != nil {
			return nil, err
		}
		if _, repeated := members[name]; repeated && !t.full() {
			t.add(t.parent(), CodeDuplicateMember,
				fmt.Sprintf("%s stands more than once in the same object.", quoted(name)), &Params{Member: shortened(name, maxMember)})
		}
		members[name] = value
	}
	_, err := t.source.ReadToken()
	return members, err
}

// member reads the value of a member. Below a name that no pointer can hold, every place is told as the object of that name, so
// that the name is not written again for each.
func (t *tree) member(name string) (any, error) {
	if len(name) <= maxPointer {
		return t.value()
	}
	if t.hidden == 0 {
		t.hiddenAt = boundedPointer(string(t.source.StackPointer()))
	}
	t.hidden++
	defer func() { t.hidden-- }()
	return t.value()
}

// pointer is the place that was just read, or the innermost that can be told.
func (t *tree) pointer() string {
	if t.hidden > 0 {
		return t.hiddenAt
	}
	return string(t.source.StackPointer())
}

// parent is the object whose member was just read, likewise.
func (t *tree) parent() string {
	if t.hidden > 0 {
		return t.hiddenAt
	}
	return string(t.source.StackPointer().Parent())
}

func (t *tree) list() (any, error) {
	if err := t.checkDepth(); err != nil {
		return nil, err
	}
	entries := []any{}
	size := 0
	for t.source.PeekKind() != ']' {
		value, err := t.value()
		if err != nil {
			return nil, err
		}
		if t.keepAll || size < maxListKept {
			entries = append(entries, value)
		}
		size++
	}
	_, err := t.source.ReadToken()
	if err == nil && size > len(entries) && t.hidden == 0 {
		if t.listSizes == nil {
			t.listSizes = map[string]int{}
		}
		t.listSizes[string(t.source.StackPointer())] = size
	}
	return entries, err
}

func (t *tree) checkDepth() error {
	if t.source.StackDepth() <= MaxDepth {
		return nil
	}
	limit := float64(MaxDepth)
	t.add(t.pointer(), CodeTooDeep,
		fmt.Sprintf("Objects and lists stand in each other more than %d deep.", MaxDepth), &Params{Limit: &limit})
	return errStopped
}

func invalidUTF8At(body []byte) int {
	at := 0
	for at < len(body) {
		r, size := utf8.DecodeRune(body[at:])
		if r == utf8.RuneError && size == 1 {
			return at
		}
		at += size
	}
	return at
}

// syntaxDetail says where the JSON breaks and what stands there. The wording of the JSON library is for programrs
// and may change, so none of it is passed on.
func syntaxDetail(body []byte, syntax *jsontext.SyntacticError) string {
	at := min(int(syntax.ByteOffset), len(body))
	if errors.Is(syntax.Err, errTrailing) {
		return fmt.Sprintf("Something follows the end of the document: %s.", place(body, at))
	}
	if errors.Is(syntax.Err, io.ErrUnexpectedEOF) || at == len(body) {
		return "The JSON ends too early: a bracket, a brace or a quotation mark is not closed."
	}
	found, _ := utf8.DecodeRune(body[at:])
	hint := ""
	switch {
	case found == '\ufeff':
		hint = " Leave out the byte order mark."
	case found == '\'' || found == '“' || found == '”' || found == '‘' || found == '’':
		hint = ` Names and text stand in straight double quotation marks (").`
	case found == '/' || found == '#':
		hint = " JSON has no comments."
	case found == ',' && endsNext(body[at+1:]), (found == '}' || found == ']') && bytes.HasSuffix(bytes.TrimRight(body[:at], space), []byte(",")):
		hint = " The last entry of a list or an object has no comma after it."
	case bytes.HasPrefix(body[at:], []byte("NaN")), bytes.HasPrefix(body[at:], []byte("Infinity")):
		hint = " Only numbers that can be written in digits are allowed."
	}
	return fmt.Sprintf("The JSON breaks off: %s, found %q.%s", place(body, at), found, hint)
}

// space is what JSON allows between tokens.
const space = " \t\r\n"

// endsNext tells whether the next thing in the text closes a list or an object.
func endsNext(text []byte) bool {
	rest := bytes.TrimLeft(text, space)
	return len(rest) > 0 && (rest[0] == '}' || rest[0] == ']')
}

// place names a byte offset as people count: lines and characters from one.
func place(body []byte, offset int) string {
	before := body[:offset]
	line := bytes.Count(before, []byte("\n")) + 1
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
	return fmt.Sprintf("line %d, column %d", line, column)
}

// placesIn numbers the places that errors point to in the order in which they stand in body. A pointer that is not in
// body gets 0 and so sorts with the whole document.
func placesIn(body []byte, errors []Error) map[string]int {
	wanted := map[string]bool{} // the pointers and everything above them
	for _, e := range errors {
		for pointer := jsontext.Pointer(e.Pointer); pointer != "" && !wanted[string(pointer)]; pointer = pointer.Parent() {
			wanted[string(pointer)] = true
		}
	}
	places := make(map[string]int, len(wanted))
	source := jsontext.NewDecoder(bytes.NewBuffer(body), jsontext.AllowDuplicateNames(true))
	var walk func(pointer string) error
	walk = func(pointer string) error {
		if pointer != "" && !wanted[pointer] {
			return source.SkipValue()
		}
		if _, seen := places[pointer]; !seen && pointer != "" {
			places[pointer] = len(places) + 1
		}
		token, err := source.ReadToken()
		if err != nil {
			return err
		}
		kind := token.Kind()
		if kind != '{' && kind != '[' {
			return nil
		}
		for index := 0; ; index++ {
			next := source.PeekKind()
			if next == '}' || next == ']' {
				break
			}
			name := strconv.Itoa(index)
			if kind == '{' {
				if token, err = source.ReadToken(); err != nil {
					return err
				}
				name = token.String()
			}
			if err := walk(child(pointer, name)); err != nil {
				return err
			}
		}
		_, err = source.ReadToken()
		return err
	}
	// A body that breaks off has no places behind the break; those before it are numbered by then.
	_ = walk("")
	return places
}
