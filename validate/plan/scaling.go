package plan

import (
	"math"
	"slices"

	"jarwright/validate/budget"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// scaled is the recipe at the size that is made, and what is answered to it.
type scaled struct {
	request document.Request
	report  report.Report
	size    size
}

// fineness is how much of the usual slack rounding may take, tried in this order: kitchen measures first, then finer
// ones, then the exact amounts.
var fineness = []float64{1, 0.25, 0}

// scaleTo scales a recipe. The amounts are rounded to kitchen measures only as far as the answer stays the same. Where the
// last jar would not come full and that changes the answer, the factor is taken down to that of the full jars.
func (p *Planner) scaleTo(b *budget.Budget, asked *document.Request, base *composition.Composition, made size, first report.Report) scaled {
	exact := p.scaled(asked, base, made, 0)
	answer := p.judge(b, &exact)
	if whole := math.Floor(made.factor**asked.Recipe.Jars + wholeJars); made.byFactor && whole >= 1 && !sameAnswer(first, answer) {
		made.jars, made.factor = whole, whole/(*asked.Recipe.Jars)
		exact = p.scaled(asked, base, made, 0)
		answer = p.judge(b, &exact)
	}
	for _, part := range fineness {
		request := p.scaled(asked, base, made, part)
		if rounded := p.judge(b, &request); sameAnswer(answer, rounded) {
			return scaled{request, rounded, made}
		}
	}
	return scaled{exact, answer, made}
}

// sameAnswer compares what two reports say must be done; figures in their words may differ.
func sameAnswer(a, b report.Report) bool {
	if a.Disposition != b.Disposition || len(a.Findings) != len(b.Findings) || (a.Process == nil) != (b.Process == nil) {
		return false
	}
	if a.Process != nil && a.Process.Recipe != b.Process.Recipe {
		return false
	}
	return slices.EqualFunc(a.Findings, b.Findings, func(x, y report.Finding) bool {
		return x.Rule == y.Rule && x.Outcome == y.Outcome && x.At == y.At
	})
}

// scaled writes the recipe at the size that is made; part is how much of the usual slack rounding may take.
func (p *Planner) scaled(asked *document.Request, base *composition.Composition, made size, part float64) document.Request {
	request := *asked
	request.Recipe.Jar, request.Recipe.Jars = made.jar, &made.jars
	request.Recipe.Ingredients = slices.Clone(asked.Recipe.Ingredients)
	for i := range request.Recipe.Ingredients {
		written, line := &request.Recipe.Ingredients[i], &base.Lines[i]
		factor := made.factorOf(line)
		if line.State != composition.Given || factor == 1 {
			continue
		}
		value := line.Value * factor
		if part > 0 {
			rounded := p.kitchen.Round(value, line.Unit.Code, side(line, &asked.Recipe), slack(line)*part)
			if p.bounds.Allows(line.At+"/amount", rounded, line.Unit.Code) {
				value = rounded
			}
		}
		written.Amount = &document.Quantity{Value: &value, Unit: line.Unit.Code}
	}
	return request
}

// factorOf is the factor of one line.
func (made size) factorOf(line *composition.Line) float64 {
	if line.PerJar {
		return made.perJar
	}
	return made.factor
}

// side is the side on which rounding is safe: acid up, what the acid has to reach down.
func side(line *composition.Line, recipe *document.Recipe) measure.Side {
	switch line.Class {
	case catalog.Acid:
		return measure.Up
	case catalog.LowAcid, catalog.Egg, catalog.FreshHerb, catalog.Fat, catalog.Thickener:
		return measure.Down
	case catalog.Water, catalog.Ice:
		if line.InJar {
			return measure.Down
		}
	case catalog.Salt:
		if recipe.Kind == document.KindFermented {
			return measure.Up
		}
	}
	return measure.Nearest
}

// How far pieces may be rounded, as a part of the amount, so that whole pieces, halves and quarters come out. Ours, no
// source.
const (
	pieceSlack     = 0.13
	acidPieceSlack = 0.015
)

// slack is how far an amount may be rounded, as a part of it: what the safety of the jar hangs on less than seasoning.
func slack(line *composition.Line) float64 {
	pieces := line.Unit.Dimension == measure.DimensionCount
	switch line.Class {
	case catalog.AcidFood:
		if pieces {
			return acidPieceSlack
		}
		return measure.Strict / 2
	case catalog.Acid, catalog.LowAcid, catalog.Egg, catalog.Water, catalog.Ice, catalog.Fat, catalog.Thickener, catalog.FreshHerb:
		if pieces {
			return pieceSlack
		}
		return measure.Strict
	}
	if pieces {
		return pieceSlack
	}
	return measure.Loose
}

// tidy hides the last digits of float arithmetic.
func tidy(value float64) float64 { return measure.Round(value, 9) }
