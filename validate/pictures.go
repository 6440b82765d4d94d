package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/headspace"
	"jarwright/validate/heating"
	"jarwright/validate/measure"
	"jarwright/validate/picture"
	"jarwright/validate/report"
)

// Pictures draws what the figures of a report allow: the jar, the pH against the share of vinegar, the heating. body is
// the request document that the report is on; a body that is none has no pictures.
func (c *Checker) Pictures(body []byte, r report.Report) []picture.Figure {
	request, problem := c.reader.Request(body)
	if problem != nil {
		return nil
	}
	facts := composition.Read(&request, c.tables, c.scale)
	var all []picture.Figure
	if figure, ok := c.phPicture(&request, &facts, r); ok {
		all = append(all, figure)
	}
	if figure, ok := heatPicture(r); ok {
		all = append(all, figure)
	}
	if figure, ok := c.jarPicture(&request, &facts); ok {
		all = append(all, figure)
	}
	return all
}

// equilibriumPH is the name of the derived figure that the picture shows.
const equilibriumPH = "equilibrium_ph"

func phOf(r report.Report) (picture.Band, bool) {
	i := slices.IndexFunc(r.Derived, func(d report.Derived) bool { return d.Name == equilibriumPH })
	if i < 0 || r.Derived[i].Low == nil || r.Derived[i].High == nil {
		return picture.Band{}, false
	}
	return picture.Band{Low: *r.Derived[i].Low, Value: r.Derived[i].Value, High: *r.Derived[i].High}, true
}

// phPicture asks for the report at other shares of vinegar in the same volume of liquid. It reports false where the
// recipe has no vinegar or the report no pH.
func (c *Checker) phPicture(request *document.Request, facts *composition.Composition, r report.Report) (picture.Figure, bool) {
	here, ok := phOf(r)
	if !ok {
		return picture.Figure{}, false
	}
	share, ok := c.vinegarShare(facts)
	if !ok {
		return picture.Figure{}, false
	}
	const steps = 20
	var points []picture.SharePoint
	for i := range steps + 1 {
		at := float64(i) / steps
		other := c.withShare(request, facts, share, at)
		if ph, ok := phOf(c.judgePlainly(&other)); ok {
			points = append(points, picture.SharePoint{Percent: 100 * at, PH: ph})
		}
	}
	if len(points) < 2 {
		return picture.Figure{}, false
	}
	return picture.PH(points, picture.SharePoint{Percent: 100 * share.vinegarML / (share.vinegarML + share.waterML), PH: here}, c.tables.MustLimit("ph-max").Value), true
}

// liquids is the vinegar and the water of a batch, line by line.
type liquids struct {
	vinegarML, waterML float64
	milliliters        []float64 // by line; 0 for other lines
}

func (c *Checker) vinegarShare(facts *composition.Composition) (liquids, bool) {
	l := liquids{milliliters: make([]float64, len(facts.Lines))}
	for i := range facts.Lines {
		line := &facts.Lines[i]
		vinegar := line.Item != nil && line.Item.Family == "vinegar"
		if !line.Counts() || line.State != composition.Given || !vinegar && line.Class != catalog.Water {
			continue
		}
		ml, ok := c.scale.MillilitersOf(line.Item, line.Value, line.Unit)
		if !ok || line.PerJar && facts.Jars == nil {
			return l, false
		}
		if line.PerJar {
			ml *= *facts.Jars
		}
		l.milliliters[i] = ml
		if vinegar {
			l.vinegarML += ml
		} else {
			l.waterML += ml
		}
	}
	return l, l.vinegarML > 0
}

