package plan

import "time"

const (
	minutesPerHour = 60
	minutesPerDay  = 24 * minutesPerHour
)

// localTime is what the clock on the wall shows, and the offset as it was written, which is carried along.
type localTime struct {
	wall   time.Time // as if it were UTC
	offset string
}

const wallLayout = "2006-01-02T15:04"

// readLocalTime reads YYYY-MM-DDThh:mm with optional seconds, which are dropped, and an optional offset. It reports false
// for a day that does not exist.
func readLocalTime(text string) (localTime, bool) {
	if len(text) < len(wallLayout) {
		return localTime{}, false
	}
	wall, err := time.ParseInLocation(wallLayout, text[:len(wallLayout)], time.UTC)
	offset := text[len(wallLayout):]
	if len(offset) >= len(":00") && offset[0] == ':' {
		offset = offset[len(":00"):]
	}
	return localTime{wall, offset}, err == nil
}

// add is so many whole minutes later; parts of a minute are dropped.
func (t localTime) add(minutes float64) localTime {
	return localTime{t.wall.Add(time.Duration(minutes) * time.Minute), t.offset}
}

// day is the beginning of the day.
func (t localTime) day() time.Time {
	year, month, day := t.wall.Date()
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

func (t localTime) String() string { return t.wall.Format(wallLayout) + t.offset }
