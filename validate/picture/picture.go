// Package picture draws the figures of a report as SVG: with a title and a description for those who cannot see them, in
// classes instead of colors so that a page decides about light and dark, and with the scale of each plot in data
// attributes, so that its numbers can be read back. It computes nothing and judges nothing.
package picture

import (
	"fmt"
	"html"
	"math"
	"strings"

	"jarwright/validate/measure"
)

// Figure is one picture with the words under it.
type Figure struct {
	ID      string // of the element, unique on the page
	SVG     string
	Caption string
}

// Point is one point of a curve.
type Point struct{ X, Y float64 }

// Band is a figure with its bounds: Low is at most Value, and Value at most High.
type Band struct{ Low, Value, High float64 }

// Size of a plot in user units: narrow enough to be read on a telephone.
const (
	width, height            = 360, 250
	left, right, top, bottom = 46, 14, 16, 44
)

// drawing is an SVG in the making.
type drawing struct {
	strings.Builder
}

// text is a piece of text in the SVG; everything that comes from outside goes through it.
func text(s string) string { return html.EscapeString(s) }

func (d *drawing) open(id, title, description string, w, h int) {
	fmt.Fprintf(d, `<svg xmlns="http://www.w3.org/2000/svg" class="picture" role="img" viewBox="0 0 %d %d" aria-labelledby="%s-title %s-desc">`, w, h, id, id)
	fmt.Fprintf(d, `<title id="%s-title">%s</title><desc id="%s-desc">%s</desc>`, id, text(title), id, text(description))
}

func (d *drawing) close() string {
	d.WriteString("</svg>")
	return d.String()
}

func (d *drawing) label(class string, x, y float64, anchor, words string) {
	fmt.Fprintf(d, `<text class="%s" x="%s" y="%s" text-anchor="%s">%s</text>`, class, number(x), number(y), anchor, text(words))
}

func (d *drawing) line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(d, `<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s"/>`, class, number(x1), number(y1), number(x2), number(y2))
}

// number writes a coordinate with three decimals at most.
func number(v float64) string { return measure.FormatNumber(measure.Round(v, 3)) }

// axes is the scale of a plot.
type axes struct {
	x0, x1, y0, y1 float64
}

func (a axes) x(v float64) float64 { return left + (v-a.x0)/(a.x1-a.x0)*(width-left-right) }

func (a axes) y(v float64) float64 {
	return height - bottom - (v-a.y0)/(a.y1-a.y0)*(height-top-bottom)
}

// draw draws the axes with a tick at each step. The data attributes are the values at the corners of the plot.
func (a axes) draw(d *drawing, xStep, yStep float64, xWords, yWords string) {
	fmt.Fprintf(d, `<g class="plot" data-x0="%s" data-x1="%s" data-y0="%s" data-y1="%s" data-left="%d" data-right="%d" data-top="%d" data-bottom="%d">`,
		number(a.x0), number(a.x1), number(a.y0), number(a.y1), left, width-right, top, height-bottom)
	for v := a.y0; v <= a.y1+yStep/1e6; v += yStep {
		d.line("grid", left, a.y(v), width-right, a.y(v))
		d.label("tick", left-6, a.y(v)+4, "end", measure.FormatNumber(measure.Round(v, 2)))
	}
	for v := ceilTo(a.x0, xStep); v <= a.x1+xStep/1e6; v += xStep {
		d.line("axis", a.x(v), height-bottom, a.x(v), height-bottom+4)
		d.label("tick", a.x(v), height-bottom+17, "middle", measure.FormatNumber(measure.Round(v, 2)))
	}
	d.line("axis", left, height-bottom, width-right, height-bottom)
	d.line("axis", left, top, left, height-bottom)
	d.label("axis-words", (left+width-right)/2, height-6, "middle", xWords)
	d.label("axis-words", left, top-5, "start", yWords)
	d.WriteString("</g>")
}

// curve draws points in their order.
func (a axes) curve(d *drawing, class, name string, points []Point) {
	var list []string
	for _, p := range points {
		list = append(list, number(a.x(p.X))+","+number(a.y(p.Y)))
	}
	fmt.Fprintf(d, `<polyline class="%s" data-name="%s" points="%s"/>`, class, text(name), strings.Join(list, " "))
}

// between fills the space between two curves of the same x.
func (a axes) between(d *drawing, class string, low, high []Point) {
	var list []string
	for _, p := range low {
		list = append(list, number(a.x(p.X))+","+number(a.y(p.Y)))
	}
	for i := len(high) - 1; i >= 0; i-- {
		list = append(list, number(a.x(high[i].X))+","+number(a.y(high[i].Y)))
	}
	fmt.Fprintf(d, `<polygon class="%s" points="%s"/>`, class, strings.Join(list, " "))
}

// floorTo and ceilTo widen a range to whole steps.
func floorTo(v, step float64) float64 { return math.Floor(v/step) * step }
func ceilTo(v, step float64) float64  { return math.Ceil(v/step) * step }
