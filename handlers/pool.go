package handlers

import (
	"container/list"
	"math"
	"net/netip"
	"sync"
	"time"
)

// pool is something that there is only so much of and that clients share: connections, memory for large bodies, streams. While
// there is room everybody gets what is asked for, but no client so much that nothing is left for the next. When there is none,
// somebody who does nothing with what it holds gives way: a connection without a request, or a client that is behind the least
// rate. Who sends and takes as it should never has to.
type pool struct {
	capacity int64         // of all together
	share    int64         // the most that a client who is alone may have of it, in percent
	giveWay  time.Duration // how far behind the least rate a holder may be while others ask for what it has
	ownWay   time.Duration // the same, and less, where it is the client itself that asks for more than it should
	gaveWay  func()        // counts a holder that gave way

	mutex   sync.Mutex
	held    int64
	working []*holder
	waiting *list.List // the holders that have nothing to do, longest first
	clients map[netip.Prefix]*holding
}

// holding is what one client has of a pool.
type holding struct {
	held    int64
	holders int
	waiting *list.List
}

// holder is one connection, body or stream. All members but the first four belong to the pool.
type holder struct {
	client netip.Prefix
	many   bool                              // it stands for many clients, as a proxy does, and has no share of its own
	behind func(now time.Time) time.Duration // see pace
	end    func()                            // ends what it does with what it holds, without waiting for it

	held               int64
	at                 int           // in pool.working, while it does not wait
	inAll, inOwn       *list.Element // nil while it does not wait
	since              time.Time     // when it began to wait
	holds, madeToLeave bool
}

// outcome is what came of asking a pool.
type outcome int

// What can come of asking a pool.
const (
	taken     outcome = iota
	noRoom            // and nobody who could give way
	ownShare          // the client has as much as one may have, and uses it
	left              // the holder itself had to give way
	undecided         // somebody gave way, which may not be enough
)

func newPool(capacity int64, limits *Limits, gaveWay func()) *pool {
	return &pool{
		capacity: capacity, share: int64(limits.ClientShare), giveWay: limits.GiveWay, ownWay: limits.GiveWay / 8, gaveWay: gaveWay,
		waiting: list.New(), clients: map[netip.Prefix]*holding{},
	}
}

// take takes so much more for a holder, where somebody has to give way from whoever that is.
func (p *pool) take(h *holder, amount int64) outcome {
	for {
		result, victim := p.try(h, amount)
		if victim != nil {
			p.gaveWay()
			victim.end()
		}
		if result != undecided {
			return result
		}
	}
}

// askAgain is how often a pool without room is asked again.
const askAgain = 20 * time.Millisecond

// takeWithin does so for as long as it takes, up to a while.
func (p *pool) takeWithin(h *holder, amount int64, while time.Duration) outcome {
	for deadline := time.Now().Add(while); ; time.Sleep(askAgain) {
		if result := p.take(h, amount); result == taken || result == left || time.Now().After(deadline) {
			return result
		}
	}
}

// try takes what is asked for, or makes somebody give way for it, who is still to be ended, or neither.
func (p *pool) try(h *holder, amount int64) (outcome, *holder) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if h.madeToLeave {
		return left, nil
	}
	own := p.clients[h.client]
	if own == nil {
		own = &holding{waiting: list.New()}
		p.clients[h.client] = own
		defer func() { p.forget(h.client, own) }()
	}
	free, least := p.capacity-p.held-amount, int64(0)
	switch p.wish(h, own, amount) {
	case granted:
		p.add(h, own, amount)
		return taken, nil
	case tooMuch:
		least = math.MaxInt64
	case greedy:
		least = own.held + amount
	case full:
	}
	victim := p.victim(h, own, least)
	if victim == nil {
		if least > 0 {
			return ownShare, nil
		}
		return noRoom, nil
	}
	gained := victim.held
	p.remove(victim)
	victim.madeToLeave = true
	if victim.client == h.client && gained >= amount && free+gained >= 0 {
		p.clients[h.client] = own // where the victim was all that it had
		p.add(h, own, amount)
		return taken, victim
	}
	return undecided, victim
}

// wish is how a pool looks at what it is asked for.
type wish int

// What a pool may think of what it is asked for. The client makes room itself for what is too much; where it is only greedy, one that
// has as much may do so too; where the pool is full, anybody.
const (
	granted wish = iota
	tooMuch
	greedy
	full
)

// wish compares with the share of the client, and with what there is.
func (p *pool) wish(h *holder, own *holding, amount int64) wish {
	if p.capacity > 0 && p.held == h.held {
		return granted // who is alone here may have whatever it is, or it never could
	}
	wanted, free := own.held+amount, p.capacity-p.held-amount
	alone := own.holders == 0 || h.holds && own.holders == 1 // one of a kind is let to everybody
	bound := p.share < 100 && !h.many && !alone
	switch {
	case bound && wanted*100 > p.share*p.capacity:
		return tooMuch
	case free < 0:
		return full
	case bound && wanted*(100-p.share) > p.share*free && wanted*int64(len(p.clients)) > p.capacity:
		// The more is taken, the less one client may have, so that several greedy ones leave something too. An equal part is
		// let to everybody.
		return greedy
	}
	return granted
}

