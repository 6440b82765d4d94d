package handlers

import (
	"sync"
	"time"
)

// pace tells how far a client is behind the least rate. Only the time counts in which the service waits for the client, not the
// time in which the client waits for the service. Speed is not saved up: who was quick has no right to be idle.
type pace struct {
	least int // bytes a second; set once

	mutex sync.Mutex
	since time.Time     // when the service began to wait; zero while it does not
	late  time.Duration // how far behind the client was then
}

// wait begins to count time.
func (p *pace) wait(now time.Time) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	p.since = now
}

// moved ends what wait has begun: so many bytes came or went.
func (p *pace) moved(now time.Time, bytes int) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	p.late = max(0, p.at(now)-p.worth(bytes))
	p.since = time.Time{}
}

// behind is how much longer the client has taken than it would have at the least rate.
func (p *pace) behind(now time.Time) time.Duration {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return p.at(now)
}

// restart forgets everything, for the next request of a connection.
func (p *pace) restart() {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	p.since, p.late = time.Time{}, 0
}

func (p *pace) at(now time.Time) time.Duration {
	if p.since.IsZero() {
		return p.late
	}
	return p.late + now.Sub(p.since)
}

// worth is how long so many bytes take at the least rate.
func (p *pace) worth(bytes int) time.Duration {
	return time.Duration(float64(bytes) / float64(p.least) * float64(time.Second))
}
