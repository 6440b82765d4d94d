package handlers

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"
)

// Names of header fields that echo has none for.
const (
	headerOriginAgentCluster = "Origin-Agent-Cluster"
	headerResourcePolicy     = "Cross-Origin-Resource-Policy"
)

// nothingToRun keeps a browser that is led to an answer that is no page from running, loading or framing anything.
const nothingToRun = "default-src 'none'; frame-ancestors 'none'"

// allowingOrigins lets pages of some origins, or of any, call the service and read its answers, failures included. It answers
// preflight requests by itself, so that the page sees the real answer to the real one. The service never reads cookies, and
// asks for no credentials that a browser would add by itself.
func (s *Server) allowingOrigins(next echo.HandlerFunc) echo.HandlerFunc {
	anyOrigin := slices.Contains(s.origins, "*")
	return func(c echo.Context) error {
		header, request := c.Response().Header(), c.Request()
		allowed := anyOrigin
		if anyOrigin {
			header.Set(echo.HeaderAccessControlAllowOrigin, "*")
		} else {
			header.Add(echo.HeaderVary, echo.HeaderOrigin)
			origin := request.Header.Get(echo.HeaderOrigin)
			if allowed = slices.Contains(s.origins, origin); allowed {
				header.Set(echo.HeaderAccessControlAllowOrigin, origin)
			}
		}
		if allowed {
			header.Set(echo.HeaderAccessControlExposeHeaders,
				"ETag, X-Request-Id, Retry-After, RateLimit, RateLimit-Policy, Link, Allow, Accept-Post, WWW-Authenticate")
		}
		if request.Method == http.MethodOptions && request.Header.Get(echo.HeaderAccessControlRequestMethod) != "" {
			if allowed {
				header.Set(echo.HeaderAccessControlAllowMethods, "GET, HEAD, POST, OPTIONS")
				header.Set(echo.HeaderAccessControlAllowHeaders,
					"Authorization, Content-Encoding, Content-Type, If-None-Match, Traceparent, X-Request-Id")
				header.Set(echo.HeaderAccessControlMaxAge, "86400")
			}
			return c.NoContent(http.StatusNoContent)
		}
		return next(c)
	}
}

// securing adds what a browser is told about every answer. The service speaks plain HTTP behind whatever ends TLS, and so
// leaves Strict-Transport-Security to that.
func securing(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		header := c.Response().Header()
		header.Set(echo.HeaderXContentTypeOptions, "nosniff")
		header.Set(echo.HeaderXFrameOptions, "DENY")
		header.Set(echo.HeaderReferrerPolicy, "no-referrer")
		header.Set(headerOriginAgentCluster, "?1")
		header.Set(headerResourcePolicy, "cross-origin")
		c.Response().Before(func() {
			policy := nothingToRun
			if strings.HasPrefix(header.Get(echo.HeaderContentType), mediaHTML) {
				policy = contentPolicy
			}
			header.Set(echo.HeaderContentSecurityPolicy, policy)
		})
		return next(c)
	}
}

// stripping takes the base path from the path of a request. What is outside of it is not found, but for the two checks of a
// supervisor, who does not come through the proxy that adds it.
func (s *Server) stripping(next echo.HandlerFunc) echo.HandlerFunc {
	if s.basePath == "" {
		return next
	}
	return func(c echo.Context) error {
		address := c.Request().URL
		path, inside := strings.CutPrefix(address.Path, s.basePath)
		switch {
		case inside && path == "":
			path = "/"
		case inside && path[0] == '/':
		case address.Path == "/healthz" || address.Path == "/readyz":
			return next(c)
		default:
			return &failure{kind: kindNotFound}
		}
		address.Path = path
		if address.RawPath != "" {
			// The base path itself is never escaped, see Config.
			address.RawPath = strings.TrimPrefix(address.RawPath, s.basePath)
		}
		return next(c)
	}
}

// publicPath is the path below which clients reach the service, without a slash at its end.
func (s *Server) publicPath() string {
	parsed, err := url.Parse(s.baseURL)
	if err != nil {
		return ""
	}
	return strings.TrimSuffix(parsed.Path, "/")
}

// linkContract says where the contract is (RFC 8631).
func (s *Server) linkContract(c echo.Context) {
	for _, each := range []string{"json", "yaml"} {
		c.Response().Header().Add("Link", `<`+s.publicPath()+`/openapi.`+each+`>; rel="service-desc"; type="application/`+each+`"`)
	}
}

// rootedAttribute finds the addresses in a page that begin at the root of the server. What comes from a request has no quotation
// mark in a page, so that it is never taken for one.
var rootedAttribute = regexp.MustCompile(` (href|src|action)="/`)

// relocatedPage gives a page the path below which clients reach the service.
func relocatedPage(page []byte, path string) []byte {
	if path == "" {
		return page
	}
	return rootedAttribute.ReplaceAll(page, []byte(` $1="`+path+`/`))
}

// relocated gives both forms of the OpenAPI document the path below which clients reach the operations.
func (s *Server) relocated(asJSON, asYAML []byte) (newJSON, newYAML []byte, err error) {
	path := s.publicPath()
	if path == "" {
		return asJSON, asYAML, nil
	}
	for _, each := range []struct {
		text     *[]byte
		old, new string
	}{
		{&asJSON, `"url": "/"`, `"url": "` + path + `"`},
		{&asYAML, "\n  - url: /\n", "\n  - url: " + path + "\n"},
	} {
		if n := bytes.Count(*each.text, []byte(each.old)); n != 1 {
			return nil, nil, fmt.Errorf("the OpenAPI document names its server %d times", n)
		}
		*each.text = bytes.Replace(*each.text, []byte(each.old), []byte(each.new), 1)
	}
	return asJSON, asYAML, nil
}
