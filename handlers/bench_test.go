package handlers_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/labstack/echo/v4"
	"go.uber.org/zap"

	"jarwright/handlers"
	"jarwright/schemas"
	"jarwright/validate"
)

// benchmarked is the request document that the schema itself shows, about 1 kB.
func benchmarked(b *testing.B) []byte {
	b.Helper()
	text, err := schemas.Read(schemas.RequestName)
	if err != nil {
		b.Fatal(err)
	}
	var schema struct {
		Examples []json.RawMessage `json:"examples"`
	}
	if err := json.Unmarshal(text, &schema); err != nil {
		b.Fatal(err)
	}
	return schema.Examples[0]
}

func answer(b *testing.B, handler http.Handler, body []byte) {
	b.Helper()
	b.ReportAllocs()
	for b.Loop() {
		request := httptest.NewRequest(http.MethodPost, "/v1/reports", bytes.NewReader(body))
		request.Header.Set("Content-Type", "application/json")
		recorder := httptest.NewRecorder()
		handler.ServeHTTP(recorder, request)
		if recorder.Code != http.StatusOK {
			b.Fatalf("status %d: %s", recorder.Code, recorder.Body)
		}
	}
}

// BenchmarkReport answers with a report; BenchmarkBareHandler is what it is to be compared with in the same run.
func BenchmarkReport(b *testing.B) {
	checker, err := validate.New()
	if err != nil {
		b.Fatal(err)
	}
	server, err := handlers.New(handlers.Config{
		Reporter: checker, Workshop: checker, Catalogue: handlers.NewCatalogue(checker), BaseURL: baseURL, Version: "1", Logger: zap.NewNop(),
	})
	if err != nil {
		b.Fatal(err)
	}
	answer(b, server, benchmarked(b))
}

// BenchmarkBareHandler decodes the same body, checks it against the schema, and answers with nothing.
func BenchmarkBareHandler(b *testing.B) {
	schema, err := schemas.Compile(schemas.RequestName)
	if err != nil {
		b.Fatal(err)
	}
	bare := echo.New()
	bare.POST("/v1/reports", func(c echo.Context) error {
		body, err := io.ReadAll(c.Request().Body)
		if err != nil {
			return err
		}
		var value any
		if err := json.Unmarshal(body, &value); err != nil {
			return err
		}
		if err := schema.Validate(value); err != nil {
			return err
		}
		return c.NoContent(http.StatusOK)
	})
	answer(b, bare, benchmarked(b))
}
