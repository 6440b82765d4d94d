package handlers_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"testing"

	"jarwright/validate/altitude"
)

// The same kitchen in feet and in meters is the same kitchen.
func TestAltitudeHoldsTheContract(t *testing.T) {
	c := newContract(t)
	var places []altitude.Conditions
	for _, target := range []string{
		"/v1/altitude?elevation=5200&unit=ft",
		"/v1/altitude?elevation=1584.96&unit=m",
		"/v1/altitude?elevation=5.2e3&unit=ft&recipe=pickled-dilled-beans&boiling_point=201.2&boiling_unit=F",
		"/v1/altitude?elevation=-1500&unit=ft",
		"/v1/altitude?elevation=9144&unit=m",
	} {
		answer := c.hold(t, httptest.NewRequest(http.MethodGet, target, nil), "", true)
		if answer.Code != http.StatusOK {
			t.Fatalf("%s: status %d: %s", target, answer.Code, answer.Body)
		}
		var place altitude.Conditions
		if err := json.Unmarshal(answer.Body.Bytes(), &place); err != nil {
			t.Fatal(err)
		}
		places = append(places, place)
	}
	if places[0].BoilingPointC != places[1].BoilingPointC || places[0].ElevationM != 1584.96 || places[1].ElevationFt != 5200 {
		t.Errorf("feet %+v\nmeters %+v", places[0], places[1])
	}
	if p := places[2]; p.Recipe == nil || len(p.Recipe.Rows) != 1 || p.Thermometer == nil || p.Thermometer.ImpliedElevationM != 1795 {
		t.Errorf("%+v", p)
	}
}

// All that is wrong with a query is told at once.
func TestAltitudeTellsAllErrors(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	answer := call(server, http.MethodGet, "/v1/altitude?elevation=tall&recipe=none&boiling_point=1", "")
	problem := problemIn(t, answer)
	var got []string
	for _, e := range problem.Errors {
		got = append(got, e.Parameter+" "+e.Code)
	}
	want := []string{"elevation not_a_number", "unit missing_parameter", "recipe unknown_recipe", "boiling_unit missing_parameter"}
	if answer.Code != http.StatusBadRequest || len(got) != len(want) {
		t.Fatalf("status %d, %q, want %q", answer.Code, got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%q, want %q", got[i], want[i])
		}
	}
}

func TestAltitudeIsCached(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	const target = "/v1/altitude?elevation=5200&unit=ft"
	first := call(server, http.MethodGet, target, "")
	if again := call(server, http.MethodGet, target, "", "If-None-Match: "+first.Header().Get("ETag")); again.Code != http.StatusNotModified {
		t.Errorf("status %d", again.Code)
	}
}
