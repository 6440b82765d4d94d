package heating

// Curve is the temperature of the coldest spot between two bounds, in °C, at minutes that rise. Minute 0 is when the bath
// has come to its temperature and the timer starts; the jars go in before it.
type Curve struct {
	Minutes []float64
	LowC    []float64
	HighC   []float64
}

// Reach is when the coldest spot passes a temperature, in minutes of the Curve. Possible says that the high bound passes
// it, at EarliestMinute; Certain that the low bound does too, at LatestMinute. A minute that does not apply is 0.
type Reach struct {
	Possible       bool
	EarliestMinute float64
	Certain        bool
	LatestMinute   float64
}

// Reach is when the coldest spot first passes a temperature in °C. Between samples the curve is taken as straight.
func (c Curve) Reach(temperatureC float64) Reach {
	var r Reach
	r.EarliestMinute, r.Possible = firstAt(c.Minutes, c.HighC, temperatureC)
	r.LatestMinute, r.Certain = firstAt(c.Minutes, c.LowC, temperatureC)
	return r
}

func firstAt(minutes, temperaturesC []float64, targetC float64) (float64, bool) {
	for i, temperatureC := range temperaturesC {
		if temperatureC < targetC {
			continue
		}
		if i == 0 {
			return minutes[0], true
		}
		part := (targetC - temperaturesC[i-1]) / (temperatureC - temperaturesC[i-1])
		return minutes[i-1] + part*(minutes[i]-minutes[i-1]), true
	}
	return 0, false
}

// Accumulated is F at the coldest spot, in minutes at the reference temperature of the target, between bounds.
func (c Curve) Accumulated(t Target) (low, high float64) {
	return accumulated(c.Minutes, c.LowC, t), accumulated(c.Minutes, c.HighC, t)
}

// MinutesAbove is how long the coldest spot is at or above a temperature in °C, between bounds.
func (c Curve) MinutesAbove(temperatureC float64) (low, high float64) {
	return minutesAbove(c.Minutes, c.LowC, temperatureC), minutesAbove(c.Minutes, c.HighC, temperatureC)
}

func minutesAbove(minutes, temperaturesC []float64, targetC float64) float64 {
	total := 0.0
	for i := 1; i < len(minutes); i++ {
		cooler, hotter := min(temperaturesC[i-1], temperaturesC[i]), max(temperaturesC[i-1], temperaturesC[i])
		part := 0.0
		switch {
		case cooler >= targetC:
			part = 1
		case hotter > targetC:
			part = (hotter - targetC) / (hotter - cooler)
		}
		total += part * (minutes[i] - minutes[i-1])
	}
	return total
}
