package plan

import (
	"fmt"
	"math"
	"strconv"

	"jarwright/validate/moment"
)

// clock is a local time as written: a day, the minutes since it began, and the offset, which is carried along. Nothing here
// knows what time it is.
type clock struct {
	date    moment.Date
	minutes int
	zone    string
}

const (
	minutesPerHour = 60
	minutesPerDay  = 24 * minutesPerHour
)

// readClock reads YYYY-MM-DDThh:mm with optional seconds, which are dropped, and an optional offset. It reports false
// for a day that does not exist.
func readClock(text string) (clock, bool) {
	const head, day = len("2026-08-15T09:00"), len("2026-08-15")
	if len(text) < head {
		return clock{}, false
	}
	date, known := moment.ParseDate(text[:day])
	hour, errHour := strconv.ParseUint(text[day+1:day+3], 10, 8)
	minute, errMinute := strconv.ParseUint(text[day+4:head], 10, 8)
	c := clock{date: date, zone: text[head:]}
	if len(c.zone) >= 3 && c.zone[0] == ':' {
		c.zone = c.zone[3:]
	}
	return c.add(float64(hour)*minutesPerHour + float64(minute)), known && errHour == nil && errMinute == nil
}

func (c clock) add(minutes float64) clock {
	total := c.minutes + int(minutes)
	days := int(math.Floor(float64(total) / minutesPerDay))
	return clock{c.date.AddDays(days), total - days*minutesPerDay, c.zone}
}

// addMonths goes to the same day so many months on, or to the last day of a shorter month.
func (c clock) addMonths(months int) clock {
	return clock{date: c.date.AddMonths(months), zone: c.zone}
}

// since is the minutes from an earlier time with the same offset.
func (c clock) since(earlier clock) float64 {
	days := c.date.Start(0).Since(earlier.date.Start(0))
	return float64(days)/60 + float64(c.minutes-earlier.minutes)
}

// day is the date alone.
func (c clock) day() string { return c.date.String() }

func (c clock) String() string {
	return fmt.Sprintf("%sT%02d:%02d%s", c.date, c.minutes/minutesPerHour, c.minutes%minutesPerHour, c.zone)
}