// victim finds who has to give way to a holder: whoever has had nothing to do for longest, else, of the clients who have most,
// whoever is furthest behind. It is one of its own client, or of a client that has at least so much, or has nothing to do. Who has
// only just come, and may be about to ask for something, comes last.
func (p *pool) victim(h *holder, own *holding, least int64) *holder {
	now := time.Now()
	longest := p.longestWaiting()
	if least == math.MaxInt64 {
		longest = own.longestWaiting()
	}
	if longest != nil && now.Sub(longest.since) > p.giveWay {
		return longest
	}
	var found *holder
	var most int64
	var furthest time.Duration
	for _, each := range p.working {
		has := p.clients[each.client].held
		if each == h || each.client != h.client && has < least {
			continue
		}
		patience, behind := p.giveWay, each.behind(now)
		if least > 0 && each.client == h.client {
			patience = p.ownWay
		}
		if behind > patience && (found == nil || has > most || has == most && behind > furthest) {
			found, most, furthest = each, has, behind
		}
	}
	if found == nil {
		return longest
	}
	return found
}

// longestWaiting is who has had nothing to do for longest of the client who has most: an idle connection that is closed may be
// about to be used, and should be one of many. It is nil where everybody has something to do.
func (p *pool) longestWaiting() *holder {
	var found *holder
	var most int64
	for _, each := range p.clients {
		longest := each.longestWaiting()
		if longest != nil && (found == nil || each.held > most || each.held == most && longest.since.Before(found.since)) {
			found, most = longest, each.held
		}
	}
	return found
}

func (h *holding) longestWaiting() *holder {
	front := h.waiting.Front()
	if front == nil {
		return nil
	}
	return front.Value.(*holder)
}

// spare makes whoever has had nothing to do for longest give way, for room that the pool does not know of. It says whether
// there was anybody.
func (p *pool) spare() bool {
	p.mutex.Lock()
	victim := p.longestWaiting()
	if victim == nil {
		p.mutex.Unlock()
		return false
	}
	p.remove(victim)
	victim.madeToLeave = true
	p.mutex.Unlock()
	p.gaveWay()
	victim.end()
	return true
}

// endLate makes all give way that are behind or have nothing to do, whether or not anybody asks for what they have.
func (p *pool) endLate() {
	var late []*holder
	p.mutex.Lock()
	now := time.Now()
	for _, each := range p.working {
		if each.behind(now) > p.giveWay {
			late = append(late, each)
		}
	}
	for each := p.waiting.Front(); each != nil; each = each.Next() {
		late = append(late, each.Value.(*holder))
	}
	for _, each := range late {
		p.remove(each)
		each.madeToLeave = true
	}
	p.mutex.Unlock()
	for _, each := range late {
		each.end()
	}
}

// release gives back all of it. It may be called again.
func (p *pool) release(h *holder) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	p.remove(h)
}

// rest says that a holder has nothing to do from now on.
func (p *pool) rest(h *holder) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if h.holds && h.inAll == nil {
		p.unlist(h)
		h.inAll, h.inOwn, h.since = p.waiting.PushBack(h), p.clients[h.client].waiting.PushBack(h), time.Now()
	}
}

// work says that a holder has something to do.
func (p *pool) work(h *holder) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if h.holds && h.inAll != nil {
		p.unlist(h)
		p.list(h)
	}
}

// list puts a holder among those that work.
func (p *pool) list(h *holder) {
	h.at = len(p.working)
	p.working = append(p.working, h)
}

// unlist takes a holder off the list that it is on.
func (p *pool) unlist(h *holder) {
	if h.inAll != nil {
		p.waiting.Remove(h.inAll)
		p.clients[h.client].waiting.Remove(h.inOwn)
		h.inAll, h.inOwn = nil, nil
		return
	}
	last := len(p.working) - 1
	p.working[h.at], p.working[last].at = p.working[last], h.at
	p.working[last] = nil
	p.working = p.working[:last]
}

func (p *pool) add(h *holder, own *holding, amount int64) {
	if !h.holds {
		h.holds = true
		own.holders++
		p.list(h)
	}
	h.held += amount
	p.held += amount
	own.held += amount
}

func (p *pool) remove(h *holder) {
	if !h.holds {
		return
	}
	p.unlist(h)
	own := p.clients[h.client]
	own.holders--
	own.held -= h.held
	p.held -= h.held
	h.held, h.holds = 0, false
	p.forget(h.client, own)
}

// forget drops a client that has nothing.
func (p *pool) forget(client netip.Prefix, own *holding) {
	if own.holders == 0 && p.clients[client] == own {
		delete(p.clients, client)
	}
}
