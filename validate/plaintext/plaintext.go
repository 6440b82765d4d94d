// Package plaintext is the one sanitizer of everything that people read: what a stranger wrote, in a document or as the name of
// a file, stays words and can be nothing else, neither a command to a terminal, nor a turn of the writing direction, nor a mark
// that nobody sees, nor a line, heading, link or table of ours. It refuses to judge words, and leaves those of every script
// readable.
package plaintext

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Text gives a text with its lines and tabs, and without any sign that is not one to look at:
//
//   - control characters (C0, C1 and DEL, so every beginning of an escape sequence), bytes that are no UTF-8, and code points
//     of private use or that are no characters are shown as U+FFFD, so that one sees that something stood there;
//   - the signs by which lines or pages end, other than the line feed, become a space;
//   - signs that nobody sees are left out: those that turn the writing direction, of no width, tags, fillers and the like, which
//     is the Unicode category Cf (but for the few that are visible, such as the Arabic number sign) and the property
//     Default_Ignorable_Code_Point;
//   - joiners and variation selectors stay where a script or a pictogram needs them: one at a time, after a letter of a script
//     that joins or after a symbol. Without them Persian, Hindi or a family of pictograms would read wrongly, and there they
//     can forge nothing, since each stands by a visible sign that is no Latin letter;
//   - of marks that are stacked on one letter the first six stay, which is more than any script has; a hundred would run
//     over the lines above and below.
//
// A text that has none of that is returned as it is.
func Text(text string) string { return cleaned(text, true) }

// Line gives a text as Text does, in one line: each run of white space is one space, and none stands at either end. It is for
// the words of strangers before they go into a sentence of ours: quotation marks such as ours become straight ones, so that
// words which we put in quotation marks cannot leave them. Where there is nothing to see it gives U+FFFD, which is to be seen.
func Line(text string) string {
	clean := cleaned(text, false)
	switch {
	case strings.ContainsAny(clean, "“”"):
		return ownQuotes.Replace(clean)
	case clean == "" && text != "":
		return string(replaced)
	}
	return clean
}

var ownQuotes = strings.NewReplacer("“", `"`, "”", `"`)

// Name gives the words of a stranger as Line does, for a place where they stand alone or in a row without quotation marks. They
// get some where they look like a heading or could be taken for a verdict of ours.
func Name(text string) string {
	line := Line(text)
	if SoundsLikeUs(line) {
		return "“" + line + "”"
	}
	return line
}

// Width is how many columns of a terminal a text takes: two for signs of East Asia and pictograms, none for marks and joiners.
func Width(text string) int {
	columns := 0
	for _, r := range text {
		switch {
		case r < 0x300:
			columns++
		case unicode.In(r, unicode.M, unicode.Cf):
		case isWide(r):
			columns += 2
		default:
			columns++
		}
	}
	return columns
}

func isWide(r rune) bool {
	return r >= 0x1100 && (r >= 0x2E80 && r < 0x3040 || r >= 0xFF01 && r <= 0xFF60 || r >= 0x1F300 ||
		unicode.In(r, unicode.Han, unicode.Hangul, unicode.Hiragana, unicode.Katakana, unicode.Bopomofo, unicode.Yi))
}

// verdicts are words that a report says of jars.
var verdicts = []string{
	"fit for", "safe for", "safe to", "the shelf", "for the refrigerator", "in the refrigerator", "on hold", "reprocess", "process again", "thrown away",
	"throw away",
}

// SoundsLikeUs tells whether a line has two words in capital letters, as our headings have, or words of a verdict.
func SoundsLikeUs(line string) bool {
	const shouted = 2
	capitals := 0
	for word := range strings.FieldsSeq(line) {
		if utf8.RuneCountInString(word) > 1 && strings.IndexFunc(word, unicode.IsLower) < 0 && strings.IndexFunc(word, unicode.IsUpper) >= 0 {
			capitals++
		}
	}
	if capitals >= shouted {
		return true
	}
	lower := strings.ToLower(line)
	for _, words := range verdicts {
		if strings.Contains(lower, words) {
			return true
		}
	}
	return false
}

// mostMarks is how many marks may stand on one letter.
const mostMarks = 6

// cleaner copies a text sign by sign.
type cleaner struct {
	lines  bool // line feeds and tabs stay
	base   rune // the last sign that is no mark
	marks  int  // marks since then
	joined bool // a joiner came since then
	varied bool // a variation selector came since then
	spaced bool // not lines: the last sign is a space, or there is none yet
}

func (c *cleaner) begin(base rune) { c.base, c.marks, c.joined, c.varied = base, 0, false, false }

// cleaned is Text, and with lines false Line but for the quotation marks.
func cleaned(text string, lines bool) string {
	c := cleaner{lines: lines, spaced: true}
	if c.keepsAll(text) {
		return text
	}
	c = cleaner{lines: lines, spaced: true}
	var b strings.Builder
	b.Grow(len(text))
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		if kept := c.sign(r, size, text[i+size:]); kept != none {
			b.WriteRune(kept)
		}
		i += size
	}
	if lines {
		return b.String()
	}
	return strings.TrimSuffix(b.String(), " ")
}

