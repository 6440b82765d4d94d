package report

// Task is one thing to do. At and By are RFC 3339 date-times in UTC, or dates.
type Task struct {
	At   string   `json:"at,omitempty"` // not before; empty: at once
	By   string   `json:"by,omitempty"` // latest; empty: no limit is set
	What string   `json:"what"`
	Jars []string `json:"jars"`
}

// Batch is what holds for a batch whatever a jar shows of its own.
type Batch struct {
	Disposition Disposition `json:"disposition"` // the best that any jar can be
	Because     []string    `json:"because"`
}

// Jar is what becomes of one jar.
type Jar struct {
	ID          string      `json:"id"`
	Load        string      `json:"load,omitempty"` // of its last process
	Disposition Disposition `json:"disposition"`
	Because     []string    `json:"because"`      // ids of rules; for Shelf, of those that were met
	By          string      `json:"by,omitempty"` // RFC 3339 date-time in UTC
}

// Date is one date of a batch.
type Date struct {
	Name string   `json:"name"`
	At   string   `json:"at"` // RFC 3339 date, or date-time in UTC
	Text string   `json:"text"`
	Jars []string `json:"jars"`
}

// Label is the text of one label.
type Label struct {
	Jars  []string `json:"jars"`
	Lines []string `json:"lines"`
}
