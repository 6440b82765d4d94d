package words

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// kind says what a token is.
type kind uint8

const (
	word   kind = iota
	number      // digits, a fraction or a decimal
	sign        // percent, degree: read as words
	stop        // parts clauses: , ; : . ! ? ( ) [ ] and a dash between blanks
	odd         // every other sign, and letters that are not Latin
)

// token is one word, number or sign of a text.
type token struct {
	kind       kind
	stem       string  // small letters, no accents, singular, American
	value      float64 // of a number
	start, end int     // bytes of the text
}

// mostTokens is how many words, numbers and signs of one text are looked at; a form has 200 letters.
const mostTokens = 400

// tokens splits a text. Hyphens between letters are spaces, a stroke between letters is "or", "don't" is "do not".
func tokens(text string, into []token) []token {
	for at := 0; at < len(text) && len(into) < mostTokens; {
		c, size := utf8.DecodeRuneInString(text[at:])
		switch {
		case c == ' ' || unicode.IsSpace(c):
			at += size
		case isDigit(text, at) || fractionOf(c) != "" || c == '.' && isDigit(text, at+1):
			into, at = numberAt(text, at, into)
		case unicode.Is(unicode.Latin, c):
			into, at = wordAt(text, at, into)
		default:
			into = signAt(text, at, size, c, into)
			at += size
		}
	}
	return into
}

// signAt reads one sign that is neither letter nor digit.
func signAt(text string, at, size int, c rune, into []token) []token {
	add := func(k kind, stem string) []token {
		return append(into, token{kind: k, stem: stem, start: at, end: at + size})
	}
	before := len(into) > 0 && into[len(into)-1].end == at
	letters := before && into[len(into)-1].kind == word
	behind, _ := utf8.DecodeRuneInString(text[at+size:])
	if known, ok := signs[c]; ok {
		return add(known.kind, known.stem)
	}
	ofNumber := len(into) > 0 && into[len(into)-1].kind == number
	switch c {
	case '-', '‐', '‑':
		return hyphen(text, at, size, before, into)
	case '–', '—':
		if ofNumber {
			return add(word, "to")
		}
		return add(stop, ",")
	case '"', '″', '”':
		if ofNumber {
			return add(word, "inch")
		}
		return add(odd, "quotation")
	case '\'', '’', '´', '`':
		if letters || unicode.IsLetter(behind) && at > 0 {
			return into
		}
		return add(odd, "quotation")
	}
	if c == '*' && !(letters && unicode.IsLetter(behind)) {
		return into // it points to a note
	}
	return add(odd, string(c))
}

// hyphen reads one: "to" between numbers, the end of a clause between blanks, and nothing between letters.
func hyphen(text string, at, size int, joined bool, into []token) []token {
	t := token{kind: word, stem: "to", start: at, end: at + size}
	behind, _ := utf8.DecodeRuneInString(text[at+size:])
	switch {
	case len(into) > 0 && into[len(into)-1].kind == number && isDigit(strings.TrimLeft(text[at+size:], " "), 0):
		return append(into, t)
	case !joined && !unicode.IsLetter(behind):
		t.kind, t.stem = stop, ","
		return append(into, t)
	}
	return into
}

// signs are the signs that mean the same wherever they stand.
var signs = map[rune]struct {
	kind kind
	stem string
}{
	'/': {word, "or"}, '&': {word, "and"}, '+': {word, "plus"}, '%': {sign, "percent"}, '°': {sign, "degree"}, 'º': {sign, "degree"},
	',': {stop, ","}, ';': {stop, ";"}, ':': {stop, ":"}, '.': {stop, "."}, '!': {stop, "!"}, '?': {stop, "?"},
	'(': {stop, "("}, ')': {stop, ")"}, '[': {stop, "["}, ']': {stop, "]"},
}

// contractions are words that hide a denial or a link.
var contractions = map[string][]string{
	"don't": {"do", "not"}, "dont": {"do", "not"}, "doesn't": {"do", "not"}, "isn't": {"is", "not"}, "aren't": {"are", "not"},
	"wasn't": {"was", "not"}, "weren't": {"were", "not"}, "didn't": {"do", "not"}, "won't": {"will", "not"}, "can't": {"cannot"},
	"w/": {"with"}, "w/o": {"without"}, "i'm": {"i"}, "it's": {"it", "is"},
}

