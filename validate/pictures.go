package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/validate/budget"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/contents"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/headspace"
	"jarwright/validate/heating"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/picture"
	"jarwright/validate/report"
)

// Illustrated is a report with the request that it is on and the pictures that its figures allow.
type Illustrated struct {
	Request  document.Request
	Report   report.Report
	Pictures []picture.Figure // of the pH against the share of vinegar, the heating, the jar; those that can be drawn
}

// Illustrate reads one request document, reports on it as Check does, with curves, and draws what the figures allow. The
// second result is non-nil when the bytes are not a request document at all, or cost too much.
func (c *Checker) Illustrate(b *budget.Budget, body []byte, options report.Options) (Illustrated, *ingest.Problem) {
	request, problem := c.request(b, body)
	if problem != nil {
		return Illustrated{}, problem
	}
	options.Curves = true
	if !b.Spend(derivationSteps(&request)) {
		return Illustrated{}, ingest.TooCostly(b.Err())
	}
	f, day := c.derive(&request, options)
	r := c.assemble(f, day, c.judge(b, f), options)
	shown := Illustrated{Request: request, Report: r, Pictures: c.pictures(b, f, r)}
	if problem := ingest.TooCostly(b.Err()); problem != nil {
		return Illustrated{}, problem
	}
	return shown, nil
}

func (c *Checker) pictures(b *budget.Budget, f *facts.Facts, r report.Report) []picture.Figure {
	var all []picture.Figure
	if figure, ok := c.phPicture(b, f, r); ok {
		all = append(all, figure)
	}
	if figure, ok := heatPicture(r); ok {
		all = append(all, figure)
	}
	if figure, ok := c.jarPicture(f.Request, &f.Composition); ok {
		all = append(all, figure)
	}
	return all
}

func phOf(r report.Report) (picture.Band, bool) {
	i := slices.IndexFunc(r.Derived, func(d report.Derived) bool { return d.Name == facts.NameEquilibriumPH })
	if i < 0 || r.Derived[i].Low == nil || r.Derived[i].High == nil {
		return picture.Band{}, false
	}
	return picture.Band{Low: *r.Derived[i].Low, Value: r.Derived[i].Value, High: *r.Derived[i].High}, true
}

// phPicture works out the pH at other shares of vinegar in the same volume of liquid. It reports false where the recipe
// has no vinegar or the report no pH.
func (c *Checker) phPicture(b *budget.Budget, f *facts.Facts, r report.Report) (picture.Figure, bool) {
	here, ok := phOf(r)
	if !ok {
		return picture.Figure{}, false
	}
	share, ok := c.vinegarShare(&f.Composition)
	if !ok {
		return picture.Figure{}, false
	}
	const steps = 20
	var points []picture.SharePoint
	for i := range steps + 1 {
		if !b.Spend(20 + 2*len(f.Composition.Lines)) {
			break
		}
		at := float64(i) / steps
		if ph, ok := c.phAt(f, share, at); ok {
			points = append(points, picture.SharePoint{Percent: 100 * at, PH: ph})
		}
	}
	if len(points) < 2 {
		return picture.Figure{}, false
	}
	return picture.PH(points, picture.SharePoint{Percent: 100 * share.vinegarML / (share.vinegarML + share.waterML), PH: here},
		c.tables.MustLimit("ph-max").Value), true
}

// phAt is the pH of the jar with another share of vinegar in its liquid, to the digits of a report. The jar and the tested
// recipe that it is compared with stay.
func (c *Checker) phAt(f *facts.Facts, l liquids, share float64) (picture.Band, bool) {
	lines := c.withShare(&f.Composition, l, share)
	other := contents.Read(contents.Input{
		Request: f.Request, Composition: &lines, Match: &f.Match, Tables: c.tables, Units: c.units, Chemistry: c.sources.Chemistry,
	})
	if other.Jarful == nil {
		return picture.Band{}, false
	}
	ph, err := c.sources.Chemistry.Bounds(other.Jarful.Bands)
	if err != nil {
		return picture.Band{}, false
	}
	const digits = 2
	return picture.Band{
		Low: measure.Round(ph.Low, digits), Value: measure.Round(ph.Estimate, digits), High: measure.Round(ph.High, digits),
	}, true
}

// liquids is the vinegar and the water of a batch, line by line.
type liquids struct {
	vinegarML, waterML float64
	milliliters        []float64          // by line; 0 for other lines
	water              []composition.Line // that takes the place of vinegar where there is none
}

func (c *Checker) vinegarShare(facts *composition.Composition) (liquids, bool) {
	l := liquids{milliliters: make([]float64, len(facts.Lines))}
	for i := range facts.Lines {
		line := &facts.Lines[i]
		vinegar := line.Item != nil && line.Item.Family == "vinegar"
		if !line.Counts() || line.State != composition.Given || !vinegar && line.Class != catalog.Water {
			continue
		}
		ml := line.Milliliters
		if !line.VolumeKnown || line.PerJar && facts.Jars == nil {
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
	if l.waterML == 0 {
		one := 1.0
		l.water = composition.Read(&document.Request{Recipe: document.Recipe{Ingredients: []document.Ingredient{
			{Item: "water", Amount: &document.Quantity{Value: &one, Unit: "mL"}, Per: document.PerBatch},
		}}}, c.tables, c.scale).Lines
	}
	return l, l.vinegarML > 0
}

// withShare is the lines of the recipe with another share of vinegar in its liquid. Where it has no water, water takes the
// place of the vinegar. Nothing but amounts changes, so that no line is read again.
func (c *Checker) withShare(facts *composition.Composition, l liquids, share float64) composition.Composition {
	other := *facts
	other.Lines = slices.Concat(facts.Lines, l.water)
	whole := l.vinegarML + l.waterML
	for i, milliliters := range l.milliliters {
		line := &other.Lines[i]
		switch {
		case milliliters == 0:
		case line.Class == catalog.Water:
			line.Reweigh(line.Value*((1-share)*whole/l.waterML), c.scale)
		default:
			line.Reweigh(line.Value*(share*whole/l.vinegarML), c.scale)
		}
	}
	for i := range l.water {
		other.Lines[len(facts.Lines)+i].Reweigh((1-share)*whole, c.scale)
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
		if !line.WeightKnown {
			continue
		}
		share := 1.0
		if !line.PerJar {
			if facts.Jars == nil {
				return 0
			}
			share = *facts.Jars
		}
		grams += line.Grams() / share
	}
	return math.Round(grams)
}
