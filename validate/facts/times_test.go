package facts

import (
	"testing"
	"time"

	"jarwright/validate/document"
)

func TestReadTimes(t *testing.T) {
	read := ReadTimes(&document.Request{
		AsOf: "2026-08-16", Batch: &document.Batch{PackedAt: "2026-08-15T05:59:00Z", UTCOffset: "-06:00"},
	})
	if !read.HasAsOf || read.AsOf.To.Sub(read.AsOf.From) != 50*time.Hour-time.Millisecond {
		t.Errorf("asked from %s to %s", read.AsOf.From, read.AsOf.To)
	}
	if got := read.Packed.Format(time.RFC3339); !read.Packed.Known || got != "2026-08-14T23:59:00-06:00" {
		t.Errorf("packed at %s", got)
	}
	for name, request := range map[string]*document.Request{"no record": {}, "no times": {Batch: &document.Batch{}}} {
		t.Run(name, func(t *testing.T) {
			read := ReadTimes(request)
			if read.HasAsOf || read.Packed.Known || !read.Packed.IsZero() || read.Zone != time.UTC {
				t.Errorf("%+v", read)
			}
		})
	}
}
