package handlers

import (
	"container/list"
	"net/netip"
	"sync"
	"time"
)

// turns are the places in which documents are judged. Where all are taken, the clients who wait take turns, and each of them its own
// requests in their order: who sends many waits for itself.
type turns struct {
	mutex   sync.Mutex
	free    int // more than none only while nobody waits
	clients map[netip.Prefix]*line
	next    *list.List // of *line, whose turn is next first
}

// line is who waits of one client.
type line struct {
	client  netip.Prefix
	waiting *list.List // of *waiter, who came first first
	turn    *list.Element
}

// waiter is one request that waits for its turn.
type waiter struct{ given chan struct{} }

func newTurns(places int) *turns {
	return &turns{free: places, clients: map[netip.Prefix]*line{}, next: list.New()}
}

// enter waits for a place, as long as it takes where there is no patience, and says whether there was one in time. What it gives
// must be given back with leave.
func (t *turns) enter(client netip.Prefix, patience time.Duration) bool {
	t.mutex.Lock()
	if t.free > 0 {
		t.free--
		t.mutex.Unlock()
		return true
	}
	own, ok := t.clients[client]
	if !ok {
		own = &line{client: client, waiting: list.New()}
		own.turn = t.next.PushBack(own)
		t.clients[client] = own
	}
	w := &waiter{given: make(chan struct{})}
	place := own.waiting.PushBack(w)
	t.mutex.Unlock()
	if patience <= 0 {
		<-w.given
		return true
	}
	timeout := time.NewTimer(patience)
	defer timeout.Stop()
	select {
	case <-w.given:
		return true
	case <-timeout.C:
	}
	t.mutex.Lock()
	defer t.mutex.Unlock()
	select {
	case <-w.given: // meanwhile
		return true
	default:
	}
	own.waiting.Remove(place)
	t.drop(own)
	return false
}

// leave gives a place back, to whoever is next.
func (t *turns) leave() {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	front := t.next.Front()
	if front == nil {
		t.free++
		return
	}
	own := front.Value.(*line)
	first := own.waiting.Remove(own.waiting.Front()).(*waiter)
	t.next.MoveToBack(front)
	t.drop(own)
	close(first.given)
}

// drop forgets a client of whom nobody waits.
func (t *turns) drop(own *line) {
	if own.waiting.Len() == 0 {
		t.next.Remove(own.turn)
		delete(t.clients, own.client)
	}
}
