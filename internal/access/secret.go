package access

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"io"
)

// secretSize is of every token: 256 bits.
const secretSize = 32

// newSecret is a token of so many random bits, and the key under which it is kept.
func newSecret(random io.Reader) (token, key string) {
	var b [secretSize]byte
	if _, err := io.ReadFull(random, b[:]); err != nil {
		panic("access: the system has no randomness") // crypto/rand never fails
	}
	return base64.RawURLEncoding.EncodeToString(b[:]), keyOfSecret(b[:])
}

// keyOf is the key under which a token is kept. What is no token has none.
func keyOf(token string) (key string, ok bool) {
	if len(token) != base64.RawURLEncoding.EncodedLen(secretSize) {
		return "", false
	}
	b, err := base64.RawURLEncoding.Strict().DecodeString(token)
	if err != nil || len(b) != secretSize {
		return "", false
	}
	return keyOfSecret(b), true
}

func keyOfSecret(b []byte) string { return digest(b) }

func digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// idSize is how much of a key is shown to tell one thing from another, in hex digits.
const idSize = 16

// idOf is what is shown of a key: enough to tell, too little to sign in with.
func idOf(key string) string { return key[:min(idSize, len(key))] }
