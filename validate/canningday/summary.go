package canningday

import (
	"fmt"
	"strings"

	"jarwright/validate/report"
)

// Summary says in one sentence what becomes of the jars of a report, and what to do first.
func Summary(r *report.Report) (text, next string) {
	words := []string{"fit for the shelf", "for the refrigerator", "on hold, not for the shelf", "to process again", "to throw away"}
	var parts []string
	for k := len(ranks) - 1; k >= 0; k-- {
		var ids []string
		for i := range r.Jars {
			if r.Jars[i].Disposition == ranks[k] {
				ids = append(ids, r.Jars[i].ID)
			}
		}
		switch {
		case len(ids) == 0:
		case len(ids) == len(r.Jars):
			parts = append(parts, "all "+words[k])
		default:
			parts = append(parts, fmt.Sprintf("%d %s (%s)", len(ids), words[k], report.JarNames(ids)))
		}
	}
	text = fmt.Sprintf("Of %d jars: %s.", len(r.Jars), strings.Join(parts, "; "))
	if len(r.Jars) == 1 {
		text = fmt.Sprintf("The jar: %s.", strings.TrimPrefix(parts[0], "all "))
	}
	if len(r.Next) == 0 {
		return text, "There is nothing to do."
	}
	return text, report.TaskLine(r.Next[0], r.Batch.UTCOffset)
}
