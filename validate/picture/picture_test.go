package picture

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"jarwright/validate/headspace"
)

// element is one element of an SVG.
type element struct {
	name       string
	attributes map[string]string
	text       string
}

// parse reads an SVG as XML, so that it is well formed too.
func parse(t *testing.T, svg string) []element {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(svg))
	var all []element
	var open []int
	for {
		token, err := decoder.Token()
		if err != nil {
			if err.Error() != "EOF" {
				t.Fatalf("%v in %s", err, svg)
			}
			return all
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := element{name: token.Name.Local, attributes: map[string]string{}}
			for _, a := range token.Attr {
				e.attributes[a.Name.Local] = a.Value
			}
			open = append(open, len(all))
			all = append(all, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				all[open[len(open)-1]].text += string(token)
			}
		}
	}
}

func with(t *testing.T, all []element, name, attribute, value string) element {
	t.Helper()
	for _, e := range all {
		if e.name == name && (attribute == "" || e.attributes[attribute] == value) {
			return e
		}
	}
	t.Fatalf("no %s with %s=%q", name, attribute, value)
	return element{}
}

func float(t *testing.T, text string) float64 {
	t.Helper()
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return value
}

// readBack turns the points of a curve into values by the scale that the plot states.
func readBack(t *testing.T, all []element, curve element) []Point {
	t.Helper()
	plot := with(t, all, "g", "class", "plot").attributes
	f := func(name string) float64 { return float(t, plot[name]) }
	var points []Point
	for _, pair := range strings.Fields(curve.attributes["points"]) {
		x, y, _ := strings.Cut(pair, ",")
		points = append(points, Point{
			f("data-x0") + (float(t, x)-f("data-left"))/(f("data-right")-f("data-left"))*(f("data-x1")-f("data-x0")),
			f("data-y0") + (f("data-bottom")-float(t, y))/(f("data-bottom")-f("data-top"))*(f("data-y1")-f("data-y0")),
		})
	}
	return points
}