// withShare is the recipe with another share of vinegar in its liquid. Where it has no water, water takes the place of
// the vinegar.
func (c *Checker) withShare(request *document.Request, facts *composition.Composition, l liquids, share float64) document.Request {
	other := *request
	other.Recipe.Ingredients = slices.Clone(request.Recipe.Ingredients)
	whole := l.vinegarML + l.waterML
	for i := range other.Recipe.Ingredients {
		line := &facts.Lines[i]
		if l.milliliters[i] == 0 {
			continue
		}
		factor := share * whole / l.vinegarML
		if line.Class == catalog.Water {
			factor = (1 - share) * whole / l.waterML
		}
		value := line.Value * factor
		other.Recipe.Ingredients[i].Amount = &document.Quantity{Value: &value, Unit: line.Unit.Code}
	}
	if l.waterML == 0 {
		value := (1 - share) * whole
		other.Recipe.Ingredients = append(other.Recipe.Ingredients, document.Ingredient{
			Item: "water", Amount: &document.Quantity{Value: &value, Unit: "mL"}, Per: document.PerBatch,
		})
	}
	return other
}

func heatPicture(r report.Report) (picture.Figure, bool) {
	var series []picture.Series
	for _, curve := range r.Curves {
		celsius := slices.Contains([]string{"C", "°C"}, curve.YUnit)
		if !celsius || curve.XUnit != "min" || len(curve.Xs) < 2 || len(curve.Xs) != len(curve.Ys) {
			continue
		}
		series = append(series, picture.Series{Name: curveWords(curve.Name), Minutes: curve.Xs, Celsius: curve.Ys})
	}
	targets := heating.Targets()
	if len(series) == 0 || len(targets) == 0 {
		return picture.Figure{}, false
	}
	target := measure.Temperature(targets[0].ReferenceC - measure.Temperature(0).Celsius())
	return picture.Heating(series, target.Celsius(), fmt.Sprintf("%.0f °F (%.0f °C), where heat counts", target.Fahrenheit(), target.Celsius())), true
}

// curveWords shortens the names of the bounds, which stand in the picture beside their lines.
func curveWords(name string) string {
	switch {
	case strings.HasSuffix(name, "_low"):
		return "at least"
	case strings.HasSuffix(name, "_high"):
		return "at most"
	}
	return name
}

func (c *Checker) jarPicture(request *document.Request, facts *composition.Composition) (picture.Figure, bool) {
	written := request.Recipe.Jar
	if written == nil || request.Recipe.Headspace == nil || request.Recipe.Headspace.Value == nil {
		return picture.Figure{}, false
	}
	filling := picture.Filling{Name: "own jar", HeadspaceMM: c.millimeters(request.Recipe.Headspace), FoodML: c.foodPerJarML(facts)}
	if row, ok := c.tables.Jar(written.ID); ok && written.ID != "" {
		filling.Name = row.Name
		filling.Jar = headspace.Jar{CapacityML: row.CapacityML, MouthMM: row.MouthMM, InteriorHeightMM: row.InteriorHeightMM}
	} else if facts.Jar != nil {
		filling.Jar = headspace.Jar{CapacityML: facts.Jar.CapacityML, MouthMM: c.millimeters(written.Mouth), InteriorHeightMM: c.millimeters(written.InteriorHeight)}
	}
	return picture.Jar(filling)
}

func (c *Checker) millimeters(q *document.Quantity) float64 {
	if q == nil || q.Value == nil {
		return 0
	}
	unit, _ := c.units.Lookup(q.Unit)
	return measure.Length(unit.SI(*q.Value)).Millimeters()
}

// foodPerJarML is the volume of the food in one jar as bought, at the weight of water; 0 where it cannot be told.
func (c *Checker) foodPerJarML(facts *composition.Composition) float64 {
	grams := 0.0
	for i := range facts.Lines {
		line := &facts.Lines[i]
		if !line.IsFood() || !line.Counts() {
			continue
		}
		low, high, ok := c.scale.Grams(line.Item, line.Form, line.Value, line.Unit)
		if line.State != composition.Given || !ok {
			continue
		}
		share := 1.0
		if !line.PerJar {
			if facts.Jars == nil {
				return 0
			}
			share = *facts.Jars
		}
		grams += (low + high) / 2 / share
	}
	return math.Round(grams)
}
