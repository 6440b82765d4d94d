package storage

import (
	"math"
	"time"

	"jarwright/validate/facts"
)

// Dates are times at which a day begins, in the zone of the labels.

// Packed is the day on which the batch was packed; it reports false when that is not recorded.
func Packed(f *facts.Facts) (time.Time, bool) {
	packed := f.Times.Packed
	if !packed.Known {
		return time.Time{}, false
	}
	return dayOf(packed.Time), true
}

// dayOf is the time at which the day of a time begins, in its zone.
func dayOf(at time.Time) time.Time {
	year, month, day := at.Date()
	return time.Date(year, month, day, 0, 0, 0, 0, at.Location())
}

// AddMonths is the same day so many months later, or the last day of that month where it has no such day.
func AddMonths(day time.Time, months int) time.Time {
	later := day.AddDate(0, months, 0)
	if later.Day() != day.Day() {
		later = later.AddDate(0, 0, -later.Day())
	}
	return later
}

// DaysOfWeek is how many days a week has.
const DaysOfWeek = 7

// Cured is between which days the jars have stood as long as the tested recipe prints; it reports false when it prints
// none, or when the day of packing is not recorded.
func Cured(f *facts.Facts) (from, to time.Time, ok bool) {
	packed, known := Packed(f)
	weeks, printed := CureWeeks(f)
	if !known || !printed {
		return time.Time{}, time.Time{}, false
	}
	return packed.AddDate(0, 0, int(weeks[0]*DaysOfWeek)), packed.AddDate(0, 0, int(weeks[1]*DaysOfWeek)), true
}

// CureWeeks is how long, in weeks from and to, the tested recipe has jars stand before they are opened; it reports false when
// it prints none.
func CureWeeks(f *facts.Facts) ([2]float64, bool) {
	if f.Match.Recipe == nil {
		return [2]float64{}, false
	}
	return f.Match.Recipe.CureWeeks, f.Match.Recipe.CureWeeks[0] > 0
}

// BestBefore is the day until which jars from the shelf are best used; it reports false when the day of packing is not
// recorded.
func BestBefore(f *facts.Facts) (time.Time, bool) {
	packed, known := Packed(f)
	if !known {
		return time.Time{}, false
	}
	return AddMonths(packed, int(f.LimitAsPrinted("best-before").Value)), true
}

// RefrigeratorUntil is the last day of a recipe that is made for the refrigerator; it reports false when it prints no
// such time, or when the day of packing is not recorded.
func RefrigeratorUntil(f *facts.Facts) (time.Time, bool) {
	packed, known := Packed(f)
	if !known || f.ForShelf() || f.Match.Recipe == nil || f.Match.Recipe.Refrigerator[1] == 0 {
		return time.Time{}, false
	}
	return AddMonths(packed, int(math.Floor(f.Match.Recipe.Refrigerator[1]))), true
}

// RefrigeratedUntilID is the id of a rule; package canningday makes its remarks.
const RefrigeratedUntilID = "keeping.refrigerated-until"

// ListeriaColdID is the id of a rule; package canningday makes its remarks.
const ListeriaColdID = "keeping.listeria-cold"
