package handlers

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"jarwright/validate/budget"
	"jarwright/validate/card"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

// Planner makes what goes with a recipe: the plan of the day and the card to publish. The second result is non-nil when
// the bytes are not a request document of the kind.
type Planner interface {
	Plan(b *budget.Budget, body []byte) (plan.Plan, *ingest.Problem)
	Card(b *budget.Budget, body []byte) (card.Card, *ingest.Problem)
}

// createPlan answers with the plan of a recipe and a target.
func (s *Server) createPlan(c echo.Context) error {
	mediaType, err := negotiated(c, mediaJSON)
	if err != nil {
		return err
	}
	document, err := readDocument(c)
	if err != nil {
		return err
	}
	b := s.budgetOf(c)
	made, problem := s.planner.Plan(b, document)
	if problem != nil {
		return fromIngest(problem)
	}
	body, err := encodeWithin(b, made)
	if err != nil {
		return err
	}
	return writePrivate(c, mediaType, body)
}

// cardFormat is one form that a card is offered in.
type cardFormat struct {
	mediaType string
	write     func(*Server, io.Writer, *card.Card) error
}

func cardFormats() []cardFormat {
	return []cardFormat{
		{mediaJSON, func(_ *Server, w io.Writer, c *card.Card) error { return report.Encode(w, c) }},
		{mediaLinked, func(_ *Server, w io.Writer, c *card.Card) error { return report.Encode(w, c.Linked()) }},
		{mediaHTML, func(s *Server, w io.Writer, c *card.Card) error { return s.pages.writeCardHTML(w, c) }},
		{mediaMarkdown, func(_ *Server, w io.Writer, c *card.Card) error { return c.Markdown(w) }},
	}
}

// requirements are the values of the query parameter require.
var requirements = []string{"shelf"}

// createCard answers with the card of a recipe.
func (s *Server) createCard(c echo.Context) error {
	formats := cardFormats()
	offers := make([]string, len(formats))
	for i, format := range formats {
		offers[i] = format.mediaType
	}
	mediaType, err := negotiated(c, offers...)
	if err != nil {
		return err
	}
	for _, required := range c.QueryParams()["require"] {
		if !slices.Contains(requirements, required) {
			params := &ingest.Params{Got: shortened(required), Allowed: requirements, Nearest: measure.NearestName(required, requirements)}
			return &failure{kind: kindUnknownParameter, detail: "require takes shelf.", errors: []ProblemError{{
				Parameter: "require", Code: "not_allowed", Detail: "This is nothing a card can be required to be.", Params: params,
			}}, total: 1}
		}
	}
	document, err := readDocument(c)
	if err != nil {
		return err
	}
	b := s.budgetOf(c)
	made, problem := s.planner.Card(b, document)
	if problem != nil {
		return fromIngest(problem)
	}
	if c.QueryParam("require") != "" && made.Disposition != report.Shelf {
		return notFit(&made)
	}
	var body bytes.Buffer
	for _, format := range formats {
		if format.mediaType != mediaType {
			continue
		}
		if err := format.write(s, b.Writer(&body), &made); err != nil {
			return fmt.Errorf("write card as %s: %w", mediaType, err)
		}
	}
	return writePrivate(c, mediaType, body.Bytes())
}

// notFit names what keeps a recipe from the shelf.
func notFit(made *card.Card) error {
	f := &failure{kind: kindNotFit, detail: made.Notice, total: len(made.Problems)}
	for _, found := range made.Problems {
		pointer := found.At
		f.errors = append(f.errors, ProblemError{Pointer: &pointer, Code: found.Rule, Detail: found.Message + " " + found.Remedy})
	}
	if len(f.errors) > ingest.MaxErrors {
		f.errors = f.errors[:ingest.MaxErrors]
	}
	if len(f.errors) == 0 { // a recipe for the refrigerator, in order as such
		keep := "/recipe/keep"
		f.errors = append(f.errors, ProblemError{Pointer: &keep, Code: "keeping.refrigerated-only", Detail: made.Notice})
	}
	return f
}

// writePrivate sends an answer that is made for one request and kept by nobody.
func writePrivate(c echo.Context, mediaType string, body []byte) error {
	if err := slotOf(c).reserveAnswer(len(body)); err != nil {
		return err
	}
	header := c.Response().Header()
	header.Set(echo.HeaderCacheControl, "no-store") // recipes may be private
	header.Set("Content-Language", "en")
	return writeBody(c, http.StatusOK, mediaType, body)
}
