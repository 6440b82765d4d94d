package plan

import (
	"fmt"
	"strconv"
)

// clock is a local time as written: minutes since 0000-03-01T00:00 of the proleptic Gregorian calendar, and the offset,
// which is carried along. Nothing here knows what time it is.
type clock struct {
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
	const head = len("2026-08-15T09:00")
	if len(text) < head {
		return clock{}, false
	}
	number := func(from, to int) int {
		value, err := strconv.Atoi(text[from:to])
		if err != nil {
			return -1
		}
		return value
	}
	year, month, day, hour, minute := number(0, 4), number(5, 7), number(8, 10), number(11, 13), number(14, 16)
	c := clock{minutes: dayNumber(year, month, day)*minutesPerDay + hour*minutesPerHour + minute, zone: text[head:]}
	if len(c.zone) >= 3 && c.zone[0] == ':' {
		c.zone = c.zone[3:]
	}
	y, m, d := c.date()
	return c, hour >= 0 && minute >= 0 && y == year && m == month && d == day
}

// dayNumber counts days from 1 March of year 0, so that the leap day comes last in its year.
func dayNumber(year, month, day int) int {
	year, month = year-(14-month)/12+1, (month+9)%12
	year--
	return 365*year + floorDiv(year, 4) - floorDiv(year, 100) + floorDiv(year, 400) + (153*month+2)/5 + day - 1
}

func floorDiv(a, b int) int {
	if a < 0 {
		return -((-a + b - 1) / b)
	}
	return a / b
}

// date is the inverse of dayNumber.
func (c clock) date() (year, month, day int) {
	days := floorDiv(c.minutes, minutesPerDay)
	const cycle = 146097 // days in 400 years
	era := floorDiv(days, cycle)
	of := days - era*cycle
	yearOf := (of - of/1460 + of/36524 - of/146096) / 365
	dayOf := of - (365*yearOf + yearOf/4 - yearOf/100)
	m := (5*dayOf + 2) / 153
	day = dayOf - (153*m+2)/5 + 1
	month = (m+2)%12 + 1
	year = era*400 + yearOf
	if month <= 2 {
		year++
	}
	return year, month, day
}

func (c clock) add(minutes float64) clock { return clock{c.minutes + int(minutes), c.zone} }

// addMonths goes to the same day so many months on, or to the last day of a shorter month.
func (c clock) addMonths(months int) clock {
	year, month, day := c.date()
	total := year*12 + month - 1 + months
	year, month = total/12, total%12+1
	for last := day; last > 0; last-- {
		next := clock{minutes: dayNumber(year, month, last) * minutesPerDay, zone: c.zone}
		if y, m, _ := next.date(); y == year && m == month {
			return next
		}
	}
	return c
}

// day is the date alone.
func (c clock) day() string {
	year, month, day := c.date()
	return fmt.Sprintf("%04d-%02d-%02d", year, month, day)
}

func (c clock) String() string {
	of := c.minutes - floorDiv(c.minutes, minutesPerDay)*minutesPerDay
	return fmt.Sprintf("%sT%02d:%02d%s", c.day(), of/minutesPerHour, of%minutesPerHour, c.zone)
}
