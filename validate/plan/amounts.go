package plan

import (
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/plaintext"
)

// both puts an amount of a line, in the line's own unit, into both systems. A dry food measured by the cup is weighed
// for the metric side where its weight is published.
func (p *Planner) both(line *composition.Line, value float64, to measure.Side, slack float64) measure.Both {
	switch line.Unit.Dimension {
	case measure.DimensionMass:
		return p.kitchen.Mass(line.Unit.SI(value)*1e3, to, slack)
	case measure.DimensionVolume:
		both := p.kitchen.Volume(composition.Milliliters(line.Unit, value), to, slack)
		if low, high, ok := p.weigh(line, value); ok && !liquid(line) {
			both.Metric = p.kitchen.Mass((low+high)/2, to, slack).Metric
			both.Metric.Text = "about " + both.Metric.Text
		}
		return both
	}
	return p.kitchen.Count(value, line.Unit.Code, to, slack)
}

func (p *Planner) weigh(line *composition.Line, value float64) (low, high float64, ok bool) {
	if line.Class == catalog.Salt {
		return p.scale.GramsOfKind(line.Item, line.SaltKind, value, line.Unit)
	}
	return p.scale.Grams(line.Item, line.Form, value, line.Unit)
}

// liquid reports whether a line is measured by volume in metric kitchens too.
func liquid(line *composition.Line) bool {
	switch line.Class {
	case catalog.Acid:
		return line.Item.ID != "citric-acid"
	case catalog.Water, catalog.Fat:
		return true
	}
	return strings.Contains(strings.ToLower(line.Name), "juice") || strings.Contains(strings.ToLower(line.Name), "syrup")
}

// unmeasured is the words for an amount that is no number.
func unmeasured(line *composition.Line) measure.Both {
	switch line.State {
	case composition.ToCover:
		return measure.Unmeasured("to cover")
	case composition.AsNeeded:
		return measure.Unmeasured("as needed")
	}
	return measure.Unmeasured("amount not given")
}

// exact is the amount of line i at the size that is made, before rounding, in the unit of the line.
func (w *writer) exact(i int) float64 {
	return w.base.Lines[i].Value * w.size.factorOf(&w.base.Lines[i])
}

func (w *writer) ingredients() []Ingredient {
	return w.p.listed(&w.comp, &w.scaled.Recipe, w.size.jars, w.exact)
}

// Ingredients lists the lines of a recipe as it stands, in both systems of units. While the number of jars is not known,
// what is measured for the batch has no amount for a jar, and what is measured for a jar none for the batch.
func (p *Planner) Ingredients(request *document.Request) []Ingredient {
	comp := composition.Read(request, p.tables, p.scale)
	jars := 0.0
	if request.Recipe.Jars != nil {
		jars = *request.Recipe.Jars
	}
	return p.listed(&comp, &request.Recipe, jars, func(i int) float64 { return comp.Lines[i].Value })
}

// shareSlack is how far one jar's share of the batch may be rounded: nobody measures by it. Ours, no source.
const shareSlack = 0.02

// listed puts the lines into both systems; value is the exact amount of a line, for the batch or the jar as it is written.
func (p *Planner) listed(comp *composition.Composition, recipe *document.Recipe, jars float64, value func(int) float64) []Ingredient {
	list := []Ingredient{}
	for i := range comp.Lines {
		line := &comp.Lines[i]
		if !line.Used() {
			continue
		}
		to, slack := side(line, recipe), slack(line)
		in := Ingredient{At: line.At, Item: line.Name, Form: plaintext.Line(p.formWithSizes(line)), Drained: !line.InJar, PerJar: line.PerJar, Rounded: to.String()}
		in.Note, in.Remark = shoppingNote(line), plaintext.Line(line.Written.Note)
		if in.Note == in.Form {
			in.Note = ""
		}
		amount := func(v float64) *measure.Both {
			both := p.both(line, v, to, slack)
			return &both
		}
		switch {
		case line.State != composition.Given:
			both := unmeasured(line)
			in.Batch = &both
		case line.PerJar:
			in.Jar = amount(value(i))
			if jars > 0 {
				in.Batch = amount(value(i) * jars)
			}
		default:
			in.Batch = amount(value(i))
			if jars > 0 && line.InJar {
				share := p.both(line, value(i)/jars, to, max(slack, shareSlack))
				in.Jar = &share
			}
		}
		list = append(list, in)
	}
	return list
}

// total is the amount of one item over its lines, by what can be added.
type total struct {
	item  string
	class catalog.Class
	line  *composition.Line // its first line
	sums  []sum
}

// sum is an amount in one unit.
type sum struct {
	line  *composition.Line // whose form and unit it is in
	value float64
}

func (t *total) add(line *composition.Line, value float64) {
	for i := range t.sums {
		have := &t.sums[i]
		same := have.line.Unit.Dimension == line.Unit.Dimension
		if line.Unit.Dimension == measure.DimensionCount {
			same = have.line.Unit.Code == line.Unit.Code
		}
		if same {
			have.value += have.line.Unit.From(line.Unit.SI(value))
			return
		}
	}
	t.sums = append(t.sums, sum{line, value})
}

// shopping lists what is bought: every line, what is poured away and the spare brine among them, but not tap water.
func (w *writer) shopping(brine *Brine) []Purchase {
	var totals []*total
	at := func(line *composition.Line) *total {
		key := line.Name
		if line.Item != nil {
			key = line.Item.ID + line.SaltKind
		}
		for _, t := range totals {
			if t.item == key {
				return t
			}
		}
		t := &total{item: key, class: line.Class, line: line}
		totals = append(totals, t)
		return t
	}
	spare := brine != nil && len(brine.Spare) > 0
	for i := range w.comp.Lines {
		line := &w.comp.Lines[i]
		if !line.Used() || line.Class == catalog.Water {
			continue
		}
		t := at(line)
		if line.State != composition.Given {
			continue
		}
		value := w.exact(i) * times(line, w.size.jars)
		if spare && inBrine(line) && !line.PerJar {
			value *= 1 + w.p.figures.Value("brine_spare")
		}
		t.add(line, value)
	}
	list := []Purchase{}
	for _, t := range totals {
		purchase := Purchase{Item: t.line.Name, Amounts: []measure.Both{}, Note: shoppingNote(t.line)}
		for _, s := range t.sums {
			purchase.Amounts = append(purchase.Amounts, w.p.both(s.line, s.value, measure.Up, measure.Loose))
		}
		if len(t.sums) == 0 {
			purchase.Amounts = append(purchase.Amounts, unmeasured(t.line))
		}
		list = append(list, purchase)
	}
	return list
}

func shoppingNote(line *composition.Line) string {
	switch {
	case line.Class == catalog.Acid && line.Acidity != nil:
		return measure.FormatNumber(*line.Acidity) + " % acidity, as the label says"
	case line.Class == catalog.Acid && line.Bottled != nil && *line.Bottled:
		return "bottled"
	case line.Class == catalog.Salt && line.SaltKind != "":
		return strings.ReplaceAll(line.SaltKind, "_", " ") + " salt"
	}
	return plaintext.Line(line.Written.Form)
}

// foodKg is the weight of the food, as far as it can be weighed.
func (w *writer) foodKg() float64 {
	grams := 0.0
	for i := range w.comp.Lines {
		line := &w.comp.Lines[i]
		if !line.IsFood() || line.State != composition.Given {
			continue
		}
		if low, high, ok := w.p.weigh(line, w.exact(i)*times(line, w.size.jars)); ok {
			grams += (low + high) / 2
		}
	}
	return grams / 1e3
}
