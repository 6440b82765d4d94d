package ingest

import "fmt"

// Value reads body as one JSON value of any shape, for documents that follow somebody else's description: map[string]any,
// []any, string, float64, bool, nil. Broken JSON, repeated names, numbers out of range and too much depth are refused as in
// Request; limit is the most bytes that are read.
func Value(body []byte, limit int) (any, *Problem) {
	if len(body) > limit {
		return nil, TooLong(len(body), limit)
	}
	tree := readTreeOf(body, true)
	if len(tree.errors) > 0 {
		sortErrors(body, tree.errors)
		return nil, malformed(tree.errors, len(tree.errors)+tree.unlisted)
	}
	return tree.root, nil
}

// TooLong is the problem of a body of size bytes where no more than limit are read.
func TooLong(size, limit int) *Problem {
	most := float64(limit)
	return newProblem(ProblemTooLarge, "The body is too large.", []Error{{
		Code:   CodeBodyTooLarge,
		Detail: fmt.Sprintf("The body has %d bytes; at most %d are read.", size, limit),
		Params: &Params{Got: size, Limit: &most, Unit: "byte"},
	}}, 1)
}

// Unusable is the problem of a document that is well formed but is not what was asked for.
func Unusable(pointer, code, detail string) *Problem {
	return newProblem(ProblemInvalid, "The document is not a recipe that can be read.", []Error{{Pointer: pointer, Code: code, Detail: detail}}, 1)
}
