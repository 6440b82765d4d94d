package picture

import (
	"fmt"
	"math"
)

// SharePoint is the pH of the finished jar at one share of vinegar in the liquid.
type SharePoint struct {
	Percent float64 // vinegar, of vinegar and water together
	PH      Band
}

// PH draws the pH against the share of vinegar in the liquid, with the limit and the band of the recipe that was sent (here).
// It needs at least two points.
func PH(points []SharePoint, here SharePoint, limit float64) Figure {
	var middle, low, high []Point
	least, most := math.Min(here.PH.Low, limit), math.Max(here.PH.High, limit)
	for _, p := range points {
		middle = append(middle, Point{p.Percent, p.PH.Value})
		low = append(low, Point{p.Percent, p.PH.Low})
		high = append(high, Point{p.Percent, p.PH.High})
		least, most = math.Min(least, p.PH.Low), math.Max(most, p.PH.High)
	}
	const xStep, yStep = 20, 0.5
	a := axes{0, 100, floorTo(least-0.1, yStep), ceilTo(most+0.1, yStep)}
	title := "pH against the share of vinegar"
	const form = "With %.0f %% vinegar in its liquid this recipe comes to a pH of about %.1f, between %.1f and %.1f. The limit is %.1f. " +
		"More vinegar lowers the pH."
	description := fmt.Sprintf(form, here.Percent, here.PH.Value, here.PH.Low, here.PH.High, limit)
	var d drawing
	d.open("picture-ph", title, description, width, height)
	a.draw(&d, xStep, yStep, "vinegar in the liquid, %", "pH")
	a.between(&d, "bounds", low, high)
	a.curve(&d, "curve", "pH", middle)
	d.line("limit", a.x(0), a.y(limit), a.x(100), a.y(limit))
	d.label("limit-words", a.x(100), a.y(limit)-5, "end", fmt.Sprintf("limit %.1f", limit))
	x := a.x(here.Percent)
	fmt.Fprintf(&d, `<g class="here" data-x="%s" data-y="%s" data-low="%s" data-high="%s">`,
		number(here.Percent), number(here.PH.Value), number(here.PH.Low), number(here.PH.High))
	d.line("here-bar", x, a.y(here.PH.Low), x, a.y(here.PH.High))
	d.line("here-bar", x-5, a.y(here.PH.Low), x+5, a.y(here.PH.Low))
	d.line("here-bar", x-5, a.y(here.PH.High), x+5, a.y(here.PH.High))
	y := a.y(here.PH.Value)
	fmt.Fprintf(&d, `<path class="here-mark" d="M%s %s l6 6 l-6 6 l-6 -6 z"/>`, number(x), number(y-6))
	anchor, words := "start", x+9
	if here.Percent > 60 {
		anchor, words = "end", x-9
	}
	d.label("here-words", words, a.y(here.PH.High)-4, anchor, "this recipe")
	d.WriteString("</g>")
	return Figure{
		ID: "picture-ph", SVG: d.close(),
		Caption: "The liquid keeps its volume; only the share of vinegar in it changes. The shaded band and the bar are what is not known of the food. " +
			"A computed pH never makes a jar fit for the shelf.",
	}
}
