package ingest

import "fmt"

// UnknownName is the error for a name that the schema lets through and no table holds. near may be empty, and allowed nil where the names are too many to list.
func UnknownName(pointer, got, near string, allowed []string, detail string) Error {
	if near != "" {
		detail += fmt.Sprintf(" Did you mean %q?", near)
	}
	return Error{Pointer: pointer, Code: CodeNotAllowed, Detail: detail, Params: &Params{Got: got, Allowed: allowed, Nearest: near}}
}

// Invalid is the Problem of a document that is well-formed and cannot be judged. The errors are in document order.
func Invalid(errors []Error) *Problem { return invalid(errors) }

// DuplicateID is the error of an entry that goes by the same name as another, which stands at the pointer other.
func DuplicateID(pointer, got, other, detail string) Error {
	return Error{Pointer: pointer, Code: CodeDuplicateID, Detail: fmt.Sprintf("%s See %s.", detail, other), Params: &Params{Got: got}}
}
