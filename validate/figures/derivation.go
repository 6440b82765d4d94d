package figures

import (
	"fmt"
	"strings"

	"jarwright/validate/acidity"
	"jarwright/validate/contents"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Derivation is the worked derivation of the equilibrium pH, with the numbers put in; nothing where it was not worked out.
func Derivation(f *facts.Facts) []report.Step {
	if f.Acidity.Reason != "" {
		return nil
	}
	d := derivation{model: f.Acidity.Model, jarful: f.Contents.Jarful, solved: f.Acidity.Solved}
	d.foods()
	d.acids()
	for _, food := range d.jarful.Foods {
		d.uptake(food)
	}
	d.balance()
	d.answer(f)
	return d.steps
}

// derivation gathers the steps.
type derivation struct {
	model  *acidity.Model
	jarful *contents.Jarful
	solved acidity.Result
	steps  []report.Step
}

func (d *derivation) add(title, format string, args ...any) {
	d.steps = append(d.steps, report.Step{Title: title, Text: fmt.Sprintf(format, args...)})
}

// number writes a value rounded to as many digits.
func number(value float64, digits int) string {
	return measure.FormatNumber(measure.Round(value, digits))
}

// foods says what goes into the jar, or into the batch where all of it is cooked or reckoned together.
func (d *derivation) foods() {
	var foods []string
	for _, food := range d.jarful.Foods {
		foods = append(foods, fmt.Sprintf("%s %s kg", food.Name, number(food.Kg, 3)))
	}
	list := strings.Join(foods, ", ")
	if !d.jarful.One {
		d.add("What goes in", "Food and liquid are cooked or reckoned together, so the whole batch has the proportions of each jar. Food: %s.", list)
		return
	}
	d.add("What one jar holds", "The jar takes %s mL up to its headspace. Food: %s. The liquid fills what is left: %s mL, of %s mL that the recipe "+
		"makes for each jar. Pieces leave at least %s of the room to the liquid.",
		number(d.jarful.FillML, 0), list, number(d.jarful.BrineML, 0), number(d.jarful.MadeML, 0), number(1-d.model.Packing("solids.most"), 2))
}

// acids says how much acid the vinegar and the juice bring.
func (d *derivation) acids() {
	acids, plain := d.jarful.Bands.Mixture.Acids, measure.FormatNumber
	if acetic := acids[acidity.Acetic]; acetic > 0 {
		percent := plain(d.jarful.VinegarPercent)
		d.add("Acetic acid", "Vinegar of %s %% holds %s g in 100 mL. One mol is %s g. In the %s that makes %s mmol.",
			percent, percent, plain(d.model.MolarMass(acidity.Acetic)), d.jarful.Where(), number(acetic*1e3, 1))
	}
	if citric := acids[acidity.Citric]; citric > 0 {
		d.add("Citric acid", "Bottled lemon or lime juice holds about %s g of citric acid a liter; one mol is %s g. In the %s that makes %s mmol.",
			plain(d.model.MustValue("lemon_juice.bottled_high")), plain(d.model.MolarMass(acidity.Citric)), d.jarful.Where(), number(citric*1e3, 1))
	}
}

// uptake says how much acid a food takes up at the pH that was found.
func (d *derivation) uptake(food contents.Food) {
	buffer, own, pH := food.Buffer.Buffer.Estimate*1e3, food.PH.Estimate, d.solved.PH
	d.add("How "+food.Name+" takes up acid", "By itself it has pH %s. It takes up about %s mmol of hydrogen ion per kg for each unit of pH (%s). "+
		"At pH %s that is %s × %s × (%s - %s) = %s mmol.",
		number(own, 2), number(buffer, 1), bufferWords(food.Buffer), number(pH, 2), number(food.Kg, 3),
		number(buffer, 1), number(own, 2), number(pH, 2), number(food.Kg*food.Buffer.Buffer.Estimate*1e3*(own-pH), 2))
}

// balance says how the charges of both signs come to the same.
func (d *derivation) balance() {
	r := d.solved
	millimoles := func(v float64) string { return number(v*1e3, 2) }
	plus, anions := r.Hydrogen+r.Sodium+2*r.Calcium+r.Alkalinity+r.Uptake, sum(r.Anions)
	d.add("The balance of charges", "Per kg of water, in mmol. Plus: hydrogen ion %s, sodium %s, calcium twice %s, hardness of the water %s, "+
		"taken up by the food %s. Minus: hydroxide %s, chloride %s, acids %s. "+
		"Both sides come to %s and %s: the pH at which they agree is the answer.",
		millimoles(r.Hydrogen), millimoles(r.Sodium), millimoles(r.Calcium), millimoles(r.Alkalinity), millimoles(r.Uptake),
		millimoles(r.Hydroxide), millimoles(r.Chloride), millimoles(anions), millimoles(plus), millimoles(r.Hydroxide+r.Chloride+anions))
	d.add("Activity", "Salt and acid make an ionic strength of %s mol/kg; by the Davies equation an ion of charge one then counts for %s of its "+
		"concentration.", number(r.IonicStrength, 3), number(r.UnivalentActivity, 3))
}

// answer says the pH, its bounds, and what they mean.
func (d *derivation) answer(f *facts.Facts) {
	a := f.Acidity
	text := fmt.Sprintf("pH %s. With every input at its worst at once it would be %s, with every input at its best %s.",
		number(a.PH, 2), number(a.High, 2), number(a.Low, 2))
	if a.Decides != "" {
		text += " What opens the upper bound most is " + a.Decides + "."
	}
	limit, margin := f.Tables.MustLimit("ph-max").Value, f.Tables.MustLimit("ph-margin").Value
	d.add("The answer and its bounds", "%s The limit of an acid food is pH %s; home makers are advised to stay below %s. The figure explains; only a "+
		"tested process makes a jar fit for the shelf.", text, measure.FormatNumber(limit), measure.FormatNumber(margin))
}

// bufferWords says how well it is known how much acid a food takes up.
func bufferWords(b acidity.BufferFigure) string {
	low, high := number(b.Buffer.Low*1e3, 1), number(b.Buffer.High*1e3, 1)
	if b.Basis == acidity.Measured {
		return fmt.Sprintf("measured; between %s and %s", low, high)
	}
	return fmt.Sprintf("a class figure, known to a factor of two: between %s and %s", low, high)
}

func sum(a acidity.Acids) float64 {
	total := 0.0
	for _, v := range a {
		total += v
	}
	return total
}
