package report_test

import (
	"bytes"
	"testing"

	"jarwright/validate/report"
)

func TestFormatsAreToldApartByNameAndMediaType(t *testing.T) {
	seen := map[string]bool{}
	for _, format := range report.Formats() {
		for _, key := range []string{format.Name, format.MediaType} {
			if seen[key] {
				t.Errorf("%s stands for two forms", key)
			}
			seen[key] = true
		}
	}
}

func TestWrittenFormatsNeedNothingButTheReport(t *testing.T) {
	formats := report.WrittenFormats()
	if len(formats) != len(report.Formats())-1 {
		t.Errorf("%d of %d forms are written here, want all but pages", len(formats), len(report.Formats()))
	}
	for _, format := range formats {
		t.Run(format.Name, func(t *testing.T) {
			var written bytes.Buffer
			if err := format.Write(&written, report.Report{Disposition: report.Hold}); err != nil || written.Len() == 0 {
				t.Errorf("wrote %d bytes, %v", written.Len(), err)
			}
		})
	}
}
