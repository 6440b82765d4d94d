package validate

import (
	"jarwright/validate/budget"
	"jarwright/validate/card"
	"jarwright/validate/document"
	"jarwright/validate/ingest"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

// Plan reads one plan request and makes the plan. The second result is non-nil when the bytes are not such a request or
// its target cannot be reached.
func (c *Checker) Plan(b *budget.Budget, body []byte) (plan.Plan, *ingest.Problem) {
	request, problem := c.reader.Plan(b, body)
	if problem == nil {
		asked := request.Request()
		problem = c.names(&asked)
	}
	if problem != nil {
		return plan.Plan{}, problem
	}
	made, errors := c.planner.Plan(b, &request)
	if problem := ingest.TooCostly(b.Err()); problem != nil {
		return plan.Plan{}, problem
	}
	if len(errors) > 0 {
		return plan.Plan{}, ingest.Invalid(errors)
	}
	return made, nil
}

// Card reads one card request and writes the card. The second result is non-nil when the bytes are not such a request.
func (c *Checker) Card(b *budget.Budget, body []byte) (card.Card, *ingest.Problem) {
	request, problem := c.reader.Card(b, body)
	if problem == nil {
		asked := request.Request()
		problem = c.names(&asked)
	}
	if problem != nil {
		return card.Card{}, problem
	}
	written := c.cards.Write(b, &request)
	if problem := ingest.TooCostly(b.Err()); problem != nil {
		return card.Card{}, problem
	}
	return written, nil
}

// judgePlainly is the judge for whoever only needs the answer.
func (c *Checker) judgePlainly(b *budget.Budget, request *document.Request) report.Report {
	return c.run(b, request, report.Options{})
}
