package handlers

import (
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

// serviceStatus is the body of the two checks that keep the service running.
type serviceStatus struct {
	Status string `json:"status"`
}

// getHealth says that the process answers; a supervisor restarts it when it does not.
func (s *Server) getHealth(c echo.Context) error {
	return s.writeStatus(c, "ok")
}

// getReadiness says whether requests should be sent here; it fails first when the service stops, and when no document can be
// judged any more.
func (s *Server) getReadiness(c echo.Context) error {
	if !s.ready.Load() || s.watchdog.stuck(time.Now()) {
		return &failure{kind: kindNotReady}
	}
	return s.writeStatus(c, "ready")
}

func (s *Server) writeStatus(c echo.Context, status string) error {
	mediaType, err := negotiated(c, mediaJSON)
	if err != nil {
		return err
	}
	body, err := encodeJSON(serviceStatus{Status: status})
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	return writeBody(c, http.StatusOK, mediaType, body)
}
