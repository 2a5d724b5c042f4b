package access

import "context"

// holds compares a password with a hash; where there is none, it does the same work in vain.
// It waits for its turn, since each hash takes much memory.
func (a *Access) holds(ctx context.Context, kept, password string) (bool, error) {
	a.ready()
	select {
	case a.hashing <- struct{}{}:
	case <-ctx.Done():
		return false, ctx.Err()
	}
	defer func() { <-a.hashing }()
	nobody := a.nobody() // before anything tells one from the other
	if _, _, _, err := parseHash(kept); err != nil {
		matches(nobody, []byte(password))
		return false, nil
	}
	return matches(kept, []byte(password)), nil
}

// made is the hash of a new password, in its turn.
func (a *Access) made(ctx context.Context, password string) (string, error) {
	a.ready()
	select {
	case a.hashing <- struct{}{}:
	case <-ctx.Done():
		return "", ctx.Err()
	}
	defer func() { <-a.hashing }()
	return a.Hash.hash(a.random, []byte(password)), nil
}

// stale says whether a hash was made at another cost than is asked for now.
func (a *Access) stale(kept string) bool {
	c, _, _, err := parseHash(kept)
	return err == nil && c != a.Hash
}
