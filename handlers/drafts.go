package handlers

import (
	"github.com/labstack/echo/v4"

	"jarwright/validate/budget"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
)

// Drafter writes the request that a published recipe says, and reports on it when asked. The second result is non-nil when
// the bytes hold no recipe. page says that they are a web page; otherwise they are JSON-LD.
type Drafter interface {
	Draft(b *budget.Budget, body []byte, page, withReport bool) (draft.Draft, *ingest.Problem)
}

// draftBodies are the media types of published recipes.
func draftBodies() []bodyKind {
	return []bodyKind{
		{mediaType: mediaLinked, most: draft.MaxJSONBytes},
		{mediaType: mediaJSON, most: draft.MaxJSONBytes},
		{mediaType: mediaHTML, most: draft.MaxPageBytes},
		{mediaType: mediaNDJSON},
	}
}

// createDraft answers with the draft of one published recipe, or of one a line.
func (s *Server) createDraft(c echo.Context) error {
	withReport, err := reportWanted(c)
	if err != nil {
		return err
	}
	kind, err := bodyKindOf(c, draftBodies())
	if err != nil {
		return err
	}
	if kind.mediaType == mediaNDJSON {
		if _, err := negotiated(c, mediaNDJSON); err != nil {
			return err
		}
		return s.stream(c, func(b *budget.Budget, document []byte) (lineAnswer, *ingest.Problem) {
			drafted, problem := s.drafter.Draft(b, document, false, withReport)
			return lineAnswer{Draft: drafted}, problem
		})
	}
	mediaType, err := negotiated(c, mediaJSON)
	if err != nil {
		return err
	}
	document, err := readBody(c, kind.most)
	if err != nil {
		return err
	}
	b := s.budgetOf(c)
	drafted, problem := s.drafter.Draft(b, document, kind.mediaType == mediaHTML, withReport)
	if problem != nil {
		return fromIngest(problem)
	}
	body, err := encodeWithin(b, drafted)
	if err != nil {
		return err
	}
	return writePrivate(c, mediaType, body)
}

// reportWanted reads the query parameter report.
func reportWanted(c echo.Context) (bool, error) {
	switch value := c.QueryParam("report"); value {
	case "", "false":
		return false, nil
	case "true":
		return true, nil
	default:
		return false, &failure{kind: kindUnknownParameter, detail: "report takes true or false.", errors: []ProblemError{{
			Parameter: "report", Code: "not_allowed", Detail: "This is neither true nor false.",
			Params: &ingest.Params{Got: shortened(value), Allowed: []string{"true", "false"}},
		}}, total: 1}
	}
}
