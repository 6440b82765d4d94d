package report

import (
	"fmt"
	"io"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	jsonv1 "github.com/go-json-experiment/json/v1"
)

// encoding is how every answer is written. Members that are left out when empty are so for zero numbers too; the line ends
// U+2028 and U+2029 are escaped, for those who put an answer into a script; what a client sent in broken UTF-8 is repaired.
var encoding = json.JoinOptions(
	json.Deterministic(true), jsonv1.OmitEmptyWithLegacySemantics(true), jsontext.EscapeForJS(true), jsontext.AllowInvalidUTF8(true),
)

// Encode writes a value as every answer is written: JSON in one line that ends with a line feed, for terminals and streams.
// After an error there may be part of it.
func Encode(w io.Writer, value any) error {
	if err := json.MarshalWrite(w, value, encoding); err != nil {
		return fmt.Errorf("encode JSON: %w", err)
	}
	if _, err := w.Write([]byte("\n")); err != nil {
		return fmt.Errorf("encode JSON: %w", err)
	}
	return nil
}
