package facts

import (
	"math"

	"jarwright/validate/acidity"
)

// Acidity is what the jar comes to by computation. It explains, and may take fitness for the shelf away; it grants nothing.
type Acidity struct {
	Reason        string // why it was not worked out; empty when it was
	Low, PH, High float64
	Likely        acidity.Band   // what the inputs come to when they are not all at their worst at once
	Decides       string         // the input that opens the upper bound most
	Solved        acidity.Result // the balance at the estimate
	Model         *acidity.Model // what solved it
}

// NameEquilibriumPH is the name of the computed pH among the figures of a report.
const NameEquilibriumPH = "equilibrium_ph"

// NameLikelyPH is the name of the likely range of that pH.
const NameLikelyPH = "equilibrium_ph_likely"

// inputWords name the inputs of the model for people.
var inputWords = map[string]string{
	"buffer": "how much acid the food takes up", "natural_ph": "the food's own pH", "pack": "how tightly the jar is packed",
	"strength": "the strength of the vinegar or juice", "household": "how exactly the acid is measured", "alkalinity": "the hardness of the water",
}

// solve computes the equilibrium pH of the jar with its bounds. Where something is missing it says what. What opens the upper
// bound is sought only where that bound lies over the limit, or when it is to be told.
func (f *Facts) solve(model *acidity.Model, tell bool) Acidity {
	if f.Contents.Jarful == nil {
		return Acidity{Reason: f.Contents.Reason}
	}
	bands := f.Contents.Jarful.Bands
	pH, solved, err := model.SolveBands(bands)
	if err != nil {
		return Acidity{Reason: "the amounts lie outside what the model was made for"}
	}
	result := Acidity{Low: pH.Low, PH: pH.Estimate, High: pH.High, Likely: model.Likely(bands, pH, solved), Solved: solved, Model: model}
	if tell || pH.High > f.Tables.MustLimit("ph-max").Value {
		result.Decides = decides(model, bands)
	}
	return result
}

// decides names the input that opens the upper bound most.
func decides(model *acidity.Model, b acidity.Bands) string {
	drivers, err := model.Drivers(b)
	if err != nil {
		return ""
	}
	best, most := "", math.Inf(-1)
	for _, d := range drivers {
		if d.PH.High > most {
			best, most = d.Input, d.PH.High
		}
	}
	return inputWords[best]
}
