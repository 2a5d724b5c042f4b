package access

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rsa"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"sync"
	"time"

	"github.com/go-jose/go-jose/v4"
)

// errKeys says no more: what a program serves is not repeated.
var errKeys = errors.New("the program's keys cannot be had")

// parseKeys reads a set of public keys. A private or symmetric one refuses all.
func parseKeys(text []byte) (*jose.JSONWebKeySet, error) {
	var set jose.JSONWebKeySet
	if len(text) > mostKeyBytes || json.Unmarshal(text, &set) != nil || len(set.Keys) == 0 || len(set.Keys) > mostKeys {
		return nil, &Unfit{"keys", fmt.Sprintf("a JWK set of 1 to %d keys", mostKeys)}
	}
	for _, k := range set.Keys {
		if k.KeyID == "" || !k.Valid() || !fitKey(k.Key) {
			return nil, &Unfit{"keys", fmt.Sprintf("public keys with a kid: RSA of at least %d bits, or EC on P-384", leastRSABits)}
		}
	}
	return &set, nil
}

func fitKey(key any) bool {
	switch k := key.(type) {
	case *rsa.PublicKey:
		return k.N.BitLen() >= leastRSABits && k.N.BitLen() <= 8192
	case *ecdsa.PublicKey:
		return k.Curve == elliptic.P384() // of ES384, RFC 7518, section 3.4
	}
	return false
}

// keyFor is the one key of a set for a header: its kid, and a type that fits the algorithm.
func keyFor(set *jose.JSONWebKeySet, kid string, alg jose.SignatureAlgorithm) (any, bool) {
	var found any
	for _, k := range set.Keys {
		_, isRSA := k.Key.(*rsa.PublicKey)
		if k.KeyID != kid || isRSA != (alg == jose.RS384) {
			continue
		}
		if found != nil {
			return nil, false // the kid must be unique
		}
		found = k.Key
	}
	return found, found != nil
}

// keySets are sets that were read from an address, kept for a while.
type keySets struct {
	mu  sync.Mutex
	has map[string]keySet
}

type keySet struct {
	set *jose.JSONWebKeySet
	at  time.Time // when it was asked for
	err error
}

// How long a set is taken as it was, and how soon it may be asked for again where a kid is
// not in it. This project's own choice.
const (
	keysKept  = 5 * time.Minute
	keysAgain = 30 * time.Second
)

// of is a program's key for a header; asked for anew where those kept have it not.
func (s *keySets) of(ctx context.Context, client *http.Client, now time.Time, p *Program, kid string,
	alg jose.SignatureAlgorithm) (any, error) {
	if p.Keys != "" {
		set, err := parseKeys([]byte(p.Keys))
		if err != nil {
			return nil, ErrDamaged
		}
		if key, ok := keyFor(set, kid, alg); ok {
			return key, nil
		}
		return nil, errKeys
	}
	s.mu.Lock()
	had, known := s.has[p.KeyURL]
	s.mu.Unlock()
	if known && had.err == nil && now.Sub(had.at) < keysKept {
		if key, ok := keyFor(had.set, kid, alg); ok {
			return key, nil
		}
	}
	if known && now.Sub(had.at) < keysAgain {
		return nil, errKeys
	}
	set, err := fetchKeys(ctx, client, p.KeyURL)
	s.mu.Lock()
	if s.has == nil {
		s.has = map[string]keySet{}
	}
	s.has[p.KeyURL] = keySet{set, now, err} // one for each address that is registered
	s.mu.Unlock()
	if err != nil {
		return nil, err
	}
	if key, ok := keyFor(set, kid, alg); ok {
		return key, nil
	}
	return nil, errKeys
}

func fetchKeys(ctx context.Context, asks *http.Client, address string) (*jose.JSONWebKeySet, error) {
	ctx, cancel := context.WithTimeout(ctx, outboundFor)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return nil, errKeys
	}
	req.Header.Set("Accept", "application/json")
	client := *asks
	client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	res, err := client.Do(req)
	if err != nil {
		return nil, errKeys
	}
	defer res.Body.Close() // it was only read
	body, err := io.ReadAll(io.LimitReader(res.Body, mostKeyBytes+1))
	if err != nil || res.StatusCode != http.StatusOK {
		return nil, errKeys
	}
	set, err := parseKeys(body)
	if err != nil {
		return nil, errKeys
	}
	return set, nil
}

// outboundFor is how long another server is waited for.
const outboundFor = 10 * time.Second

// outbound asks other servers.
func outbound() *http.Client { return &http.Client{Timeout: outboundFor} }
