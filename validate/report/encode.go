package report

import (
	"encoding/json"
	"fmt"
	"io"
)

// Encode writes a value as every answer is written: JSON in one line that ends with a line feed, for terminals and streams.
// "<" stays readable, since no answer is put into a page unescaped.
func Encode(w io.Writer, value any) error {
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		return fmt.Errorf("encode JSON: %w", err)
	}
	return nil
}
