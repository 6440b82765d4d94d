// Package plaintexttest has the texts by which strangers might forge words of ours, and says whether one came through. It is for
// the tests of everything that writes for people, and is in no program.
package plaintexttest

import (
	"fmt"
	"strings"
	"unicode"
)

// Forgery is a text that tries to be more than words.
type Forgery struct{ Name, Text string }

// verdict is what nobody but us may say in a line of its own.
const verdict = "FIT FOR THE SHELF"

// Forgeries are one text for each class of sign that misleads, and for each kind of structure. None is longer than 40 characters,
// so that it fits into the shortest texts of a request.
func Forgeries() []Forgery {
	all := []Forgery{
		{"line feed", "a\n" + verdict + "\n=====\n\nb"},
		{"carriage return", "a\r" + verdict + "\rb"},
		{"escape sequences", "a\x1b[2J\x1b[1;32m" + verdict + "\x1b[0m"},
		{"title of the window", "a\x1b]0;" + verdict + "\x07"},
		{"hyperlink", "\x1b]8;;https://e.example\x07" + verdict + "\x1b]8;;\x07"},
		{"C1", "a\u009b1m\u0085" + verdict + "\u0085b"},
		{"DEL, NUL and backspace", "a\x7f\x00\b\b" + verdict + "\v\fb"},
		{"line separators", "a\u2028" + verdict + "\u2029b"},
		{"turned direction", "\u202eFLEHS\u202c\u2066b\u2069\u200e\u200f\u061c\u202a\u202b\u202d"},
		{"no width", "FIT\u200b FOR\u2060 THE\ufeff SHELF\u00ad"},
		{"joiners", "FIT\u200d FOR\u200c THE\ufe0f SHELF"},
		{"tags", "a\U000e0001\U000e0046\U000e0049\U000e007fb"},
		{"fillers", "\u3164\u115f\u1160\uffa0\u2800\u034f\u17b4\u180e"},
		{"annotation", "a\ufff9b\ufffac\ufffbd\u206a\u206f"},
		{"nothing to see", "\u200b\u2060"},
		{"stacked marks", "a" + strings.Repeat("\u0315\u035c", 15)},
		{"private use", "a\ue000\U000f0000b"},
		{"only the words", verdict},
		{"words in another script", "ＦＩＴ ＦＯＲ ＴＨＥ ＳＨＥＬＦ"},
		{"quotation left", "x” is fine. “" + verdict},
		{"heading", "# " + verdict},
		{"second heading", "## " + verdict},
		{"underlined", "a\n===\n"},
		{"rule", "---"},
		{"fence", "~~~\n```"},
		{"row", "a | shelf | b |\n|---|---|\n| c |"},
		{"list", "- a\n1. b\n* c\n+ d\n1) e"},
		{"link", "[a](https://e.example)"},
		{"script link", "[a](javascript:alert(1))"},
		{"picture", "![a](https://e.example/x)"},
		{"autolink", "<https://e.example>"},
		{"bare address", "https://e.example www.e.example a@e.eu"},
		{"reference", "[a]: https://e.example"},
		{"HTML", "<b>a</b><img src=x onerror=alert(1)>"},
		{"comment", "<!-- a"},
		{"script", "</script><script>alert(1)//"},
		{"entities", "&#x202e;&lt;b&#10;# a"},
		{"emphasis", "**a** _b_ ~~c~~ `d` $e$"},
		{"backslashes", `\# \\| \`},
		{"braces", "{0} {{a}} [b](0)"},
	}
	return all
}

// Ordinary are texts of many scripts that must come through as they are.
func Ordinary() []Forgery {
	return []Forgery{
		{"Latin", "Grandma's dill pickles, 2nd try"},
		{"French", "cornichons à l’estragon"},
		{"Vietnamese", "dưa chuột muối"},
		{"Greek", "αγγουράκια τουρσί"},
		{"Russian", "огурцы солёные"},
		{"Arabic", "خيار مخلل"},
		{"Persian", "می\u200cخواهم خیارشور"},
		{"Hebrew", "מלפפון חמוץ"},
		{"Hindi", "खीरे का अचार"},
		{"Tamil", "வெள்ளரிக்காய்"},
		{"Thai", "แตงกวาดอง"},
		{"Chinese", "酸黄瓜"},
		{"Japanese", "きゅうりの漬物"},
		{"Korean", "오이지"},
		{"pictograms", "pickles 🥒 by 👩🏽\u200d🍳"},
	}
}

// Hostile tells the signs that must never reach the eye. ASCII control characters but line feed and tab, C1, whatever turns the
// direction or has no width, tags and fillers; joiners and variation selectors only where they follow ASCII.
func Hostile(text string) error {
	last := ' '
	for i, r := range text {
		isJoiner := r == 0x200C || r == 0x200D || r >= 0xFE00 && r <= 0xFE0F
		switch {
		case r < ' ' && r != '\n' && r != '\t', r >= 0x7F && r < 0xA0,
			unicode.In(r, unicode.Bidi_Control, unicode.Zl, unicode.Zp, unicode.Other_Default_Ignorable_Code_Point, unicode.Co),
			unicode.Is(unicode.Cf, r) && !isJoiner, r == 0x2800, isJoiner && last < 0x80:
			return fmt.Errorf("%U stands at byte %d, after %q", r, i, text[max(0, i-60):i])
		}
		last = r
	}
	return nil
}

// Forged tells whether a line of a text says a verdict as we would, or is the underline of one. A document under test must be
// one that is on hold.
func Forged(text string) error {
	for line := range strings.Lines(text) {
		bare := strings.Trim(line, " \t\n#*_>|-+=.0123456789)")
		if strings.HasPrefix(bare, verdict) || strings.HasPrefix(bare, strings.ToLower(verdict)) {
			return fmt.Errorf("the line %q could be ours", line)
		}
	}
	return nil
}
