package validate

import (
	"jarwright/validate/budget"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// Draft reads a recipe as it was published and, when asked, reports on the request it becomes. The second result is non-nil
// when there is no recipe in the body. page says that the body is a web page; otherwise it is JSON-LD.
func (c *Checker) Draft(b *budget.Budget, body []byte, page, withReport bool) (draft.Draft, *ingest.Problem) {
	read := c.drafts.JSON
	if page {
		read = c.drafts.HTML
	}
	drafted, problem := read(b, body)
	if problem != nil {
		return draft.Draft{}, problem
	}
	if withReport {
		judged := c.run(b, &drafted.Request, report.Options{})
		if problem := ingest.TooCostly(b.Err()); problem != nil {
			return draft.Draft{}, problem
		}
		drafted.Report = &judged
	}
	return drafted, nil
}
