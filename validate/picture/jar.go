package picture

import (
	"fmt"
	"math"

	"jarwright/validate/headspace"
	"jarwright/validate/measure"
)

// Filling is what a jar holds. FoodML of zero: how much of it is food is not known.
type Filling struct {
	Name        string
	Jar         headspace.Jar
	HeadspaceMM float64
	FoodML      float64 // of the food in one jar, at most
}

// jarWidth is the width of the picture of a jar in user units.
const jarWidth = 290

// Jar draws a jar to scale, with food, liquid and headspace as layers whose heights have their volumes. It reports false
// for measures that cannot be those of a jar.
func Jar(f Filling) (Figure, bool) {
	fill, err := f.Jar.FillVolumeML(f.HeadspaceMM)
	if err != nil {
		return Figure{}, false
	}
	const tallest, widest = 190.0, 130.0 // of the jar in user units
	neckMM, bodyMM := shoulders(f.Jar)
	scale := math.Min(tallest/f.Jar.InteriorHeightMM, widest/math.Max(bodyMM, f.Jar.MouthMM))
	mouth, body := f.Jar.MouthMM*scale, bodyMM*scale
	const center, rim = 80.0, 16.0
	floor := rim + f.Jar.InteriorHeightMM*scale
	surface := rim + f.HeadspaceMM*scale
	food, known := foodTop(f, fill.Value)
	foodY := rim + food*scale

	inches := measure.FormatInches(measure.Length(f.HeadspaceMM) * measure.Millimeter)
	description := fmt.Sprintf("A jar of %.0f mL, %.0f mm deep inside, with a headspace of %s (%.0f mm), which is %.0f mL.", f.Jar.CapacityML, f.Jar.InteriorHeightMM, inches, f.HeadspaceMM, f.Jar.CapacityML-fill.Value)
	if known {
		description += fmt.Sprintf(" Below it %.0f mL of food and %.0f mL of liquid.", f.FoodML, fill.Value-f.FoodML)
	}
	var d drawing
	d.open("picture-jar", "The jar, drawn to scale", description, jarWidth, int(math.Ceil(floor))+26)
	outline := jarPath(center, rim, floor, mouth, body, neckMM*scale)
	fmt.Fprintf(&d, `<clipPath id="picture-jar-inside"><path d="%s"/></clipPath>`, outline)
	d.WriteString(`<pattern id="picture-jar-food" width="12" height="12" patternUnits="userSpaceOnUse"><rect class="food" width="12" height="12"/><path class="food-mark" d="M2 3h5M6 9h5"/></pattern>`)
	fmt.Fprintf(&d, `<g clip-path="url(#picture-jar-inside)" data-capacity-ml="%s" data-headspace-mm="%s" data-fill-ml="%s" data-food-ml="%s" data-mm-per-unit="%s">`,
		number(f.Jar.CapacityML), number(f.HeadspaceMM), number(fill.Value), number(f.FoodML), number(1/scale))
	fmt.Fprintf(&d, `<rect class="brine" x="0" y="%s" width="%d" height="%s"/>`, number(surface), jarWidth, number(floor-surface))
	if known {
		fmt.Fprintf(&d, `<rect class="food-layer" x="0" y="%s" width="%d" height="%s" fill="url(#picture-jar-food)"/>`, number(foodY), jarWidth, number(floor-foodY))
	}
	d.WriteString("</g>")
	fmt.Fprintf(&d, `<path class="glass" d="%s"/>`, outline)
	d.line("lid", center-mouth/2-3, rim-3, center+mouth/2+3, rim-3)
	edge := center + math.Max(mouth, body)/2
	callout := func(y, at float64, first, second string) {
		d.line("leader", edge-4, at, edge+16, y)
		d.label("part", edge+20, y+1, "start", first)
		d.label("part-note", edge+20, y+15, "start", second)
	}
	callout(rim+8, (rim+surface)/2, "headspace", fmt.Sprintf("%s, %.0f mL", inches, f.Jar.CapacityML-fill.Value))
	if known {
		callout((surface+foodY)/2+14, (surface+foodY)/2, "liquid", fmt.Sprintf("%.0f mL", fill.Value-f.FoodML))
		callout((foodY+floor)/2+14, (foodY+floor)/2, "food", fmt.Sprintf("about %.0f mL", f.FoodML))
	} else {
		callout((surface+floor)/2, (surface+floor)/2, "food and liquid", fmt.Sprintf("%.0f mL", fill.Value))
	}
	d.label("axis-words", center, floor+20, "middle", f.Name)
	caption := "Drawn to scale as a straight body under a neck; real shoulders differ."
	if known {
		caption += " Food and liquid are shown as layers so that their volumes can be compared: in the jar the liquid fills the gaps. The food counts as bought, at the weight of water."
	}
	return Figure{ID: "picture-jar", SVG: d.close(), Caption: caption}, true
}

// shoulders are the depth of the neck and the width of the body that give the jar its capacity.
func shoulders(j headspace.Jar) (neckMM, bodyMM float64) {
	neckMM = headspace.NeckMM()
	area := (j.CapacityML*1000 - math.Pi/4*j.MouthMM*j.MouthMM*neckMM) / (j.InteriorHeightMM - neckMM)
	return neckMM, 2 * math.Sqrt(area/math.Pi)
}

// foodTop is how far below the rim the food ends when it is pressed to the bottom.
func foodTop(f Filling, fillML float64) (float64, bool) {
	if f.FoodML <= 0 || f.FoodML >= fillML {
		return 0, false
	}
	depth, err := f.Jar.HeadspaceMM(f.Jar.CapacityML - f.FoodML)
	if err != nil {
		return 0, false
	}
	if _, bodyMM := shoulders(f.Jar); bodyMM < f.Jar.MouthMM {
		return depth.High, true
	}
	return depth.Low, true // the shape that is drawn
}

func jarPath(center, rim, floor, mouth, body, neck float64) string {
	return fmt.Sprintf("M%s %s V%s L%s %s V%s Q%s %s %s %s H%s Q%s %s %s %s V%s L%s %s V%s Z",
		number(center-mouth/2), number(rim), number(rim+neck*0.6),
		number(center-body/2), number(rim+neck*1.4), number(floor-8),
		number(center-body/2), number(floor), number(center-body/2+8), number(floor),
		number(center+body/2-8), number(center+body/2), number(floor), number(center+body/2), number(floor-8),
		number(rim+neck*1.4), number(center+mouth/2), number(rim+neck*0.6), number(rim))
}