// wordAt reads the word that begins at a place.
func wordAt(text string, at int, into []token) ([]token, int) {
	end := at
	for end < len(text) {
		c, size := utf8.DecodeRuneInString(text[end:])
		if !unicode.Is(unicode.Latin, c) && !unicode.Is(unicode.Mn, c) {
			break
		}
		end += size
	}
	for _, tail := range [...]string{"/o", "/"} {
		if end-at == 1 && (text[at] == 'w' || text[at] == 'W') && strings.HasPrefix(text[end:], tail) {
			end += len(tail)
			break
		}
	}
	if short := apostrophe(text, end); short > 0 {
		if split, known := contractions[strings.ToLower(text[at:end])+"'"+strings.ToLower(text[end+short:tailEnd(text, end+short)])]; known {
			end = tailEnd(text, end+short)
			for _, part := range split {
				into = append(into, token{kind: word, stem: part, start: at, end: end})
			}
			return into, end
		}
		if tail := tailEnd(text, end+short); tail == end+short+1 && text[end+short]|0x20 == 's' { // possessive
			return append(into, token{kind: word, stem: stem(fold(text[at:end])), start: at, end: tail}), tail
		}
	}
	lower := fold(text[at:end])
	if split, known := contractions[lower]; known {
		for _, part := range split {
			into = append(into, token{kind: word, stem: part, start: at, end: end})
		}
		return into, end
	}
	return append(into, token{kind: word, stem: stem(lower), start: at, end: end}), end
}

// apostrophe is the length of one at a place that letters follow, or 0.
func apostrophe(text string, at int) int {
	c, size := utf8.DecodeRuneInString(text[at:])
	if c != '\'' && c != '’' || !isLetter(text, at+size) {
		return 0
	}
	return size
}

// tailEnd is where the plain letters end that begin at a place.
func tailEnd(text string, at int) int {
	for isLetter(text, at) {
		at++
	}
	return at
}

func isLetter(text string, at int) bool {
	return at < len(text) && text[at]|0x20 >= 'a' && text[at]|0x20 <= 'z'
}

func isDigit(text string, at int) bool { return at < len(text) && text[at] >= '0' && text[at] <= '9' }

// accents spells Latin letters without their accents.
var accents = strings.NewReplacer(
	"á", "a", "à", "a", "â", "a", "ä", "a", "ã", "a", "å", "a", "ç", "c", "é", "e", "è", "e", "ê", "e", "ë", "e",
	"í", "i", "ì", "i", "î", "i", "ï", "i", "ñ", "n", "ó", "o", "ò", "o", "ô", "o", "ö", "o", "õ", "o", "ø", "o",
	"ú", "u", "ù", "u", "û", "u", "ü", "u",
)

// fold writes a word in small letters, without accents. Most words need no change and cost nothing.
func fold(text string) string {
	plain := true
	for i := range len(text) {
		if text[i] >= utf8.RuneSelf || text[i] >= 'A' && text[i] <= 'Z' {
			plain = false
			break
		}
	}
	if plain {
		return text
	}
	return accents.Replace(strings.ToLower(text))
}

// stems are words whose stem is not found by their ending, and words that keep an s because it changes what they are.
var stems = map[string]string{
	"greens": "greens", "tops": "tops", "halves": "halves", "quarters": "quarters", "spirits": "spirits", "thirds": "thirds", "crisps": "crisps",
	"leaves": "leaf", "loaves": "loaf", "knives": "knife", "grey": "gray", "chilli": "chili", "chillies": "chili", "chile": "chili",
	"chiles": "chili", "chilies": "chili", "chillis": "chili", "chilis": "chili", "centre": "center", "centres": "center", "fibre": "fiber",
	"litre": "liter", "litres": "liter", "gramme": "gram", "grammes": "gram", "moulds": "mold", "mould": "mold", "mouldy": "moldy",
	"series": "series", "asparagus": "asparagus", "hummus": "hummus", "citrus": "citrus", "molasses": "molasses", "swiss": "swiss",
	"inches": "inch", "in.": "inch", "cms": "cm", "mms": "mm", "this": "this", "its": "its", "as": "as", "is": "is", "us": "us", "plus": "plus",
	"less": "less", "was": "was", "has": "has", "does": "do", "did": "do", "ins": "inch", "always": "always", "colour": "color",
	"flavour": "flavor", "colours": "color", "flavours": "flavor", "coloured": "colored", "flavoured": "flavored", "labelled": "labeled",
	"sulphite": "sulfite", "yoghurt": "yogurt", "doughnut": "donut", "aluminium": "aluminum",
}

// stem brings the plural and the British spelling of a folded word to the singular American one. It only has to bring the forms of
// a word together.
func stem(lower string) string {
	if known, ok := stems[lower]; ok {
		return known
	}
	const shortest = 4 // letters of a plural
	n := len(lower)
	switch {
	case n < shortest:
		return lower
	case strings.HasSuffix(lower, "ised"):
		return lower[:n-3] + "zed"
	case strings.HasSuffix(lower, "ising") && n > 6:
		return lower[:n-4] + "zing"
	case strings.HasSuffix(lower, "ss"), strings.HasSuffix(lower, "us"):
		return lower
	case strings.HasSuffix(lower, "ies") && n > shortest:
		return lower[:n-3] + "y"
	case strings.HasSuffix(lower, "oes"), strings.HasSuffix(lower, "ches"), strings.HasSuffix(lower, "shes"), strings.HasSuffix(lower, "xes"),
		strings.HasSuffix(lower, "sses"):
		return lower[:n-2]
	case strings.HasSuffix(lower, "s"):
		return lower[:n-1]
	}
	return lower
}
