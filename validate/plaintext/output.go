package plaintext

import (
	"encoding/binary"
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// LinkPattern is what IsLink goes by, as a regular expression of RE2 and of ECMAScript alike. The request schema has the same.
const LinkPattern = `^[Hh][Tt][Tt][Pp][Ss]?://[A-Za-z0-9][A-Za-z0-9._-]*(:[0-9]{1,5})?` +
	`(/([!$&-;=@-Z_a-z~]|%[0-9A-Fa-f]{2})*)?([?]([!$&-;=?-Z_a-z~]|%[0-9A-Fa-f]{2})*)?(#([!$&-;=?-Z_a-z~]|%[0-9A-Fa-f]{2})*)?$`

// Markdown gives a text in one line, with the signs of Text, such that no renderer of Markdown takes any of it for more than text: no
// heading, list, table, link, picture, HTML, code or formula, in CommonMark or with the extensions of GitHub. Where a renderer
// would make a link of a bare address, spaces are put into it.
func Markdown(text string) string {
	text = cleaned(text, false)
	text = markdownSigns.Replace(bareAddresses.Replace(text))
	if lower := strings.ToLower(text); strings.Contains(lower, "www.") {
		text = partAfter(text, lower, "www.")
	}
	return atLineStart(text)
}

// bareAddresses parts what the autolink extension of GitHub looks for.
var bareAddresses = strings.NewReplacer("://", ": //", "@", " @ ", "//", "/ /")

// markdownSigns escapes the signs that mean something anywhere in a line.
var markdownSigns = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", "&lt;", ">", "&gt;", "&", "&amp;",
	"#", `\#`, "|", `\|`, "~", `\~`, "$", `\$`)

// partAfter puts a space after each place where lower, which is text in small letters, has some letters of ASCII.
func partAfter(text, lower, letters string) string {
	if len(lower) != len(text) { // a letter whose small form is longer
		return strings.ReplaceAll(text, ".", ". ")
	}
	var b strings.Builder
	for {
		at := strings.Index(lower, letters)
		if at < 0 {
			b.WriteString(text)
			return b.String()
		}
		b.WriteString(text[:at+len(letters)] + " ")
		text, lower = text[at+len(letters):], lower[at+len(letters):]
	}
}

// atLineStart escapes what begins a list, a rule or an underline where it stands first in a line.
func atLineStart(text string) string {
	digits := 0
	for digits < len(text) && text[digits] >= '0' && text[digits] <= '9' {
		digits++
	}
	switch {
	case text == "" || digits == len(text):
	case digits > 0 && (text[digits] == '.' || text[digits] == ')'):
		return text[:digits] + `\` + text[digits:]
	case strings.IndexByte("-+=", text[0]) >= 0:
		return `\` + text
	}
	return text
}

// JSON is a writer for JSON in which every character that Text would change or leave out is written by its number (\u202e). The
// values are exact, and a terminal or an editor that shows the bytes as they are is not misled. Each call of Write
// must hand over whole characters.
func JSON(w io.Writer) io.Writer { return jsonWriter{w} }

type jsonWriter struct{ target io.Writer }

func (j jsonWriter) Write(p []byte) (int, error) {
	if _, err := j.target.Write(EscapedJSON(p)); err != nil {
		return 0, err //nolint:wrapcheck // the writer is only a lens before another
	}
	return len(p), nil
}

// EscapedJSON gives JSON text as the writer of JSON writes it. What has nothing to escape is returned as it is.
func EscapedJSON(text []byte) []byte {
	var escaped []byte
	from := 0
	for at := doubtful(text, 0); at < len(text); {
		r, size := utf8.DecodeRune(text[at:])
		if !isPlain(r) {
			escaped = append(escaped, text[from:at]...)
			if high, low := utf16.EncodeRune(r); high != utf8.RuneError {
				escaped = fmt.Appendf(escaped, `\u%04x\u%04x`, high, low)
			} else {
				escaped = fmt.Appendf(escaped, `\u%04x`, r)
			}
			from = at + size
		}
		at = doubtful(text, at+size)
	}
	if from == 0 {
		return text
	}
	return append(escaped, text[from:]...)
}

// isPlain tells whether Text leaves a sign as it is, wherever it stands.
func isPlain(r rune) bool {
	if isUsual(r) || r < 0x7F {
		return true
	}
	return !isNoCharacter(r) && !isInvisible(r) && !unicode.In(r, unicode.Cc, unicode.Co, unicode.Zl, unicode.Zp, unicode.Variation_Selector)
}

// doubtful gives the place of the first byte from a place on that is DEL or above ASCII, or the length. It looks at eight
// bytes at a time, because nearly all of an answer is ASCII.
func doubtful(text []byte, from int) int {
	const ones, highs = 0x0101010101010101, 0x8080808080808080
	for ; from+8 <= len(text); from += 8 {
		word := binary.LittleEndian.Uint64(text[from:])
		if (word|(word+ones))&highs != 0 { // of DEL, and nothing else of ASCII, one more is above
			break
		}
	}
	for ; from < len(text); from++ {
		if text[from] >= 0x7F {
			break
		}
	}
	return from
}

// IsLink tells whether an address may become a link: absolute, of http or https, in the characters that RFC 3986 has, with a
// host that has a name or four numbers, and without the name of a user, which would make one host look like another.
func IsLink(address string) bool { return link.MatchString(address) }

var link = regexp.MustCompile(LinkPattern)
