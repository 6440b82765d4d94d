package picture

import (
	"fmt"
	"math"
	"strings"
)

// Series is one temperature against time.
type Series struct {
	Name     string
	Minutes  []float64
	Celsius  []float64
	Estimate bool // the one to draw heaviest
}

// Heating draws the temperature of the coldest spot against the time, with the temperature that counts. It needs at least
// one series of two points.
func Heating(series []Series, targetC float64, targetWords string) Figure {
	longest, least, most := 0.0, targetC, targetC
	for _, s := range series {
		for i := range s.Minutes {
			longest = math.Max(longest, s.Minutes[i])
			least, most = math.Min(least, s.Celsius[i]), math.Max(most, s.Celsius[i])
		}
	}
	xStep := 5.0
	for longest/xStep > 7 {
		xStep *= 2
	}
	const yStep = 20
	a := axes{0, ceilTo(longest, xStep), floorTo(least, yStep), ceilTo(most+1, yStep)}
	var names []string
	for _, s := range series {
		last := len(s.Celsius) - 1
		names = append(names, fmt.Sprintf("%s: from %.0f to at most %.0f °C, %.0f °C at the end", words(s.Name), s.Celsius[0], highest(s.Celsius), s.Celsius[last]))
	}
	var d drawing
	d.open("picture-heat", "Temperature of the coldest spot against time",
		fmt.Sprintf("Over %.0f minutes. %s. %s is at %.1f °C.", longest, strings.Join(names, ". "), targetWords, targetC), width, height)
	a.draw(&d, xStep, yStep, "minutes", "°C")
	d.line("limit", a.x(a.x0), a.y(targetC), a.x(a.x1), a.y(targetC))
	d.label("limit-words", a.x(a.x1), a.y(targetC)-5, "end", fmt.Sprintf("%s, %.0f °C", targetWords, targetC))
	for i, s := range series {
		var points []Point
		for j := range s.Minutes {
			points = append(points, Point{s.Minutes[j], s.Celsius[j]})
		}
		class := fmt.Sprintf("curve curve-%d", i%4)
		a.curve(&d, class, s.Name, points)
		peak := peakOf(s)
		d.label("curve-words", a.x(s.Minutes[peak]), a.y(s.Celsius[peak])-6-float64(i%2)*12, "middle", words(s.Name))
	}
	return Figure{
		ID: "picture-heat", SVG: d.close(),
		Caption: "Two ways of heating that bracket a real jar: stirred by its own liquid, and through its middle alone. The published minutes decide; this only shows why they are what they are.",
	}
}

func words(name string) string { return strings.ReplaceAll(name, "_", " ") }

func highest(values []float64) float64 {
	most := values[0]
	for _, v := range values {
		most = math.Max(most, v)
	}
	return most
}

// peakOf is where a label stands: the hottest place, but away from the edges.
func peakOf(s Series) int {
	best := 0
	for i := range s.Celsius {
		if s.Celsius[i] > s.Celsius[best] {
			best = i
		}
	}
	return min(max(best, len(s.Celsius)/4), len(s.Celsius)*3/4)
}