func near(t *testing.T, what string, got, want, slack float64) {
	t.Helper()
	if math.Abs(got-want) > slack {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// described holds every picture to the words that stand in for it.
func described(t *testing.T, all []element, words ...string) {
	t.Helper()
	svg := all[0]
	if svg.name != "svg" || svg.attributes["role"] != "img" {
		t.Error("not an image by its role")
	}
	for _, id := range strings.Fields(svg.attributes["aria-labelledby"]) {
		found := false
		for _, e := range all {
			found = found || e.attributes["id"] == id && strings.TrimSpace(e.text) != ""
		}
		if !found {
			t.Errorf("nothing with words has the id %s", id)
		}
	}
	description := with(t, all, "desc", "", "").text
	for _, word := range words {
		if !strings.Contains(description, word) {
			t.Errorf("the description lacks %q: %s", word, description)
		}
	}
}

func TestPHReadsBack(t *testing.T) {
	var points []SharePoint
	for i := range 11 {
		ph := 5.2 - 0.15*float64(i)
		points = append(points, SharePoint{float64(i) * 10, Band{ph - 0.4, ph, ph + 0.5}})
	}
	here := SharePoint{43, Band{3.4, 3.8, 4.3}}
	figure := PH(points, here, 4.6)
	all := parse(t, figure.SVG)
	described(t, all, "43 %", "3.8", "3.4", "4.3", "4.6")
	got := readBack(t, all, with(t, all, "polyline", "data-name", "pH"))
	if len(got) != len(points) {
		t.Fatalf("%d points, want %d", len(got), len(points))
	}
	for i := range points {
		near(t, "share", got[i].X, points[i].Percent, 0.01)
		near(t, "pH", got[i].Y, points[i].PH.Value, 0.001)
	}
	band := readBack(t, all, with(t, all, "polygon", "class", "bounds"))
	near(t, "lower bound", band[0].Y, points[0].PH.Low, 0.001)
	near(t, "upper bound", band[len(band)-1].Y, points[0].PH.High, 0.001)
	line := with(t, all, "line", "class", "limit")
	line.attributes["points"] = line.attributes["x1"] + "," + line.attributes["y1"]
	near(t, "limit", readBack(t, all, line)[0].Y, 4.6, 0.001)
	mark := with(t, all, "g", "class", "here").attributes
	if mark["data-x"] != "43" || mark["data-y"] != "3.8" || mark["data-low"] != "3.4" || mark["data-high"] != "4.3" {
		t.Errorf("this recipe: %v", mark)
	}
}

func TestHeatingReadsBack(t *testing.T) {
	low := Series{Name: "at least", Minutes: []float64{-20, 0, 10, 20, 60}, Celsius: []float64{50, 50, 52, 60, 30}}
	high := Series{Name: "at most", Minutes: []float64{-20, 0, 10, 20, 60}, Celsius: []float64{60, 95, 99, 98, 90}}
	figure := Heating([]Series{low, high}, 71.1, "160 °F")
	all := parse(t, figure.SVG)
	described(t, all, "at least", "at most", "71.1", "99")
	for _, series := range []Series{low, high} {
		got := readBack(t, all, with(t, all, "polyline", "data-name", series.Name))
		for i := range series.Minutes {
			near(t, "minutes", got[i].X, series.Minutes[i], 0.01)
			near(t, "temperature", got[i].Y, series.Celsius[i], 0.01)
		}
	}
	line := with(t, all, "line", "class", "limit")
	line.attributes["points"] = line.attributes["x1"] + "," + line.attributes["y1"]
	near(t, "target", readBack(t, all, line)[0].Y, 71.1, 0.01)
}

// TestJarIsToScale measures the drawing with a ruler: the layers have the heights, and with them the volumes, of the jar.
func TestJarIsToScale(t *testing.T) {
	jar := headspace.Jar{CapacityML: 473.176473, MouthMM: 60.3, InteriorHeightMM: 121} // a pint; the shape is from memory
	figure, ok := Jar(Filling{Name: "pint", Jar: jar, HeadspaceMM: 12.7, FoodML: 230})
	if !ok {
		t.Fatal("no picture")
	}
	all := parse(t, figure.SVG)
	described(t, all, "473 mL", "1/2 in", "230 mL")
	inside := with(t, all, "g", "clip-path", "url(#picture-jar-inside)").attributes
	mm := float(t, inside["data-mm-per-unit"])
	brine, food := with(t, all, "rect", "class", "brine").attributes, with(t, all, "rect", "class", "food-layer").attributes
	near(t, "depth below the headspace", float(t, brine["height"])*mm, jar.InteriorHeightMM-12.7, 0.1)
	// A body as wide as its capacity asks for, under a neck of 19 mm: the height of 230 mL at its bottom.
	area := (jar.CapacityML*1000 - math.Pi/4*60.3*60.3*headspace.NeckMM()) / (121 - headspace.NeckMM())
	near(t, "height of the food", float(t, food["height"])*mm, 230*1000/area, 0.2)
	if inside["data-headspace-mm"] != "12.7" || inside["data-food-ml"] != "230" {
		t.Errorf("%v", inside)
	}
	if _, ok := Jar(Filling{Jar: headspace.Jar{CapacityML: 500}, HeadspaceMM: 10}); ok {
		t.Error("a jar without a mouth was drawn")
	}
}

// TestNamesStayText puts markup where a name goes.
func TestNamesStayText(t *testing.T) {
	jar := headspace.Jar{CapacityML: 473.176473, MouthMM: 60.3, InteriorHeightMM: 121}
	figure, _ := Jar(Filling{Name: `<script>alert("x")</script>`, Jar: jar, HeadspaceMM: 12.7})
	heat := Heating([]Series{{Name: `"/><script>`, Minutes: []float64{0, 1}, Celsius: []float64{20, 30}}}, 71, "<b>")
	for _, svg := range []string{figure.SVG, heat.SVG} {
		for _, e := range parse(t, svg) {
			if e.name == "script" || e.name == "b" {
				t.Errorf("markup got through: %s", svg)
			}
		}
	}
	if !strings.Contains(fmt.Sprint(parse(t, figure.SVG)), `<script>alert("x")</script>`) {
		t.Error("the name is not shown as it was written")
	}
}
