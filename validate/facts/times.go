package facts

import (
	"time"

	"jarwright/validate/document"
)

// Times are the times of a request that rules on storage and on canning days compare.
type Times struct {
	AsOf    document.Period // when the question is asked
	HasAsOf bool            // it is asked with a date or a time
	Zone    *time.Location  // of the dates on labels; UTC when none is given
	Packed  document.Time   // when the jars were filled and closed, in that zone
}

// ReadTimes reads the times of a request.
func ReadTimes(request *document.Request) Times {
	t := Times{Zone: time.UTC}
	t.AsOf, t.HasAsOf = document.ParsePeriod(request.AsOf)
	if request.Batch == nil {
		return t
	}
	t.Zone = document.ParseZone(request.Batch.UTCOffset)
	if packed := document.ParseTime(request.Batch.PackedAt); packed.Known {
		t.Packed = document.KnownTime(packed.In(t.Zone))
	}
	return t
}
