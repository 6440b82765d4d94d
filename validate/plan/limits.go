package plan

import (
	"fmt"
	"math"
	"strconv"

	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
)

// A plan is work of a day or two in one kitchen, and each of its jars, loads and steps is written out. How many one plan may
// have stands in plan/figures.csv; what is more is refused before anything is worked out, with what to do instead.

// goal is what the target asks for: the place and the amount as it is written, and how many jars that makes.
type goal struct {
	pointer string
	value   float64
	unit    string // code of a unit, "jar", or empty for a factor
	jars    float64
}

// goalOf is the goal of a request that makes so many jars.
func goalOf(request *document.PlanRequest, jars float64) goal {
	target := &request.Target
	of := func(pointer string, q *document.Quantity) goal { return goal{pointer, *q.Value, q.Unit, jars} }
	switch {
	case target.Factor != nil:
		return goal{"/target/factor", *target.Factor, "", jars}
	case target.Jars != nil:
		return goal{"/target/jars/count", target.Jars.Count, "jar", jars}
	case target.Volume != nil:
		return of("/target/volume", target.Volume)
	case target.Vinegar != nil:
		return of("/target/vinegar", target.Vinegar)
	}
	return of("/target/produce/amount", &target.Produce.Amount)
}

// instead is what to do where one plan cannot hold it all.
const instead = "Split the work into several days with a plan for each, or plan one load and repeat it."

// refuse says that the goal is out of range. most is the greatest part of it that would do, at least one jar.
func (g goal) refuse(most float64, detail string) []ingest.Error {
	least := roundedTo(g.value/g.jars, math.Ceil)
	limit := math.Max(least, roundedTo(g.value*most, math.Floor))
	if g.unit == "jar" {
		least, limit = 1, math.Max(1, math.Floor(g.value*most))
	}
	words := map[string]string{"": "times the recipe", "jar": "jars"}[g.unit]
	if words == "" {
		words = g.unit
	}
	detail += fmt.Sprintf(" Here that is from %s to %s %s.", written(least), written(limit), words)
	return []ingest.Error{{
		Pointer: g.pointer, Code: ingest.CodeOutOfRange, Detail: detail,
		Params: &ingest.Params{Got: g.value, Limit: &limit, Least: &least, Most: &limit, Unit: g.unit},
	}}
}

// roundedTo keeps three figures of an amount, rounded to one side.
func roundedTo(value float64, side func(float64) float64) float64 {
	if value <= 0 {
		return 0
	}
	scale := math.Pow10(2 - int(math.Floor(math.Log10(value))))
	return tidyFigures(side(value*scale) / scale)
}

// tidyFigures hides the last digits of float arithmetic.
func tidyFigures(value float64) float64 { return measure.RoundFigures(value, 12) }

// within refuses a plan of more jars, loads or food than one may have. It counts them and makes none.
func (p *Planner) within(request *document.PlanRequest, base *composition.Composition, made size) []ingest.Error {
	g := goalOf(request, made.jars)
	mostJars, mostLoads := p.figures.Value("most_jars"), p.figures.Value("most_loads")
	most, in := mostJars, ""
	if inCanner(request.Recipe.Process) {
		perLoad, _ := p.perLoad(request.Canner, base.Jar.CapacityML*made.perJar)
		most = math.Min(mostJars, mostLoads*perLoad)
		in = fmt.Sprintf(" in %s loads of %s", countWords(made.jars/perLoad), measure.FormatNumber(perLoad))
	}
	if made.jars <= most {
		return p.withinAmounts(base, made, g)
	}
	const detail = "This makes %s jars%s; one plan has at most %s jars and %s loads. %s"
	return g.refuse(most/made.jars, fmt.Sprintf(detail, countWords(made.jars), in, measure.FormatNumber(mostJars), measure.FormatNumber(mostLoads), instead))
}

// countWords writes a whole number that may be of any size.
func countWords(count float64) string {
	if count < 1e12 {
		return measure.FormatNumber(math.Ceil(count))
	}
	return strconv.FormatFloat(count, 'g', 3, 64)
}

// withinAmounts refuses a size at which a line has less or more than a request may have, so that the scaled recipe can be sent for
// a report, and one with more food than a plan may have.
func (p *Planner) withinAmounts(base *composition.Composition, made size, g goal) []ingest.Error {
	grams := 0.0
	for i := range base.Lines {
		line := &base.Lines[i]
		if line.State != composition.Given || line.Value == 0 {
			continue
		}
		value := line.Value * made.factorOf(line)
		batch := value * times(line, made.jars)
		limits, known := p.bounds.Limits(line.At+"/amount", line.Unit.Code)
		if known && !(limits.Take(value) && limits.Take(batch)) {
			const detail = "At this size %s, line %d of the recipe, would be %s %s in all; from %s to %s %s can be written."
			return []ingest.Error{{
				Pointer: g.pointer, Code: ingest.CodeOutOfRange,
				Detail: fmt.Sprintf(detail, line.Name, i+1, strconv.FormatFloat(batch, 'g', 3, 64), line.Unit.Code,
					written(limits.Least), written(limits.Most), line.Unit.Code),
				Params: &ingest.Params{Got: batch, Least: &limits.Least, Most: &limits.Most, Unit: line.Unit.Code},
			}}
		}
		if low, high, ok := p.weigh(line, batch); ok && line.IsFood() {
			grams += (low + high) / 2
		}
	}
	most := p.figures.Value("most_food")
	kg := grams / 1e3
	if kg <= most {
		return nil
	}
	return g.refuse(most/kg, fmt.Sprintf("This is %s kg of food; one plan has at most %s kg. %s",
		strconv.FormatFloat(kg, 'f', 0, 64), measure.FormatNumber(most), instead))
}

// written is a limit without an exponent.
func written(limit float64) string { return strconv.FormatFloat(limit, 'f', -1, 64) }

// withinYears refuses a time so near to the ends of the calendar that a step or a date could lie beyond it.
func (p *Planner) withinYears(pointer, text string, at localTime) []ingest.Error {
	least, most := p.figures.Value("earliest_year"), p.figures.Value("latest_year")
	if year := float64(at.wall.Year()); year >= least && year <= most {
		return nil
	}
	limit := least
	if float64(at.wall.Year()) > most {
		limit = most
	}
	return []ingest.Error{{
		Pointer: pointer, Code: ingest.CodeOutOfRange,
		Detail: fmt.Sprintf("A plan is made for a year from %s to %s.", measure.FormatNumber(least), measure.FormatNumber(most)),
		Params: &ingest.Params{Got: text, Limit: &limit, Least: &least, Most: &most, Unit: "year"},
	}}
}
