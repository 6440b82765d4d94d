// Package moment reads and writes the dates and times of documents (RFC 3339) and counts from one to another. It holds no
// clock: every moment was written by somebody. It knows one calendar, the Gregorian, and one zone, UTC; the offset that a
// time is written with is taken off in reading and cannot change an answer.
package moment

import (
	"fmt"
	"strconv"

	"jarwright/validate/measure"
)

// Moment is a point of time: milliseconds since the beginning of 1970 in UTC, leap seconds not counted.
type Moment int64

// Milliseconds of the longer units.
const (
	second Moment = 1000
	minute        = 60 * second
	hour          = 60 * minute
	day           = 24 * hour
)

// The ends of what can be written with a year of four digits, with a day to spare for offsets.
const (
	Earliest Moment = -62167305600 * second
	Latest   Moment = 253402387199 * second
)

// Parse reads an RFC 3339 date-time, such as 2026-08-15T14:05:00-06:00. It reports false when the text is none. Parts of
// a millisecond are dropped; a leap second counts as the second after it.
func Parse(text string) (Moment, bool) {
	if len(text) < len("2006-01-02T15:04:05Z") || (text[10] != 'T' && text[10] != 't') || text[13] != ':' || text[16] != ':' {
		return 0, false
	}
	date, ok := ParseDate(text[:10])
	hours, okHours := digits(text[11:13], 23)
	minutes, okMinutes := digits(text[14:16], 59)
	seconds, okSeconds := digits(text[17:19], 60)
	if !ok || !okHours || !okMinutes || !okSeconds {
		return 0, false
	}
	at := date.Start(0) + Moment(hours)*hour + Moment(minutes)*minute + Moment(seconds)*second
	rest := text[19:]
	if rest[0] == '.' {
		end := 1
		for end < len(rest) && rest[end] >= '0' && rest[end] <= '9' {
			end++
		}
		if end == 1 || end == len(rest) {
			return 0, false
		}
		thousandths, _ := strconv.Atoi((rest[1:end] + "00")[:3])
		at += Moment(thousandths)
		rest = rest[end:]
	}
	if rest == "Z" || rest == "z" {
		return at, true
	}
	offset, ok := ParseOffset(rest)
	return at - Moment(offset)*minute, ok
}

// ParseOffset reads an offset from UTC, such as -06:00, in minutes. It reports false when the text is none.
func ParseOffset(text string) (minutes int, ok bool) {
	if len(text) != len("+00:00") || (text[0] != '+' && text[0] != '-') || text[3] != ':' {
		return 0, false
	}
	hours, okHours := digits(text[1:3], 23)
	rest, okRest := digits(text[4:6], 59)
	minutes = hours*60 + rest
	if text[0] == '-' {
		minutes = -minutes
	}
	return minutes, okHours && okRest
}

// digits reads two figures that make no more than most.
func digits(text string, most int) (int, bool) {
	value := 0
	for _, figure := range []byte(text) {
		if figure < '0' || figure > '9' {
			return 0, false
		}
		value = value*10 + int(figure-'0')
	}
	return value, value <= most
}

// Add is the moment a length of time later.
func (m Moment) Add(d measure.Duration) Moment { return m + Moment(float64(d)*float64(second)) }

// Since is how long m is after an earlier moment.
func (m Moment) Since(earlier Moment) measure.Duration {
	return measure.Duration(float64(m-earlier) / float64(second))
}

// String writes the moment as an RFC 3339 date-time in UTC.
func (m Moment) String() string {
	date := m.Date(0)
	rest := m - date.Start(0)
	text := fmt.Sprintf("%sT%02d:%02d:%02d", date, rest/hour, rest%hour/minute, rest%minute/second)
	if thousandths := rest % second; thousandths != 0 {
		text += fmt.Sprintf(".%03d", thousandths)
	}
	return text + "Z"
}

// Date is the day on which a moment falls where clocks are so many minutes ahead of UTC.
func (m Moment) Date(offsetMinutes int) Date {
	local := m + Moment(offsetMinutes)*minute
	days := local / day
	if local < days*day {
		days--
	}
	return fromDays(int64(days))
}

// Clock writes the moment to the minute for people, by clocks that are so many minutes ahead of UTC.
func (m Moment) Clock(offsetMinutes int) string {
	text := (m + Moment(offsetMinutes)*minute).String()[:len("2006-01-02T15:04")]
	zone := "UTC"
	if offsetMinutes != 0 {
		sign, size := '+', offsetMinutes
		if size < 0 {
			sign, size = '-', -size
		}
		zone = fmt.Sprintf("UTC%c%02d:%02d", sign, size/60, size%60)
	}
	return text[:10] + " " + text[11:] + " " + zone
}

// Span is a stretch of time, both ends within it.
type Span struct{ From, To Moment }

// ParseSpan reads a date-time, which is a span of no length, or a full-date: all that is that date anywhere on Earth, from
// UTC+14 to UTC-12. It reports false when the text is neither.
func ParseSpan(text string) (Span, bool) {
	if date, ok := ParseDate(text); ok {
		return Span{From: date.Start(14 * 60), To: date.AddDays(1).Start(-12*60) - 1}, true
	}
	at, ok := Parse(text)
	return Span{From: at, To: at}, ok
}
