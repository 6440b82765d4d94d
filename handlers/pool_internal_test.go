package handlers

import (
	"fmt"
	"net/netip"
	"slices"
	"testing"
	"time"
)

// sharing is a pool whose holders are named, with what they are behind.
type sharing struct {
	pool   *pool
	named  map[string]*holder
	behind map[string]time.Duration
	ended  []string
	left   int // counted as having given way
}

func newSharing(capacity int64, share int) *sharing {
	s := &sharing{named: map[string]*holder{}, behind: map[string]time.Duration{}}
	s.pool = newPool(capacity, &Limits{ClientShare: share, GiveWay: time.Second}, func() { s.left++ })
	return s
}

// take asks for so much for a holder of a client, which is the first letter of its name.
func (s *sharing) take(name string, amount int64) outcome {
	h, ok := s.named[name]
	if !ok {
		address := netip.AddrFrom4([4]byte{10, 0, 0, name[0]})
		h = &holder{
			client: netip.PrefixFrom(address, 32), many: name[0] == 'P',
			behind: func(time.Time) time.Duration { return s.behind[name] }, end: func() { s.ended = append(s.ended, name) },
		}
		s.named[name] = h
	}
	return s.pool.take(h, amount)
}

func TestPool(t *testing.T) {
	for _, test := range []struct {
		name     string
		capacity int64
		share    int
		do       func(*sharing) outcome
		want     outcome
		ended    []string
	}{
		{"room for all", 4, 75, func(s *sharing) outcome { s.take("a1", 1); s.take("b1", 1); return s.take("c1", 1) }, taken, nil},
		{"a client that is alone has its share", 4, 75, func(s *sharing) outcome { s.take("a1", 1); s.take("a2", 1); return s.take("a3", 1) }, taken, nil},
		{"and not all", 4, 75, func(s *sharing) outcome {
			s.take("a1", 1)
			s.take("a2", 1)
			s.take("a3", 1)
			return s.take("a4", 1)
		}, ownShare, nil},
		{"but all where the share is all", 2, 100, func(s *sharing) outcome { s.take("a1", 1); return s.take("a2", 1) }, taken, nil},
		{"a proxy has no share", 4, 25, func(s *sharing) outcome { s.take("P1", 1); s.take("P2", 1); s.take("P3", 1); return s.take("P4", 1) }, taken, nil},
		{"one is let to everybody", 2, 10, func(s *sharing) outcome { s.take("a1", 1); return s.take("b1", 1) }, taken, nil},
		{"the last is for somebody else", 4, 75, func(s *sharing) outcome {
			for _, each := range []string{"a1", "a2", "b1"} {
				s.take(each, 1)
			}
			return s.take("a3", 1)
		}, ownShare, nil},
		{"an equal part is let to everybody", 4, 75, func(s *sharing) outcome {
			for _, each := range []string{"a1", "b1", "b2"} {
				s.take(each, 1)
			}
			return s.take("a2", 1)
		}, taken, nil},
		{"who is greedy makes room at once where it may not wait", 4, 75, func(s *sharing) outcome {
			s.pool.ownWay, s.behind["a1"], s.behind["b1"] = 0, time.Millisecond, 500*time.Millisecond
			for _, each := range []string{"a1", "a2", "b1"} {
				s.take(each, 1)
			}
			return s.take("a3", 1)
		}, taken, []string{"a1"}},
		{"who is alone may have more than there is", 4, 75, func(s *sharing) outcome { s.take("a1", 1); return s.take("a1", 9) }, taken, nil},
		{"nobody who is quick gives way", 2, 75, func(s *sharing) outcome {
			s.behind["a1"], s.behind["b1"] = time.Second, 0
			s.take("a1", 1)
			s.take("b1", 1)
			return s.take("c1", 1)
		}, noRoom, nil},
		{"who is furthest behind gives way", 3, 75, func(s *sharing) outcome {
			s.behind["a1"], s.behind["b1"], s.behind["c1"] = 2*time.Second, 3*time.Second, 0
			s.take("a1", 1)
			s.take("b1", 1)
			s.take("c1", 1)
			return s.take("d1", 1)
		}, taken, []string{"b1"}},
		{"of the client who has most", 4, 75, func(s *sharing) outcome {
			s.behind["a1"], s.behind["b1"], s.behind["b2"] = 9*time.Second, 2*time.Second, 3*time.Second
			s.take("a1", 1)
			s.take("b1", 1)
			s.take("b2", 1)
			s.take("c1", 1)
			return s.take("d1", 1)
		}, taken, []string{"b2"}},
		{"of the client itself, when it has its share", 4, 50, func(s *sharing) outcome {
			s.behind["a1"], s.behind["b1"] = 2*time.Second, 9*time.Second
			s.take("a1", 1)
			s.take("a2", 1)
			s.take("b1", 1)
			return s.take("a3", 1)
		}, taken, []string{"a1"}},
		{"as many as it takes", 4, 75, func(s *sharing) outcome {
			s.behind["a1"], s.behind["b1"], s.behind["c1"] = 2*time.Second, 3*time.Second, 2*time.Second
			s.take("a1", 1)
			s.take("b1", 1)
			s.take("c1", 1)
			s.take("d1", 1)
			return s.take("e1", 2)
		}, taken, []string{"b1", "a1"}},
		{"who has to give way gets no more", 2, 75, func(s *sharing) outcome {
			s.behind["a1"] = 2 * time.Second
			s.take("a1", 1)
			s.take("b1", 1)
			s.take("c1", 1)
			return s.take("a1", 1)
		}, left, []string{"a1"}},
		{"who waits goes before who is slow, longest first", 3, 75, func(s *sharing) outcome {
			s.behind["a1"] = time.Hour
			s.take("a1", 1)
			s.take("b1", 1)
			s.take("c1", 1)
			s.pool.rest(s.named["c1"])
			s.pool.rest(s.named["b1"])
			s.named["c1"].since = time.Now().Add(-time.Minute)
			return s.take("d1", 1)
		}, taken, []string{"c1"}},
		{"who has only just come goes after who is slow", 2, 75, func(s *sharing) outcome {
			s.behind["a1"] = time.Hour
			s.take("a1", 1)
			s.take("b1", 1)
			s.pool.rest(s.named["b1"])
			return s.take("c1", 1)
		}, taken, []string{"a1"}},
		{"but before nobody at all", 2, 75, func(s *sharing) outcome {
			s.take("a1", 1)
			s.take("b1", 1)
			s.pool.rest(s.named["b1"])
			return s.take("c1", 1)
		}, taken, []string{"b1"}},
		{"who works again does not wait", 2, 75, func(s *sharing) outcome {
			s.take("a1", 1)
			s.take("b1", 1)
			s.pool.rest(s.named["b1"])
			s.pool.work(s.named["b1"])
			return s.take("c1", 1)
		}, noRoom, nil},
		{"what is given back is there again", 2, 75, func(s *sharing) outcome {
			s.take("a1", 1)
			s.take("b1", 1)
			s.pool.release(s.named["a1"])
			s.pool.release(s.named["a1"])
			return s.take("c1", 1)
		}, taken, nil},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := newSharing(test.capacity, test.share)
			if got := test.do(s); got != test.want {
				t.Errorf("outcome %d, want %d", got, test.want)
			}
			if !slices.Equal(s.ended, test.ended) || s.left != len(test.ended) {
				t.Errorf("%v gave way, want %v; %d counted", s.ended, test.ended, s.left)
			}
			for _, h := range s.named {
				s.pool.release(h)
			}
			if s.pool.held != 0 || len(s.pool.working)+s.pool.waiting.Len()+len(s.pool.clients) != 0 {
				t.Errorf("something is left: %+v", s.pool)
			}
		})
	}
}

