package amount

import (
	"html"
	"strings"
	"unicode"
	"unicode/utf8"
)

// vulgarFractions are the single characters for fractions (Unicode Character Database, Number Forms and Latin-1).
var vulgarFractions = map[rune]string{
	'½': "1/2", '⅓': "1/3", '⅔': "2/3", '¼': "1/4", '¾': "3/4", '⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5",
	'⅙': "1/6", '⅚': "5/6", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8", '⅐': "1/7", '⅑': "1/9", '⅒': "1/10",
}

// plainRunes are the characters that are written as another one.
var plainRunes = map[rune]rune{
	'⁄': '/', '∕': '/',
	'‐': '-', '‑': '-', '‒': '-', '–': '-', '—': '-', '―': '-', '−': '-', '﹣': '-', '－': '-',
	'×': 'x', '✕': 'x', '✖': 'x',
	'″': '"', '“': '"', '”': '"', '„': '"', '＂': '"',
	'′': '\'', '’': '\'', '‘': '\'', '＇': '\'',
	// Bullets and marks of footnotes.
	'•': ' ', '·': ' ', '▢': ' ', '☐': ' ', '□': ' ', '▪': ' ', '●': ' ', '◦': ' ', '‣': ' ', '✓': ' ', '✔': ' ', '*': ' ', '†': ' ',
	'‡': ' ',
	// What has no width.
	'\u00ad': noRune, '\u200b': noRune, '\u200c': noRune, '\u200d': noRune, '\u2060': noRune, '\ufeff': noRune, utf8.RuneError: noRune,
}

// noRune stands for a character that is left out.
const noRune = -1

// PlainText turns a line as it stands in a document into the characters that the reader knows: entities and tags undone,
// fractions as 1/2, every dash as "-", every space as one space, no sign for a bullet before it. Letters stay as they are.
func PlainText(text string) string {
	text = undoEntities(text)
	if isPlain(text) {
		return text
	}
	text = withoutTags(text)
	var b strings.Builder
	b.Grow(len(text) + 8)
	last := ' ' // so that no space leads
	for at, r := range text {
		if r >= utf8.RuneSelf {
			if fraction, ok := vulgarFractions[r]; ok {
				if unicode.IsDigit(last) {
					b.WriteByte(' ')
				}
				b.WriteString(fraction)
				last = '2'
				continue
			}
		}
		r = plainRune(r)
		bullet := r == '-' && b.Len() == 0 && strings.HasPrefix(text[at:], "- ")
		if r == noRune || r == ' ' && last == ' ' || bullet {
			continue
		}
		b.WriteRune(r)
		last = r
	}
	return strings.TrimRight(b.String(), " ")
}

// plainRune is the character that the reader knows in place of one that stands in a document.
func plainRune(r rune) rune {
	if r > ' ' && r <= '~' && r != '*' {
		return r
	}
	if plain, ok := plainRunes[r]; ok {
		return plain
	}
	const fullWidth = '！' - '!' // from a full-width form to its ASCII character
	switch {
	case unicode.IsSpace(r) || unicode.IsControl(r):
		return ' '
	case r >= '！' && r <= '～':
		return r - fullWidth
	}
	return r
}

// undoEntities undoes entities, twice where a program has escaped what was escaped already ("&amp;frac12;").
func undoEntities(text string) string {
	for range 2 {
		if !strings.Contains(text, "&") {
			return text
		}
		text = html.UnescapeString(text)
	}
	return text
}

// isPlain reports whether nothing in the text needs to be changed.
func isPlain(text string) bool {
	last := byte(' ')
	for i := range len(text) {
		c := text[i]
		if c < ' ' || c > '~' || c == '*' || c == '<' || c == ' ' && last == ' ' || c == '-' && i == 0 {
			return false
		}
		last = c
	}
	return last != ' '
}

// withoutTags takes out what stands between angle brackets where a letter or a slash follows the first of them.
func withoutTags(text string) string {
	last := strings.LastIndexByte(text, '>') // behind it no tag ends, and none is looked for
	if last < 0 {
		return text
	}
	var b strings.Builder
	from := 0
	for {
		open := strings.IndexByte(text[from:last+1], '<')
		if open < 0 {
			b.WriteString(text[from:])
			return b.String()
		}
		open += from
		if !beginsTag(text[open+1]) {
			b.WriteString(text[from : open+1])
			from = open + 1
			continue
		}
		b.WriteString(text[from:open])
		b.WriteByte(' ')
		from = open + strings.IndexByte(text[open:], '>') + 1
	}
}

// beginsTag tells a character that makes a tag of the angle bracket before it.
func beginsTag(c byte) bool {
	letter := c | 0x20
	return c == '/' || c == '!' || letter >= 'a' && letter <= 'z'
}
