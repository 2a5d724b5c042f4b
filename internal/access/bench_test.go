package access_test

import (
	"crypto/rand"
	"testing"
	"time"

	"golang.org/x/crypto/argon2"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// What a sign-in costs beside the hash alone that it cannot do without, as a ratio.
func BenchmarkSignIn(b *testing.B) {
	a, _, clock := accesstest.New(home)
	a.Hash = access.DefaultHashCost
	accesstest.Add(b, a, home, "maeve", access.Nurse)
	salt := make([]byte, 16)
	rand.Read(salt)
	var whole, alone time.Duration
	for b.Loop() {
		clock.Move(time.Hour)
		from := time.Now()
		accesstest.In(b, a, "maeve")
		whole += time.Since(from)
		from = time.Now()
		argon2.IDKey([]byte(accesstest.Password), salt, a.Hash.Passes, a.Hash.Memory, a.Hash.Threads, 32)
		alone += time.Since(from)
	}
	b.ReportMetric(float64(whole)/float64(alone), "x-hash")
}
