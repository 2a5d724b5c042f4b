package access

import (
	"crypto/rand"
	"strings"
	"testing"
)

// A known answer of the reference implementation (P-H-C/phc-winner-argon2, src/test.c, version
// 0x13 of Argon2id: t 2, m 2^8 KiB, p 1), as a string in the PHC format.
func TestKnownHash(t *testing.T) {
	const kept = "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4"
	if !matches(kept, []byte("password")) || matches(kept, []byte("passwore")) || matches(kept, nil) {
		t.Error("it is not its password's")
	}
}

func TestHashesDiffer(t *testing.T) {
	c := HashCost{Memory: 64, Passes: 1, Threads: 1}
	one, other := c.hash(rand.Reader, []byte("a")), c.hash(rand.Reader, []byte("a"))
	if one == other {
		t.Error("two people with one password have one hash")
	}
}

// The costs that are the default, held to the sources that they are named after: RFC 9106,
// section 4, second recommended option; OWASP Password Storage Cheat Sheet, least of Argon2id.
func TestDefaultCost(t *testing.T) {
	if (DefaultHashCost != HashCost{Memory: 64 * 1024, Passes: 3, Threads: 4}) || saltSize*8 != 128 || tagSize*8 != 256 {
		t.Errorf("%+v", DefaultHashCost)
	}
	if DefaultHashCost.Memory < 19*1024 || DefaultHashCost.Passes < 2 {
		t.Error("it is below OWASP's least")
	}
	if !strings.HasPrefix(DefaultHashCost.hash(rand.Reader, nil), "$argon2id$v=19$m=65536,t=3,p=4$") {
		t.Error("it is not kept in the PHC string format")
	}
}

func FuzzHash(f *testing.F) {
	f.Add(HashCost{Memory: 8, Passes: 1, Threads: 1}.hash(rand.Reader, []byte("a")))
	f.Add("$argon2id$v=19$m=9999999,t=99,p=99$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHApl8ArZWb2GRPPc")
	f.Add("$argon2i$v=19$m=16,t=1,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5Q")
	f.Add("$argon2id$v=19$m=16,t=1,p=1$$")
	f.Fuzz(func(t *testing.T, text string) {
		c, salt, tag, err := parseHash(text)
		if err != nil {
			return
		}
		if c.Memory > mostMemory || c.Passes > mostPasses || c.Threads > mostThreads || c.Passes == 0 || c.Threads == 0 ||
			len(salt) < 8 || len(tag) < 16 || len(tag) > 64 {
			t.Errorf("%+v %d %d", c, len(salt), len(tag))
		}
	})
}
