package document

import (
	"bytes"
	"fmt"

	"github.com/go-json-experiment/json"
)

// jarMeasures is the JSON of a jar that is described by its own measures.
type jarMeasures struct {
	Capacity       *Quantity `json:"capacity,omitempty"`
	InteriorHeight *Quantity `json:"interior_height,omitempty"`
	Mouth          *Quantity `json:"mouth,omitempty"`
}

// UnmarshalJSON reads a jar from either of its forms: text is an id or alias of the jar catalog, an object holds
// measures. It fails for anything else, null included, and for members the object does not have.
func (j *Jar) UnmarshalJSON(data []byte) error {
	data = bytes.TrimSpace(data)
	if len(data) > 0 && data[0] == '"' {
		var id string
		if err := json.Unmarshal(data, &id); err != nil {
			return fmt.Errorf("read jar id: %w", err)
		}
		*j = Jar{ID: id}
		return nil
	}
	if len(data) == 0 || data[0] != '{' {
		return fmt.Errorf("read jar: neither an id nor an object")
	}
	var measures jarMeasures
	if err := json.Unmarshal(data, &measures, json.RejectUnknownMembers(true)); err != nil {
		return fmt.Errorf("read jar measures: %w", err)
	}
	*j = Jar{Capacity: measures.Capacity, InteriorHeight: measures.InteriorHeight, Mouth: measures.Mouth}
	return nil
}

// MarshalJSON writes a jar as its id where it has one, otherwise as its measures.
func (j Jar) MarshalJSON() ([]byte, error) {
	if j.ID != "" {
		return json.Marshal(j.ID)
	}
	return json.Marshal(jarMeasures{Capacity: j.Capacity, InteriorHeight: j.InteriorHeight, Mouth: j.Mouth})
}
