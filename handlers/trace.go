package handlers

import (
	"strings"

	"go.uber.org/zap"
)

// traceFields are the ids of a traceparent header field (W3C Trace Context, 3.2), by which the lines of several services about
// one request are brought together. There are none where the field is absent or not well formed.
func traceFields(traceparent string) []zap.Field {
	const length = 55 // 00-<32 digits>-<16 digits>-<2 digits>; a later version may have more after another hyphen
	if len(traceparent) < length || len(traceparent) > 256 {
		return nil
	}
	version, trace, parent, flags := traceparent[:2], traceparent[3:35], traceparent[36:52], traceparent[53:length]
	wellFormed := traceparent[2] == '-' && traceparent[35] == '-' && traceparent[52] == '-' &&
		lowerHex(version) && lowerHex(trace) && lowerHex(parent) && lowerHex(flags) &&
		version != "ff" && strings.Trim(trace, "0") != "" && strings.Trim(parent, "0") != "" &&
		(len(traceparent) == length || version != "00" && traceparent[length] == '-')
	if !wellFormed {
		return nil
	}
	return []zap.Field{zap.String("trace_id", trace), zap.String("parent_id", parent)}
}

func lowerHex(text string) bool {
	return strings.Trim(text, "0123456789abcdef") == ""
}
