package handlers

import (
	"net/netip"
	"slices"
	"sync"
	"testing"
	"time"
)

func clientAt(last byte) netip.Prefix {
	return netip.PrefixFrom(netip.AddrFrom4([4]byte{192, 0, 2, last}), 32)
}

// Somebody who sends once waits for one other request, not for all of those that another client has sent before.
func TestClientsTakeTurns(t *testing.T) {
	places := newTurns(1)
	places.enter(clientAt(1), 0)
	order := make(chan byte, 20)
	var all sync.WaitGroup
	ask := func(client byte) {
		before := waitingFor(places)
		all.Go(func() {
			places.enter(clientAt(client), 0)
			order <- client
			places.leave()
		})
		for waitingFor(places) == before {
			time.Sleep(time.Millisecond)
		}
	}
	for range 5 {
		ask(1)
	}
	ask(2)
	ask(3)
	ask(2)
	places.leave()
	all.Wait()
	close(order)
	var got []byte
	for client := range order {
		got = append(got, client)
	}
	if want := []byte{1, 2, 3, 1, 2, 1, 1, 1}; !slices.Equal(got, want) {
		t.Errorf("the turns were %v, want %v", got, want)
	}
	if places.free != 1 || len(places.clients) != 0 || places.next.Len() != 0 {
		t.Errorf("afterwards %+v", places)
	}
}

func waitingFor(t *turns) int {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	n := 0
	for _, own := range t.clients {
		n += own.waiting.Len()
	}
	return n
}

// Who has lost patience is not waited for, and leaves nothing behind.
func TestTurnsLoseNoPlace(t *testing.T) {
	places := newTurns(2)
	var all sync.WaitGroup
	var mutex sync.Mutex
	inside, most, got := 0, 0, 0
	for i := range 200 {
		all.Go(func() {
			if !places.enter(clientAt(byte(i%7)), time.Duration(1+i%5)*time.Millisecond) {
				return
			}
			mutex.Lock()
			inside++
			got++
			most = max(most, inside)
			mutex.Unlock()
			time.Sleep(200 * time.Microsecond)
			mutex.Lock()
			inside--
			mutex.Unlock()
			places.leave()
		})
	}
	all.Wait()
	if most > 2 || got == 0 || places.free != 2 || len(places.clients) != 0 || places.next.Len() != 0 {
		t.Errorf("%d at a time of %d, afterwards %+v", most, got, places)
	}
}
