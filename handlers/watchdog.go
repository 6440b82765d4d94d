package handlers

import (
	"context"
	"sync"
	"time"

	"go.uber.org/zap"
)

// watchdog knows which documents are being judged, and tells of those that take longer than any may. Each document has a
// budget of time and work; one that outlasts it twice shows a loop that asks for neither, which is a mistake of ours.
type watchdog struct {
	patience time.Duration
	log      *zap.Logger
	overdue  func(int) // told how many documents are overdue
	slots    int

	mutex   sync.Mutex
	judging map[*slot]watched
}

// watched is one document that is being judged.
type watched struct {
	since     time.Time
	route     string
	requestID string
	told      bool
}

func newWatchdog(limits Limits, log *zap.Logger, overdue func(int)) *watchdog {
	const times = 2 // of the time that a document has
	return &watchdog{
		patience: times * limits.DocumentTime, log: log, overdue: overdue, slots: limits.Concurrency, judging: map[*slot]watched{},
	}
}

// enter and leave bracket the judging of a document.
func (w *watchdog) enter(h *slot) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.judging[h] = watched{since: time.Now(), route: h.route, requestID: h.requestID}
}

func (w *watchdog) leave(h *slot) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	delete(w.judging, h)
}

// look counts the overdue documents, and logs each of them once.
func (w *watchdog) look(now time.Time) int {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	overdue := 0
	for held, each := range w.judging {
		taken := now.Sub(each.since)
		if taken <= w.patience {
			continue
		}
		overdue++
		if each.told {
			continue
		}
		each.told = true
		w.judging[held] = each
		w.log.Error("a document outlasts its time and keeps its slot",
			zap.String("route", each.route), zap.String("request_id", each.requestID), zap.Duration("taken", taken))
	}
	w.overdue(overdue)
	return overdue
}

// stuck tells whether every slot is taken by an overdue document, so that no other will ever be judged.
func (w *watchdog) stuck(now time.Time) bool { return w.look(now) >= w.slots }

// watch looks every second until the context ends.
func (w *watchdog) watch(ctx context.Context) {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	for {
		select {
		case now := <-tick.C:
			w.look(now)
		case <-ctx.Done():
			return
		}
	}
}
