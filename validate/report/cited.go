package report

import (
	"slices"

	"jarwright/validate/catalog"
)

// AddCited adds the documents behind some citations to a list of documents, each once, in the order of first mention.
// Citations of documents that the bibliography does not have are passed over.
func AddCited(list []Cited, tables *catalog.Tables, citations ...catalog.Citation) []Cited {
	for _, citation := range citations {
		known := slices.ContainsFunc(list, func(have Cited) bool { return have.ID == citation.Source })
		if source, ok := tables.Source(citation.Source); ok && !known {
			list = append(list, Cited{ID: source.ID, Title: source.Title, Publisher: source.Publisher, Year: source.Year})
		}
	}
	return list
}
