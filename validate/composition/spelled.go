package composition

import (
	"strings"
	"unicode/utf8"
)

// sizesInWords writes the numbers and units of sizes as readSizes reads them. Common practice, no source: they are English.
var sizesInWords = strings.NewReplacer(
	"half an inch", "1/2 inch", "half inch", "1/2 inch", "half-inch", "1/2 inch", "quarter of an inch", "1/4 inch", "three-quarter inch", "3/4 inch",
	"three-quarter-inch", "3/4 inch", "three quarter inch", "3/4 inch", "three quarters of an inch", "3/4 inch", "three-quarters of an inch", "3/4 inch",
	"quarter inch", "1/4 inch", "quarter-inch", "1/4 inch", "eighth inch", "1/8 inch", "eighth-inch", "1/8 inch", "eighth of an inch", "1/8 inch",
	"one inch", "1 inch", "one-inch", "1 inch", "two inch", "2 inch", "two-inch", "2 inch", "three inch", "3 inch", "three-inch", "3 inch",
	"four inch", "4 inch", "four-inch", "4 inch", "five inch", "5 inch", "five-inch", "5 inch", "six inch", "6 inch", "six-inch", "6 inch",
	"seven inch", "7 inch", "seven-inch", "7 inch", "eight inch", "8 inch", "eight-inch", "8 inch", "nine inch", "9 inch", "ten inch", "10 inch",
	"twelve inch", "12 inch", " an inch", " 1 inch", "inch-thick", "inch thick", "inch-long", "inch long", "inch-wide", "inch wide",
	"mm-thick", "mm thick", "cm-thick", "cm thick",
	"in-thick", "in thick", "inches-thick", "inches thick", "two cm", "2 cm", "three cm", "3 cm", "five cm", "5 cm", "four cm", "4 cm",
	"centimeters", "cm", "centimetres", "cm", "centimeter", "cm", "centimetre", "cm", "millimeters", "mm", "millimetres", "mm",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅓", " 1/3", "⅔", " 2/3", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"″", " in", "”", " in", "''", " in",
)

// spelled writes the sizes of a text, in small letters, with digits and units: "two inches", `2"`, "2½ in".
func spelled(lower string) string {
	if at := strings.IndexByte(lower, '"'); at > 0 {
		lower = inchSigns(lower)
	}
	for i := range len(lower) {
		if lower[i] >= utf8.RuneSelf {
			return sizesInWords.Replace(lower)
		}
	}
	if strings.Contains(lower, "inch") || strings.Contains(lower, "meter") || strings.Contains(lower, "metre") || strings.Contains(lower, "''") ||
		strings.Contains(lower, "-thick") || strings.Contains(lower, " cm") {
		return sizesInWords.Replace(lower)
	}
	return lower
}

// inchSigns writes the sign for inches behind a number as the unit.
func inchSigns(lower string) string {
	var out strings.Builder
	for i := range len(lower) {
		if lower[i] == '"' && i > 0 && (isDigit(lower, i-1) || lower[i-1] >= utf8.RuneSelf) {
			out.WriteString(" in")
			if i+1 < len(lower) && lower[i+1] != ' ' {
				out.WriteByte(' ')
			}
			continue
		}
		out.WriteByte(lower[i])
	}
	return out.String()
}
