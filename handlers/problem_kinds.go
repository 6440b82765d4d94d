package handlers

import (
	"net/http"
	"slices"

	"jarwright/validate/ingest"
)

// problemKind is one kind of problem: its name, its status and what to do about it.
type problemKind struct {
	Code    string `json:"code"`
	Title   string `json:"title"`
	Status  int    `json:"status"`
	Meaning string `json:"meaning"`
	Remedy  string `json:"remedy"`
}

// The kinds of problems: the one place where a code meets its HTTP status. What stands below this package says codes only.
var (
	kindUnknownParameter = problemKind{
		Code: "unknown_query_parameter", Title: "The query string cannot be used.", Status: http.StatusBadRequest,
		Meaning: "The query string holds a parameter that the operation does not know, lacks one that it needs, " +
			"has a value that it cannot use, or is not well formed.",
		Remedy: "Put right each parameter named in errors; the API document lists those that the operation takes.",
	}
	kindNotFound = problemKind{
		Code: "not_found", Title: "There is nothing at this address.", Status: http.StatusNotFound,
		Meaning: "No resource has this path, or the table has no row of this id.",
		Remedy:  "List the resources with GET /, or the ids of a table with GET on the table.",
	}
	kindMethodNotAllowed = problemKind{
		Code: "method_not_allowed", Title: "The address does not take this method.", Status: http.StatusMethodNotAllowed,
		Meaning: "The path exists, but not with the method of the request.",
		Remedy:  "Use one of the methods in the Allow header.",
	}
	kindNotAcceptable = problemKind{
		Code: "not_acceptable", Title: "The answer is not offered in a form that was asked for.", Status: http.StatusNotAcceptable,
		Meaning: "The Accept header excludes every media type that the resource is offered in.",
		Remedy:  "Ask for one of the media types listed in errors, or send Accept: */*.",
	}
	kindTooLarge = problemKind{
		Code: ingest.ProblemTooLarge, Title: "The body is too large.", Status: http.StatusRequestEntityTooLarge,
		Meaning: "The request body is longer than the service reads.",
		Remedy:  "Send one recipe a request; errors say how long a body may be.",
	}
	kindUnsupportedMediaType = problemKind{
		Code: "unsupported_media_type", Title: "The body is not sent as JSON.", Status: http.StatusUnsupportedMediaType,
		Meaning: "The Content-Type is missing or is not application/json, or the body is compressed with something else than gzip.",
		Remedy:  "Send a body as it is, or compressed with gzip, with Content-Type: application/json.",
	}
	kindBodyUnreadable = problemKind{
		Code: "body_unreadable", Title: "The body did not arrive whole.", Status: http.StatusBadRequest,
		Meaning: "The connection ended, or took too long, before the whole body had arrived, or the body is not what Content-Encoding says.",
		Remedy:  "Send the request again; check that Content-Length is the length of the body in bytes as it is sent.",
	}
	kindRequestTimeout = problemKind{
		Code: "request_timeout", Title: "The client was too slow.", Status: http.StatusRequestTimeout,
		Meaning: "The service waited for the client, which sent the body, or took the answers of a stream, more slowly than the least rate. " +
			"While the service has room, only a body without a pause of several seconds is asked for; others who wait come before who is slow.",
		Remedy: "Send the request again, and what belongs to it without long pauses. Close streams while there is nothing to send.",
	}
	kindAnswerLimit = problemKind{
		Code: "answer_limit", Title: "The stream has had all the answers that its length allows.", Status: http.StatusRequestEntityTooLarge,
		Meaning: "The answers to a body of a document a line may be so many times as long as the body, and those to lines that are no JSON " +
			"much less. The stream ends with the line after which there would have been more.",
		Remedy: "Leave out blank lines and what is no JSON; send the lines that were not answered in another request.",
	}
	kindMalformed = problemKind{
		Code: ingest.ProblemMalformed, Title: "The body could not be read as JSON.", Status: http.StatusBadRequest,
		Meaning: "The body is not one JSON value in UTF-8, names a member twice, nests too deep, or holds a number that is too large.",
		Remedy:  "Correct what writes the JSON; errors say where the first trouble is.",
	}
	kindInvalid = problemKind{
		Code: ingest.ProblemInvalid, Title: "The document is not a valid request.", Status: http.StatusUnprocessableEntity,
		Meaning: "The body is JSON but not a document as its schema has it, so no rule could be applied.",
		Remedy:  "Correct each place in errors; the schema is at /schemas/request.schema.json.",
	}
	kindTooCostly = problemKind{
		Code: ingest.ProblemTooCostly, Title: "The document costs too much.", Status: http.StatusUnprocessableEntity,
		Meaning: "The document asks for more work, memory or answer than one document may. No recipe that a kitchen could follow does.",
		Remedy:  "Send less at a time: one recipe a document, short texts, one day's plan.",
	}
	kindTimeUp = problemKind{
		Code: ingest.ProblemTimeUp, Title: "The document took too long.", Status: http.StatusServiceUnavailable,
		Meaning: "The time that one document has was over before there was an answer, because the service has too much to do.",
		Remedy:  "Try again after the number of seconds in the Retry-After header.",
	}
	kindNotFit = problemKind{
		Code: "not_fit_for_shelf", Title: "The recipe is not fit for the shelf.", Status: http.StatusUnprocessableEntity,
		Meaning: "The request asked for a card of a recipe that is fit for the shelf (require=shelf), and this one is not.",
		Remedy:  "Put right what the errors name, or ask without require for a card that says so at its top.",
	}
	kindInternal = problemKind{
		Code: "internal", Title: "The service failed.", Status: http.StatusInternalServerError,
		Meaning: "Something went wrong inside the service; the request may be right.",
		Remedy:  "Try again, and pass on the request id if it happens again.",
	}
	kindUnauthorized = problemKind{
		Code: "unauthorized", Title: "The operation asks for a key.", Status: http.StatusUnauthorized,
		Meaning: "Whoever runs this service opens it to those who have a key, and the request has none that is known.",
		Remedy:  "Send Authorization: Bearer and the key. Ask whoever runs the service for one.",
	}
	kindTooManyRequests = problemKind{
		Code: "too_many_requests", Title: "Too many requests from one client.", Status: http.StatusTooManyRequests,
		Meaning: "The client has made as many requests as it may for now.",
		Remedy:  "Try again after the number of seconds in the Retry-After header; the RateLimit header says what is left.",
	}
	kindOverloaded = problemKind{
		Code: "overloaded", Title: "The service has more to do than it can.", Status: http.StatusServiceUnavailable,
		Meaning: "Other requests have taken all that the service has for the moment. Nothing is wrong with this one.",
		Remedy:  "Try again after the number of seconds in the Retry-After header.",
	}
	kindNotReady = problemKind{
		Code: "not_ready", Title: "The service is not taking requests.", Status: http.StatusServiceUnavailable,
		Meaning: "The service is starting or stopping.",
		Remedy:  "Try again after the number of seconds in the Retry-After header.",
	}
)

// problemKinds lists every kind of problem, in the order of their statuses.
func problemKinds() []problemKind {
	return []problemKind{
		kindUnknownParameter, kindBodyUnreadable, kindMalformed, kindUnauthorized, kindNotFound, kindMethodNotAllowed,
		kindNotAcceptable, kindRequestTimeout, kindTooLarge, kindAnswerLimit, kindUnsupportedMediaType, kindInvalid, kindTooCostly, kindNotFit,
		kindTooManyRequests, kindInternal, kindOverloaded, kindTimeUp, kindNotReady,
	}
}

// kindOf is the kind of a code that package ingest gives. A code without a kind is a mistake of ours, which a test rules out.
func kindOf(code string) problemKind {
	kinds := problemKinds()
	if at := slices.IndexFunc(kinds, func(kind problemKind) bool { return kind.Code == code }); at >= 0 {
		return kinds[at]
	}
	return kindInternal
}

// kindsByStatus turns the errors that the router itself makes into kinds; any other error is an internal one.
var kindsByStatus = map[int]problemKind{
	http.StatusNotFound:              kindNotFound,
	http.StatusMethodNotAllowed:      kindMethodNotAllowed,
	http.StatusRequestEntityTooLarge: kindTooLarge,
}
