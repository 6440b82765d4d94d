package document

import (
	"regexp"
	"strings"
	"time"
)

// Time is a moment that may not be known: then it is the zero time.
type Time struct {
	time.Time
	Known bool
}

// KnownTime is a moment that is known.
func KnownTime(at time.Time) Time { return Time{at, true} }

// Package time alone is less strict: it takes a comma for the point of a fraction, one figure for an hour, and more than
// 23 hours for an offset.
var dateTime = regexp.MustCompile(`^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]([01]\d|2[0-3]):[0-5]\d)$`)

// ParseTime reads an RFC 3339 date-time, such as 2026-08-15T14:05:00-06:00, and gives it in UTC. It is not known when the
// text is none. Parts of a millisecond are dropped; a leap second counts as the second after it.
func ParseTime(text string) Time {
	const beforeSeconds = len("2006-01-02T15:04:")
	text = strings.ToUpper(text)
	if !dateTime.MatchString(text) {
		return Time{}
	}
	leap := time.Duration(0)
	if strings.HasPrefix(text[beforeSeconds:], "60") {
		text, leap = text[:beforeSeconds]+"59"+text[beforeSeconds+2:], time.Second
	}
	at, err := time.ParseInLocation(time.RFC3339, text, time.UTC)
	if err != nil {
		return Time{}
	}
	return KnownTime(at.UTC().Truncate(time.Millisecond).Add(leap))
}

// ParseZone reads an offset from UTC such as -06:00. What is none, or empty, is UTC.
func ParseZone(offset string) *time.Location {
	at, err := time.ParseInLocation("-07:00", offset, time.UTC)
	if err != nil {
		return time.UTC
	}
	return at.Location()
}

// Period is a stretch of time, both ends within it.
type Period struct{ From, To time.Time }

// A day is on from UTC+14, where it begins first, until it ends in UTC-12: 50 hours.
const (
	firstZone = 14 * time.Hour
	lastZone  = 12 * time.Hour
)

// ParsePeriod reads a date-time, which is a period of no length, or a date: all that is that date anywhere on Earth, to the
// millisecond. It reports false when the text is neither.
func ParsePeriod(text string) (Period, bool) {
	if day, err := time.ParseInLocation(time.DateOnly, text, time.UTC); err == nil {
		return Period{From: day.Add(-firstZone), To: day.AddDate(0, 0, 1).Add(lastZone - time.Millisecond)}, true
	}
	at := ParseTime(text)
	return Period{From: at.Time, To: at.Time}, at.Known
}