// keepsAll tells whether a text is already as it has to be.
func (c *cleaner) keepsAll(text string) bool {
	for i := 0; i < len(text); {
		if plain := plainASCII(text[i:], c.lines); plain > 0 {
			i += plain
			c.begin(rune(text[i-1]))
			c.spaced = false
			continue
		}
		r, size := utf8.DecodeRuneInString(text[i:])
		if c.sign(r, size, text[i+size:]) != r || r == utf8.RuneError && size == 1 {
			return false
		}
		i += size
	}
	return c.lines || text == "" || !c.spaced
}

// plainASCII counts the bytes at the beginning of a text that are seen as they are; without lines only up to a space.
func plainASCII(text string, lines bool) int {
	for i := range len(text) {
		if b := text[i]; b <= ' ' && (!lines || b != ' ' && b != '\n' && b != '\t') || b >= 0x7F {
			return i
		}
	}
	return len(text)
}

const (
	none     = -1             // the sign is left out
	replaced = utf8.RuneError // what is seen where a sign must not stand

	zeroWidthNonJoiner = 0x200C
	zeroWidthJoiner    = 0x200D
)

// sign gives what one sign becomes, or none. rest is what follows it.
func (c *cleaner) sign(r rune, size int, rest string) rune {
	switch {
	case r > ' ' && r < 0x7F:
		c.spaced = false
		c.begin(r)
		return r
	case unicode.IsSpace(r):
		return c.space(r)
	case isUsual(r):
	case unicode.In(r, unicode.Cc, unicode.Co), r == utf8.RuneError && size == 1, isNoCharacter(r):
		r = replaced
	case r == zeroWidthJoiner, r == zeroWidthNonJoiner:
		if c.joined || !c.joins(r, rest) {
			return none
		}
		c.joined = true
		return r
	case unicode.Is(unicode.Variation_Selector, r):
		if c.joined || c.varied || !c.varies(r, rest) {
			return none
		}
		c.varied = true
		return r
	case isInvisible(r):
		return none
	case unicode.Is(unicode.M, r):
		c.spaced = false
		if c.marks++; c.marks > mostMarks {
			return none
		}
		return r
	}
	c.spaced = false
	c.begin(r)
	return r
}

// space gives what white space becomes.
func (c *cleaner) space(r rune) rune {
	c.begin(' ')
	switch {
	case c.lines && (r == '\n' || r == '\t' || unicode.Is(unicode.Zs, r)):
		return r
	case c.lines:
		return ' '
	case c.spaced:
		return none
	}
	c.spaced = true
	return ' '
}

// isUsual tells quickly the letters and signs that are in nearly every text of ours; they have ink.
func isUsual(r rune) bool {
	return r >= 0xA1 && r < 0x300 && r != 0xAD || r >= 0x2010 && r < 0x2028 || r >= 0x2030 && r < 0x205F
}

// isNoCharacter tells the code points that Unicode promises never to give to a character.
func isNoCharacter(r rune) bool { return r&0xFFFE == 0xFFFE || r >= 0xFDD0 && r <= 0xFDEF }

// blanks are characters without ink that are in no table of such: a braille pattern without dots, a musical sign for no note.
var blanks = &unicode.RangeTable{
	R16: []unicode.Range16{{Lo: 0x2800, Hi: 0x2800, Stride: 1}},
	R32: []unicode.Range32{{Lo: 0x1D159, Hi: 0x1D159, Stride: 1}},
}

// isInvisible tells the signs that nobody sees and no script needs, joiners and variation selectors aside.
func isInvisible(r rune) bool {
	if unicode.Is(unicode.Cf, r) {
		return !unicode.Is(unicode.Prepended_Concatenation_Mark, r)
	}
	return unicode.In(r, unicode.Other_Default_Ignorable_Code_Point, blanks)
}

// joining are the scripts in which letters stand joined or in clusters, which joiners part or bind.
var joining = []*unicode.RangeTable{
	unicode.Arabic, unicode.Syriac, unicode.Nko, unicode.Mandaic, unicode.Devanagari, unicode.Bengali, unicode.Gurmukhi, unicode.Gujarati,
	unicode.Oriya, unicode.Tamil, unicode.Telugu, unicode.Kannada, unicode.Malayalam, unicode.Sinhala, unicode.Khmer, unicode.Myanmar, unicode.Tibetan,
}

// joins tells whether a joiner has something to do between the last sign and the rest.
func (c *cleaner) joins(r rune, rest string) bool {
	if unicode.In(c.base, joining...) {
		return true
	}
	next, _ := utf8.DecodeRuneInString(rest)
	return r == zeroWidthJoiner && isPictogram(c.base) && isPictogram(next)
}

// varies tells whether a variation selector has something to choose for the last sign.
func (c *cleaner) varies(r rune, rest string) bool {
	const asText, asPicture, keyCap = 0xFE0E, 0xFE0F, '\u20E3'
	if r != asText && r != asPicture {
		return unicode.In(c.base, unicode.Han, unicode.Mongolian, unicode.Myanmar)
	}
	next, _ := utf8.DecodeRuneInString(rest)
	return isPictogram(c.base) || c.base < 0x7F && next == keyCap
}

// isPictogram tells the symbols that are drawn as pictures, and the colors of skin after them.
func isPictogram(r rune) bool {
	return r > 0x7F && (unicode.In(r, unicode.So, unicode.Sm) || r >= 0x1F3FB && r <= 0x1F3FF || r == '‼' || r == '⁉')
}
