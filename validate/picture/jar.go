package picture

import (
	"fmt"
	"math"

	"jarwright/validate/headspace"
	"jarwright/validate/measure"
)

// Filling is what a jar holds. A FoodML of zero means that it is not known how much of it is food.
type Filling struct {
	Name        string // of the jar
	Jar         headspace.Jar
	HeadspaceMM float64
	FoodML      float64 // of the food in one jar, at most
}

// jarWidth is the width of the picture of a jar in user units.
const jarWidth = 290

// Lengths in user units that the picture of a jar is laid out by.
const (
	tallestJar, widestJar = 190.0, 130.0
	jarCenter, jarRim     = 80.0, 16.0
)

// jarLayout is where the parts of a jar lie in the picture: volumes in mL, everything else in user units.
type jarLayout struct {
	filling              Filling
	fillML               float64
	scale                float64 // user units in a millimeter
	mouth, body, neck    float64 // widths of mouth and body, depth of the neck
	floor, surface, food float64 // from the top of the picture
	foodKnown            bool
}

// layoutOf reports false for measures that cannot be those of a jar.
func layoutOf(f Filling) (jarLayout, bool) {
	fill, err := f.Jar.FillVolumeML(f.HeadspaceMM)
	if err != nil {
		return jarLayout{}, false
	}
	neckMM, bodyMM := shoulders(f.Jar)
	scale := math.Min(tallestJar/f.Jar.InteriorHeightMM, widestJar/math.Max(bodyMM, f.Jar.MouthMM))
	foodMM, known := foodTop(f, fill.Value)
	return jarLayout{
		filling: f, fillML: fill.Value, scale: scale, mouth: f.Jar.MouthMM * scale, body: bodyMM * scale, neck: neckMM * scale,
		floor: jarRim + f.Jar.InteriorHeightMM*scale, surface: jarRim + f.HeadspaceMM*scale, food: jarRim + foodMM*scale, foodKnown: known,
	}, true
}

// emptyML is the volume of the headspace.
func (l *jarLayout) emptyML() float64 { return l.filling.Jar.CapacityML - l.fillML }

func (l *jarLayout) inches() string {
	return measure.FormatInches(measure.Length(l.filling.HeadspaceMM) * measure.Millimeter)
}

// Jar draws a jar to scale, with food, liquid and headspace as layers whose heights have their volumes. It reports false
// for measures that cannot be those of a jar.
func Jar(f Filling) (Figure, bool) {
	l, ok := layoutOf(f)
	if !ok {
		return Figure{}, false
	}
	var d drawing
	d.open("picture-jar", "The jar, drawn to scale", l.description(), jarWidth, int(math.Ceil(l.floor))+26)
	l.drawGlass(&d)
	l.drawWords(&d)
	caption := "Drawn to scale as a straight body under a neck; real shoulders differ."
	if l.foodKnown {
		caption += " Food and liquid are shown as layers so that their volumes can be compared: in the jar the liquid fills the gaps. " +
			"The food counts as bought, at the weight of water."
	}
	return Figure{ID: "picture-jar", SVG: d.close(), Caption: caption}, true
}

func (l *jarLayout) description() string {
	jar := l.filling.Jar
	text := fmt.Sprintf("A jar of %.0f mL, %.0f mm deep inside, with a headspace of %s (%.0f mm), which is %.0f mL.",
		jar.CapacityML, jar.InteriorHeightMM, l.inches(), l.filling.HeadspaceMM, l.emptyML())
	if l.foodKnown {
		text += fmt.Sprintf(" Below it %.0f mL of food and %.0f mL of liquid.", l.filling.FoodML, l.fillML-l.filling.FoodML)
	}
	return text
}

// foodPattern is what marks the layer of food.
const foodPattern = `<pattern id="picture-jar-food" width="12" height="12" patternUnits="userSpaceOnUse">` +
	`<rect class="food" width="12" height="12"/><path class="food-mark" d="M2 3h5M6 9h5"/></pattern>`

// drawGlass draws the jar and the layers in it.
func (l *jarLayout) drawGlass(d *drawing) {
	outline := jarPath(jarCenter, jarRim, l.floor, l.mouth, l.body, l.neck)
	fmt.Fprintf(d, `<clipPath id="picture-jar-inside"><path d="%s"/></clipPath>`, outline)
	d.WriteString(foodPattern)
	f := &l.filling
	fmt.Fprintf(d, `<g clip-path="url(#picture-jar-inside)" data-capacity-ml="%s" data-headspace-mm="%s" data-fill-ml="%s" data-food-ml="%s" `+
		`data-mm-per-unit="%s">`, number(f.Jar.CapacityML), number(f.HeadspaceMM), number(l.fillML), number(f.FoodML), number(1/l.scale))
	fmt.Fprintf(d, `<rect class="brine" x="0" y="%s" width="%d" height="%s"/>`, number(l.surface), jarWidth, number(l.floor-l.surface))
	if l.foodKnown {
		fmt.Fprintf(d, `<rect class="food-layer" x="0" y="%s" width="%d" height="%s" fill="url(#picture-jar-food)"/>`,
			number(l.food), jarWidth, number(l.floor-l.food))
	}
	d.WriteString("</g>")
	fmt.Fprintf(d, `<path class="glass" d="%s"/>`, outline)
	d.line("lid", jarCenter-l.mouth/2-3, jarRim-3, jarCenter+l.mouth/2+3, jarRim-3)
}

// drawWords names the layers beside the jar and the jar below it.
func (l *jarLayout) drawWords(d *drawing) {
	edge := jarCenter + math.Max(l.mouth, l.body)/2
	callout := func(y, at float64, first, second string) {
		d.line("leader", edge-4, at, edge+16, y)
		d.label("part", edge+20, y+1, "start", first)
		d.label("part-note", edge+20, y+15, "start", second)
	}
	callout(jarRim+8, (jarRim+l.surface)/2, "headspace", fmt.Sprintf("%s, %.0f mL", l.inches(), l.emptyML()))
	if l.foodKnown {
		liquid, food := (l.surface+l.food)/2, (l.food+l.floor)/2
		callout(liquid+14, liquid, "liquid", fmt.Sprintf("%.0f mL", l.fillML-l.filling.FoodML))
		callout(food+14, food, "food", fmt.Sprintf("about %.0f mL", l.filling.FoodML))
	} else {
		both := (l.surface + l.floor) / 2
		callout(both, both, "food and liquid", fmt.Sprintf("%.0f mL", l.fillML))
	}
	d.label("axis-words", jarCenter, l.floor+20, "middle", l.filling.Name)
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
