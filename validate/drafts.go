package validate

import (
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// Draft reads a recipe as it was published and, when asked, reports on the request it becomes. The second result is non-nil
// when there is no recipe in the body. page says that the body is a web page; otherwise it is JSON-LD.
func (c *Checker) Draft(body []byte, page, withReport bool) (draft.Draft, *ingest.Problem) {
	read := c.drafts.JSON
	if page {
		read = c.drafts.HTML
	}
	drafted, problem := read(body)
	if problem != nil {
		return draft.Draft{}, problem
	}
	if withReport {
		judged := c.Run(&drafted.Request, report.Options{})
		drafted.Report = &judged
	}
	return drafted, nil
}
