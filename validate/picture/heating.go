package picture

import (
	"fmt"
	"math"
	"strings"
)

// Series is one temperature against time: as many temperatures as times.
type Series struct {
	Name    string
	Minutes []float64 // from the full boil
	Celsius []float64
}

// Heating draws the temperature of the coldest spot against the time, with the temperature targetC (°C) from which heat counts
// and the words for it. It needs at least one series of two points.
func Heating(series []Series, targetC float64, targetWords string) Figure {
	first, longest, least, most := 0.0, 0.0, targetC, targetC
	for _, s := range series {
		for i := range s.Minutes {
			first, longest = math.Min(first, s.Minutes[i]), math.Max(longest, s.Minutes[i])
			least, most = math.Min(least, s.Celsius[i]), math.Max(most, s.Celsius[i])
		}
	}
	xStep := 5.0
	for (longest-first)/xStep > 7 {
		xStep *= 2
	}
	const yStep = 20
	const margin = 5
	a := axes{floorTo(first, margin), ceilTo(longest, margin), floorTo(least, yStep), ceilTo(most, yStep)}
	var names []string
	for _, s := range series {
		last := len(s.Celsius) - 1
		names = append(names, fmt.Sprintf("%s: from %.0f to at most %.0f °C, %.0f °C at the end",
			words(s.Name), s.Celsius[0], s.Celsius[hottest(s)], s.Celsius[last]))
	}
	var d drawing
	d.open("picture-heat", "Temperature of the coldest spot against time",
		fmt.Sprintf("Over %.0f minutes. %s. %s is at %.1f °C.", longest-first, strings.Join(names, ". "), targetWords, targetC), width, height)
	a.draw(&d, xStep, yStep, "minutes from the start of the time", "°C")
	if len(series) == 2 && len(series[0].Minutes) == len(series[1].Minutes) {
		a.between(&d, "bounds", points(series[0]), points(series[1]))
	}
	d.line("limit", a.x(a.x0), a.y(targetC), a.x(a.x1), a.y(targetC))
	d.label("limit-words", a.x(a.x1), a.y(targetC)-5, "end", targetWords)
	for i, s := range series {
		class := fmt.Sprintf("curve curve-%d", i%4)
		a.curve(&d, class, s.Name, points(s))
		at := hottest(s)
		away := 16.0 // the first, the lower bound, is named below its line
		if i > 0 {
			away = -7
		}
		d.label("curve-words", a.x(s.Minutes[at]), a.y(s.Celsius[at])+away, "middle", words(s.Name))
	}
	return Figure{
		ID: "picture-heat", SVG: d.close(),
		Caption: "The two lines bracket what the coldest spot of a jar can be: stirred by its own liquid, or heated through its middle alone. " +
			"Time counts from the full boil. The published minutes decide; this only explains them.",
	}
}

func words(name string) string { return strings.ReplaceAll(name, "_", " ") }

func points(s Series) []Point {
	list := make([]Point, len(s.Minutes))
	for i := range s.Minutes {
		list[i] = Point{s.Minutes[i], s.Celsius[i]}
	}
	return list
}

// hottest is the point of a series with the highest temperature, at which its label stands.
func hottest(s Series) int {
	best := 0
	for i := range s.Celsius {
		if s.Celsius[i] > s.Celsius[best] {
			best = i
		}
	}
	return best
}
