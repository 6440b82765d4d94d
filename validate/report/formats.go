package report

import (
	"io"
	"slices"
)

// Names of the forms in which a report is given, as the command line calls them.
const (
	FormatJSON     = "json"
	FormatText     = "text"
	FormatMarkdown = "markdown"
	FormatSARIF    = "sarif"
	FormatHTML     = "html"
)

// Format is one form in which a report is given.
type Format struct {
	Name      string                            // one of the Format constants
	MediaType string                            // as registered, without parameters
	Write     func(w io.Writer, r Report) error // nil for pages: package handlers has their templates, style sheet and pictures
}

// Formats are all forms in which a report is given, the preferred one first.
func Formats() []Format {
	return []Format{
		{Name: FormatJSON, MediaType: "application/json", Write: JSON},
		{Name: FormatText, MediaType: "text/plain", Write: Text},
		{Name: FormatMarkdown, MediaType: "text/markdown", Write: Markdown},
		{Name: FormatSARIF, MediaType: "application/sarif+json", Write: oneSARIF},
		{Name: FormatHTML, MediaType: "text/html"},
	}
}

// WrittenFormats are the forms that need nothing but the report.
func WrittenFormats() []Format {
	return slices.DeleteFunc(Formats(), func(format Format) bool { return format.Write == nil })
}

// JSON writes the report as it is.
func JSON(w io.Writer, r Report) error { return Encode(w, r) }

func oneSARIF(w io.Writer, r Report) error { return SARIF(w, []Judged{{Report: &r}}) }
