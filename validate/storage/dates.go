package storage

import (
	"math"

	"jarwright/validate/facts"
	"jarwright/validate/moment"
)

// Packed is the day on which the batch was packed, in the zone of its labels; it reports false when that is not recorded.
func Packed(f *facts.Facts) (moment.Date, bool) {
	if f.Request.Batch == nil {
		return moment.Date{}, false
	}
	at, ok := moment.Parse(f.Request.Batch.PackedAt)
	return at.Date(Offset(f)), ok
}

// Offset is the zone of the labels, in minutes ahead of UTC.
func Offset(f *facts.Facts) int {
	minutes, _ := moment.ParseOffset(f.Request.Batch.UTCOffset)
	return minutes
}

// DaysOfWeek is how many days a week has.
const DaysOfWeek = 7

// Cured is between which days the jars have stood as long as the tested recipe prints; it reports false when it prints
// none, or when the day of packing is not recorded.
func Cured(f *facts.Facts) (from, to moment.Date, ok bool) {
	packed, known := Packed(f)
	weeks, printed := CureWeeks(f)
	if !known || !printed {
		return moment.Date{}, moment.Date{}, false
	}
	return packed.AddDays(int(weeks[0] * DaysOfWeek)), packed.AddDays(int(weeks[1] * DaysOfWeek)), true
}

// CureWeeks is how long, in weeks from and to, the tested recipe has jars stand before they are opened; it reports false when it
// prints none.
func CureWeeks(f *facts.Facts) ([2]float64, bool) {
	if f.Match.Recipe == nil {
		return [2]float64{}, false
	}
	return f.Match.Recipe.CureWeeks, f.Match.Recipe.CureWeeks[0] > 0
}

// BestBefore is the day until which jars from the shelf are best used; it reports false when the day of packing is not
// recorded.
func BestBefore(f *facts.Facts) (moment.Date, bool) {
	packed, ok := Packed(f)
	return packed.AddMonths(int(f.LimitAsPrinted("best-before").Value)), ok
}

// RefrigeratorUntil is the last day of a recipe that is made for the refrigerator; it reports false when it prints no
// such time, or when the day of packing is not recorded.
func RefrigeratorUntil(f *facts.Facts) (moment.Date, bool) {
	packed, ok := Packed(f)
	if !ok || f.ForShelf() || f.Match.Recipe == nil || f.Match.Recipe.Refrigerator[1] == 0 {
		return moment.Date{}, false
	}
	return packed.AddMonths(int(math.Floor(f.Match.Recipe.Refrigerator[1]))), true
}

// RefrigeratedUntilID is the id of a rule; package canningday makes its remarks.
const RefrigeratedUntilID = "keeping.refrigerated-until"

// ListeriaColdID is the id of a rule; package canningday makes its remarks.
const ListeriaColdID = "keeping.listeria-cold"
