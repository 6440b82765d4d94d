package handlers

import (
	"html/template"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/report"
)

// pageEscaper writes text as the templates do.
var pageEscaper = strings.NewReplacer("\x00", "\uFFFD", `"`, "&#34;", "&", "&amp;", "'", "&#39;", "+", "&#43;", "<", "&lt;", ">", "&gt;")

// findingsHTML writes findings as items of a list. A template takes ten times as long for each, and there may be thousands.
func findingsHTML(all []report.Finding) template.HTML {
	w := itemWriter{}
	for i := range all {
		w.finding(&all[i])
	}
	return template.HTML(w.String())
}

// itemWriter writes parts of a page: markup as it stands, text escaped.
type itemWriter struct{ strings.Builder }

func (w *itemWriter) text(text string) { _, _ = pageEscaper.WriteString(&w.Builder, text) } // a strings.Builder takes everything

func (w *itemWriter) finding(f *report.Finding) {
	class := string(f.Severity)
	if f.Outcome == report.Undetermined {
		class = "unknown"
	}
	w.WriteString(`<li class="finding is-` + class + "\">\n<p class=\"message\">")
	w.text(f.Message)
	w.WriteString("</p>\n<p><strong>Do:</strong> ")
	w.text(f.Remedy)
	w.WriteString("</p>\n<p class=\"small\"><strong>Why:</strong> ")
	w.text(f.Hazard.Words())
	w.WriteString(". <strong>Source:</strong> ")
	w.citations(f.Sources)
	w.WriteString(`. <strong>Rule:</strong> <a href="/docs/rules#`)
	w.text(f.Rule)
	w.WriteString(`">`)
	w.text(f.Rule)
	w.WriteString("</a>")
	if place := f.Place(); place != "" {
		w.WriteString(", at ")
		w.text(place)
	}
	w.WriteString(".</p>\n</li>\n")
}

func (w *itemWriter) citations(sources []catalog.Citation) {
	for i := range sources {
		if i > 0 {
			w.WriteString("; ")
		}
		w.WriteString(`<a href="/docs/sources#`)
		w.text(sources[i].Source)
		w.WriteString(`">`)
		w.text(sourceWords(sources[i]))
		w.WriteString("</a>")
		if sources[i].Locator != "" {
			w.WriteString(" (")
			w.text(sources[i].Locator)
			w.WriteString(")")
		}
	}
}

// sourceWords names the source of a citation without its place.
func sourceWords(c catalog.Citation) string {
	return report.CitationWords([]catalog.Citation{{Source: c.Source}})
}
