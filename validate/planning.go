package validate

import (
	"jarwright/validate/card"
	"jarwright/validate/document"
	"jarwright/validate/ingest"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

// Plan reads one plan request and makes the plan. The second result is non-nil when the bytes are not such a request or
// its target cannot be reached.
func (c *Checker) Plan(body []byte) (plan.Plan, *ingest.Problem) {
	request, problem := c.reader.Plan(body)
	if problem == nil {
		asked := request.Request()
		problem = c.names(&asked)
	}
	if problem != nil {
		return plan.Plan{}, problem
	}
	made, errors := c.planner.Plan(&request)
	if len(errors) > 0 {
		return plan.Plan{}, ingest.Invalid(errors)
	}
	return made, nil
}

// Card reads one card request and writes the card. The second result is non-nil when the bytes are not such a request.
func (c *Checker) Card(body []byte) (card.Card, *ingest.Problem) {
	request, problem := c.reader.Card(body)
	if problem == nil {
		asked := request.Request()
		problem = c.names(&asked)
	}
	if problem != nil {
		return card.Card{}, problem
	}
	return c.cards.Write(&request), nil
}

// judgePlainly is the judge for whoever only needs the answer.
func (c *Checker) judgePlainly(request *document.Request) report.Report {
	return c.Run(request, report.Options{})
}
