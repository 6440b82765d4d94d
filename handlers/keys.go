package handlers

import (
	"bufio"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"strings"
	"sync/atomic"

	"github.com/labstack/echo/v4"
)

// Keys are the bearer keys that open the operations below /v1. They can be replaced while requests are answered. Only hashes
// are kept, so that a key is in no dump of the memory.
type Keys struct {
	list atomic.Pointer[[]key]
}

type key struct {
	name string
	hash [sha256.Size]byte
}

// Forms of the two words of a line: the name goes into logs, the key into a header (RFC 6750, 2.1).
var (
	keyNameForm = regexp.MustCompile(`^[A-Za-z0-9._-]{1,64}$`)
	keyForm     = regexp.MustCompile(`^[A-Za-z0-9._~+/-]{16,512}=*$`)
)

// Load replaces all keys with those of a list: a name and a key a line, parted by spaces. Empty lines and lines that begin
// with # are passed over. When there is an error, which tells of lines and never of keys, the keys stay as they are.
func (k *Keys) Load(from io.Reader) error {
	var (
		list    []key
		mistake []error
	)
	names := map[string]bool{}
	lines := bufio.NewScanner(from)
	for number := 1; lines.Scan(); number++ {
		words := strings.Fields(lines.Text())
		if len(words) == 0 || strings.HasPrefix(words[0], "#") {
			continue
		}
		switch {
		case len(words) != 2:
			mistake = append(mistake, fmt.Errorf("line %d: want a name and a key", number))
		case !keyNameForm.MatchString(words[0]):
			mistake = append(mistake, fmt.Errorf("line %d: a name has 1 to 64 letters, digits, dots, underscores and hyphens", number))
		case names[words[0]]:
			mistake = append(mistake, fmt.Errorf("line %d: the name stands twice", number))
		case !keyForm.MatchString(words[1]):
			mistake = append(mistake, fmt.Errorf("line %d: a key has 16 to 512 letters, digits and . _ ~ + / -", number))
		default:
			names[words[0]] = true
			list = append(list, key{name: words[0], hash: sha256.Sum256([]byte(words[1]))})
		}
	}
	if err := lines.Err(); err != nil {
		mistake = append(mistake, err)
	}
	if len(mistake) == 0 && len(list) == 0 {
		mistake = append(mistake, errors.New("there is no key"))
	}
	if len(mistake) > 0 {
		return fmt.Errorf("read keys: %w", errors.Join(mistake...))
	}
	k.list.Store(&list)
	return nil
}

// Len is the number of keys.
func (k *Keys) Len() int {
	if list := k.list.Load(); list != nil {
		return len(*list)
	}
	return 0
}

// holder is the name of a key. How long it takes does not depend on the key: hashes of one length are compared, all of them.
func (k *Keys) holder(presented string) (string, bool) {
	list := k.list.Load()
	if list == nil {
		return "", false
	}
	hash := sha256.Sum256([]byte(presented))
	found := -1
	for i := range *list {
		same := subtle.ConstantTimeCompare(hash[:], (*list)[i].hash[:])
		found = subtle.ConstantTimeSelect(same, i, found)
	}
	if found < 0 {
		return "", false
	}
	return (*list)[found].name, true
}

// keyHolder is where the name of the key stands in the context of a request.
const keyHolder = "key_holder"

// authorizing asks for a key below /v1 and for whatever is sent elsewhere, such as the form. The contract and the pages stay open
// to those who have none yet.
func (s *Server) authorizing(next echo.HandlerFunc) echo.HandlerFunc {
	if s.keys == nil {
		return next
	}
	return func(c echo.Context) error {
		if !strings.HasPrefix(c.Request().URL.Path, "/v1/") && c.Request().Method != http.MethodPost {
			return next(c)
		}
		scheme, presented, _ := strings.Cut(c.Request().Header.Get(echo.HeaderAuthorization), " ")
		if strings.EqualFold(scheme, "Bearer") {
			if name, ok := s.keys.holder(strings.TrimSpace(presented)); ok {
				c.Set(keyHolder, name)
				return next(c)
			}
		}
		challenge := "Bearer"
		if scheme != "" {
			challenge = `Bearer error="invalid_token"`
		}
		c.Response().Header().Set(echo.HeaderWWWAuthenticate, challenge)
		return &failure{kind: kindUnauthorized}
	}
}
