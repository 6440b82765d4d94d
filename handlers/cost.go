package handlers

import (
	"bytes"
	"context"
	"errors"

	"github.com/labstack/echo/v4"

	"jarwright/validate/budget"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// budgetOf is what the document of a request may cost. Its time runs from when it is first asked for, after the document has
// arrived and waited its turn.
func (s *Server) budgetOf(c echo.Context) *budget.Budget {
	held := slotOf(c)
	if held == nil {
		return nil
	}
	if held.budget == nil {
		held.budget, held.cancel = s.newBudget(c.Request().Context())
	}
	return held.budget
}

// newBudget is what one document may cost.
func (s *Server) newBudget(ctx context.Context) (*budget.Budget, context.CancelFunc) {
	ctx, cancel := context.WithTimeout(ctx, s.limits.DocumentTime)
	return budget.New(ctx, budget.DefaultLimits()), cancel
}

// encodeWithin encodes an answer as long as the budget lasts.
func encodeWithin(b *budget.Budget, answer any) ([]byte, error) {
	var body bytes.Buffer
	err := report.Encode(b.Writer(&body), answer)
	return body.Bytes(), err
}

// fromBudget is the failure of a request whose budget ended while its answer was written; nil for other errors.
func fromBudget(err error) *failure {
	var exceeded *budget.ExceededError
	if errors.As(err, &exceeded) || errors.Is(err, context.DeadlineExceeded) || errors.Is(err, context.Canceled) {
		return fromIngest(ingest.TooCostly(err))
	}
	return nil
}
