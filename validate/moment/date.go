package moment

import "fmt"

// Date is a day of the Gregorian calendar.
type Date struct{ Year, Month, Day int }

// ParseDate reads an RFC 3339 full-date, such as 2026-08-15. It reports false when the text is none, or no such day is.
func ParseDate(text string) (Date, bool) {
	if len(text) != len("2006-01-02") || text[4] != '-' || text[7] != '-' {
		return Date{}, false
	}
	year, okYear := digits(text[:4], 9999)
	month, okMonth := digits(text[5:7], 12)
	of, okDay := digits(text[8:], 31)
	date := Date{year, month, of}
	return date, okYear && okMonth && okDay && month > 0 && of > 0 && of <= daysIn(year, month)
}

func daysIn(year, month int) int {
	switch month {
	case 4, 6, 9, 11:
		return 30
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	}
	return 31
}

// String writes the date as an RFC 3339 full-date.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// Start is the moment at which the day begins where clocks are so many minutes ahead of UTC.
func (d Date) Start(offsetMinutes int) Moment {
	return Moment(d.days())*day - Moment(offsetMinutes)*minute
}

// AddDays is the date so many days later.
func (d Date) AddDays(count int) Date { return fromDays(d.days() + int64(count)) }

// AddMonths is the date so many months later, or the last day of that month where it has no such day.
func (d Date) AddMonths(count int) Date {
	months := d.Year*12 + d.Month - 1 + count
	later := Date{Year: months / 12, Month: months%12 + 1}
	later.Day = min(d.Day, daysIn(later.Year, later.Month))
	return later
}

// The calendar repeats every 400 years. Counting from the first of March puts the leap day last, so that the days before
// a month are 153 for each five months.
const (
	daysOf400Years  = 146097
	daysOf100Years  = 36524
	daysOf4Years    = 1461
	daysBefore1970  = 719468 // from 0000-03-01
	daysOf5Months   = 153
	monthsFromMarch = 2
)

// days counts the days from the beginning of 1970.
func (d Date) days() int64 {
	year, month := int64(d.Year), int64(d.Month-1-monthsFromMarch)
	if month < 0 {
		year, month = year-1, month+12
	}
	era := year / 400
	if year < 0 {
		era = (year - 399) / 400
	}
	within := year - era*400
	return era*daysOf400Years + within*365 + within/4 - within/100 + (daysOf5Months*month+2)/5 + int64(d.Day) - 1 - daysBefore1970
}

func fromDays(days int64) Date {
	days += daysBefore1970
	era := days / daysOf400Years
	if days < 0 {
		era = (days - daysOf400Years + 1) / daysOf400Years
	}
	of := days - era*daysOf400Years
	year := (of - of/(daysOf4Years-1) + of/daysOf100Years - of/(daysOf400Years-1)) / 365
	of -= 365*year + year/4 - year/100
	month := (5*of + 2) / daysOf5Months
	date := Date{Year: int(year + era*400), Month: int(month) + 1 + monthsFromMarch, Day: int(of-(daysOf5Months*month+2)/5) + 1}
	if date.Month > 12 {
		date.Year, date.Month = date.Year+1, date.Month-12
	}
	return date
}