// When the service stops, all that wait or are behind are ended, and nobody else.
func TestEndLate(t *testing.T) {
	s := newSharing(8, 100)
	for i := range 6 {
		name := fmt.Sprintf("a%d", i)
		s.behind[name] = time.Duration(i%2) * time.Minute
		s.take(name, 1)
	}
	s.pool.rest(s.named["a0"])
	s.pool.endLate()
	slices.Sort(s.ended)
	if want := []string{"a0", "a1", "a3", "a5"}; !slices.Equal(s.ended, want) || s.pool.held != 2 {
		t.Errorf("%v ended, want %v; %d held", s.ended, want, s.pool.held)
	}
}

func TestPace(t *testing.T) {
	begin := time.Unix(0, 0)
	at := func(seconds float64) time.Time { return begin.Add(time.Duration(seconds * float64(time.Second))) }
	for _, test := range []struct {
		name string
		do   func(*pace)
		at   float64
		want time.Duration
	}{
		{"nobody waits", func(*pace) {}, 100, 0},
		{"nothing came", func(p *pace) { p.wait(at(1)) }, 4, 3 * time.Second},
		{"half of the least rate", func(p *pace) { p.wait(at(0)); p.moved(at(2), 100) }, 9, time.Second},
		{"speed is not saved up", func(p *pace) { p.wait(at(0)); p.moved(at(1), 100_000); p.wait(at(2)) }, 4, 2 * time.Second},
		{"what is behind is made up for", func(p *pace) { p.wait(at(0)); p.moved(at(3), 100); p.wait(at(3)); p.moved(at(3), 150) }, 9, 500 * time.Millisecond},
		{"time between does not count", func(p *pace) { p.wait(at(0)); p.moved(at(1), 0); p.wait(at(50)) }, 51, 2 * time.Second},
		{"the next request begins anew", func(p *pace) { p.wait(at(0)); p.restart() }, 9, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			p := &pace{least: 100}
			test.do(p)
			if got := p.behind(at(test.at)); got != test.want {
				t.Errorf("%v behind, want %v", got, test.want)
			}
		})
	}
}
