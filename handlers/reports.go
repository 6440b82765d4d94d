package handlers

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"jarwright/validate/budget"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// includes are the values of the query parameter include.
var includes = []string{"derivation", "curves"}

// reportOptions reads include, a comma-separated list.
func reportOptions(c echo.Context) (report.Options, error) {
	var options report.Options
	for _, list := range c.QueryParams()["include"] {
		for name := range strings.SplitSeq(list, ",") {
			switch name {
			case "derivation":
				options.Derivation = true
			case "curves":
				options.Curves = true
			default:
				params := &ingest.Params{Got: shortened(name), Allowed: includes, Nearest: measure.NearestName(name, includes)}
				return options, &failure{kind: kindUnknownParameter, detail: "include takes derivation and curves, parted by a comma.", errors: []ProblemError{{
					Parameter: "include", Code: "not_allowed", Detail: "This is nothing a report can include.", Params: params,
				}}, total: 1}
			}
		}
	}
	return options, nil
}

// reportBodies are the media types of request documents.
func reportBodies() []bodyKind {
	return []bodyKind{{mediaType: mediaJSON, most: ingest.MaxBytes}, {mediaType: mediaNDJSON}}
}

// createReports answers a request document a line with a report a line.
func (s *Server) createReports(c echo.Context) error {
	if _, err := negotiated(c, mediaNDJSON); err != nil {
		return err
	}
	options, err := reportOptions(c)
	if err != nil {
		return err
	}
	return s.stream(c, func(b *budget.Budget, document []byte) (lineAnswer, *ingest.Problem) {
		judged, problem := s.reporter.Check(b, document, options)
		return lineAnswer{Report: judged}, problem
	})
}

// createReport answers with the report on one request document. A recipe that fails is still a success of the request.
func (s *Server) createReport(c echo.Context) error {
	kind, err := bodyKindOf(c, reportBodies())
	if err == nil && kind.mediaType == mediaNDJSON {
		return s.createReports(c)
	}
	unreadable := err
	formats := report.Formats()
	offers := make([]string, len(formats))
	for i := range formats {
		offers[i] = formats[i].MediaType
	}
	mediaType, err := negotiated(c, offers...)
	if err != nil {
		return err
	}
	options, err := reportOptions(c)
	if err != nil {
		return err
	}
	if unreadable != nil {
		return unreadable
	}
	document, err := readBody(c, kind.most)
	if err != nil {
		return err
	}
	format := formats[slices.Index(offers, mediaType)]
	if format.Name == report.FormatHTML {
		return s.reportPage(c, document, options)
	}
	b := s.budgetOf(c)
	judged, problem := s.reporter.Check(b, document, options)
	if problem != nil {
		return fromIngest(problem)
	}
	// Encoded before the status goes out, so that a failure can still become a 500.
	var body bytes.Buffer
	if err := format.Write(b.Writer(&body), judged); err != nil {
		return fmt.Errorf("write report as %s: %w", format.Name, err)
	}
	return writePrivate(c, mediaType, body.Bytes())
}

// reportPage answers with the report as a page, with the pictures that its figures allow.
func (s *Server) reportPage(c echo.Context, document []byte, options report.Options) error {
	b := s.budgetOf(c)
	judged, problem := s.reporter.Illustrate(b, document, options)
	if problem != nil {
		return fromIngest(problem)
	}
	var page bytes.Buffer
	if err := s.pages.writeReportHTML(b.Writer(&page), &judged); err != nil {
		return err
	}
	return writePrivate(c, mediaHTML, page.Bytes())
}
