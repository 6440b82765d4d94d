package altitude

import (
	"fmt"
	"slices"

	"jarwright/validate/table"
)

var thumbs = loadThumbs(table.MustRows("altitude/thumb.csv", "id", "quantity", "applies_to", "statement", "source", "document",
	"locator", "verified", "over_base", "to_base", "over_ft", "to_ft", "add", "per_ft"))

// Quantities that a Thumb is about.
const (
	ThumbMinutes      = "minutes"       // minutes of a process, from its minutes at sea level
	ThumbBoilingPoint = "boiling_point" // °F, from 212 °F at sea level
)

// Thumb is a rule of thumb for altitude that circulates in print. It is kept to be shown beside the published table,
// which wins wherever the two disagree.
type Thumb struct {
	ID        string
	Quantity  string // ThumbMinutes or ThumbBoilingPoint
	AppliesTo string
	Statement string
	Source    string
	Document  string
	Locator   string
	Verified  string
	steps     []thumbStep
}

// thumbStep adds an amount, once or for each perFt of elevation, over a half-open range of base values and elevations.
type thumbStep struct {
	overBase, toBase float64
	overFt, toFt     float64
	add, perFt       float64
}

func loadThumbs(rows [][]string) []Thumb {
	var list []Thumb
	for _, row := range rows {
		if len(list) == 0 || list[len(list)-1].ID != row[0] {
			list = append(list, Thumb{
				ID: row[0], Quantity: row[1], AppliesTo: row[2], Statement: row[3],
				Source: row[4], Document: row[5], Locator: row[6], Verified: row[7],
			})
		}
		var n [6]float64
		for i := range n {
			n[i] = table.MustNumber(row[8+i])
		}
		last := &list[len(list)-1]
		last.steps = append(last.steps, thumbStep{n[0], n[1], n[2], n[3], n[4], n[5]})
	}
	return list
}

// Thumbs are the known rules of thumb, in a fixed order.
func Thumbs() []Thumb { return slices.Clone(thumbs) }

// Apply is what the rule of thumb makes of a base value (minutes at sea level, or °F at sea level) at an elevation in
// feet. The sayings "per 1,000 ft" do not tell whether the first thousand counts: Low counts the thousands begun above
// the first, High all thousands begun, Value the plain proportion between the two. The error wraps table.ErrRange when
// the elevation is out of the range of PressurePa or the rule says nothing about that base value or elevation.
func (t Thumb) Apply(base, elevationFt float64) (table.Bounds, error) {
	if err := withinElevationFt(elevationFt); err != nil {
		return table.Bounds{}, fmt.Errorf("rule of thumb %s: %w", t.ID, err)
	}
	for _, step := range t.steps {
		if base <= step.overBase || base > step.toBase || elevationFt <= step.overFt || elevationFt > step.toFt {
			continue
		}
		if step.perFt == 0 {
			return table.Bounds{Low: base + step.add, Value: base + step.add, High: base + step.add}, nil
		}
		proportion := base + step.add*max(0, elevationFt)/step.perFt
		if t.Quantity == ThumbBoilingPoint {
			return table.Bounds{Low: proportion, Value: proportion, High: proportion}, nil
		}
		return table.Bounds{
			Low:   base + step.add*wholeSteps(elevationFt-step.perFt, step.perFt),
			Value: proportion,
			High:  base + step.add*wholeSteps(elevationFt, step.perFt),
		}, nil
	}
	return table.Bounds{}, fmt.Errorf("rule of thumb %s says nothing of base %g at %g ft: %w", t.ID, base, elevationFt, table.ErrRange)
}
