package access

import (
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
)

// HashCost is what a hash of a password costs.
type HashCost struct {
	Memory  uint32 // KiB
	Passes  uint32
	Threads uint8
}

// DefaultHashCost is the second recommended option of RFC 9106, section 4: 64 MiB, three
// passes, four lanes; salt and tag as there, 128 and 256 bits. It is above the least of the
// OWASP Password Storage Cheat Sheet (19 MiB, two passes, one lane).
var DefaultHashCost = HashCost{Memory: 1 << 16, Passes: 3, Threads: 4}

const (
	saltSize     = 16
	tagSize      = 32
	hashesAtOnce = 4 // of 64 MiB each: what sign-in can take of the memory
)

// What a hash that is kept may cost, so that a changed row cannot eat the machine.
const (
	mostMemory  = 1 << 18 // KiB
	mostPasses  = 16
	mostThreads = 16
	longestHash = 256 // characters
)

var errHash = errors.New("no hash of a password that this program makes")

// phc is a hash as it is kept: the PHC string format of Argon2id, version 19.
var phc = regexp.MustCompile(
	`^\$argon2id\$v=19\$m=([1-9][0-9]{0,6}),t=([1-9][0-9]?),p=([1-9][0-9]?)\$([A-Za-z0-9+/]+)\$([A-Za-z0-9+/]+)$`,
)

// hash is a new hash of a password.
func (c HashCost) hash(random io.Reader, password []byte) string {
	salt := make([]byte, saltSize)
	if _, err := io.ReadFull(random, salt); err != nil {
		panic("access: the system has no randomness") // crypto/rand never fails
	}
	tag := argon2.IDKey(password, salt, c.Passes, c.Memory, c.Threads, tagSize)
	b64 := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, c.Memory, c.Passes, c.Threads,
		b64.EncodeToString(salt), b64.EncodeToString(tag))
}

// parseHash reads a hash that is kept.
func parseHash(text string) (c HashCost, salt, tag []byte, err error) {
	if len(text) > longestHash {
		return c, nil, nil, errHash
	}
	m := phc.FindStringSubmatch(text)
	if m == nil {
		return c, nil, nil, errHash
	}
	var n [3]int
	for i, most := range []int{mostMemory, mostPasses, mostThreads} {
		if n[i], err = strconv.Atoi(m[i+1]); err != nil || n[i] > most {
			return c, nil, nil, errHash
		}
	}
	b64 := base64.RawStdEncoding.Strict()
	salt, err = b64.DecodeString(m[4])
	if err != nil || len(salt) < 8 || len(salt) > 64 {
		return c, nil, nil, errHash
	}
	tag, err = b64.DecodeString(m[5])
	if err != nil || len(tag) < 16 || len(tag) > 64 {
		return c, nil, nil, errHash
	}
	return HashCost{uint32(n[0]), uint32(n[1]), uint8(n[2])}, salt, tag, nil // #nosec G115 -- held to its range above
}

// matches says whether a password is the one of a hash, in the same time for every tag.
func matches(kept string, password []byte) bool {
	c, salt, tag, err := parseHash(kept)
	if err != nil {
		return false
	}
	got := argon2.IDKey(password, salt, c.Passes, c.Memory, c.Threads, uint32(len(tag))) // #nosec G115 -- held to its range above
	return subtle.ConstantTimeCompare(got, tag) == 1
}

// Lengths of a password in code points: NIST SP 800-63B-4 asks for 15 where a password is
// the only factor, and that at least 64 can be used; it allows no rule of composition and no
// change by the calendar. The longest is this project's bound.
const (
	shortestPassword = 15
	longestPassword  = 256
)

// fitPassword holds a new password to the rules. Words are those that an attacker would try
// first: of the person, the unit, the program.
func fitPassword(password string, words ...string) error {
	n := utf8.RuneCountInString(password)
	switch {
	case !utf8.ValidString(password):
		return &Unfit{"password", "it holds bytes that are no text"}
	case n < shortestPassword:
		return &Unfit{"password",
			fmt.Sprintf("at least %d characters; a few words that do not belong together are easiest", shortestPassword)}
	case n > longestPassword:
		return &Unfit{"password", fmt.Sprintf("at most %d characters", longestPassword)}
	}
	rest := strings.ToLower(password)
	for _, w := range append(words, commonWords...) {
		if w = strings.ToLower(w); utf8.RuneCountInString(w) >= 3 {
			rest = strings.ReplaceAll(rest, w, "")
		}
	}
	if differing(rest) < fewestDiffering {
		return &Unfit{"password", "it is made of names, common words, repetitions or a row of the keyboard; take words that do not " +
			"belong together"}
	}
	return nil
}

// fewestDiffering characters are wanted of what is left of a password without common words
// and without steps as in abc, 321, aaa and qwerty. This project's own rule.
const fewestDiffering = 6

// commonWords are those of the context (ASVS 5.0, 6.1.2) and those that stand first in
// every list of passwords; from memory.
var commonWords = []string{
	"cotline",
	"neonatal",
	"nicu",
	"nurse",
	"ward",
	"infant",
	"cpap",
	"hospital",
	"password",
	"passwort",
	"welcome",
	"letmein",
	"iloveyou",
	"admin",
	"login",
	"secret",
	"keeper",
	"clerk",
	"charge",
	"integrator",
	"spring",
	"summer",
	"autumn",
	"winter",
}

var keyboard = []string{"qwertyuiop", "asdfghjkl", "zxcvbnm", "qwertzuiop", "azertyuiop"}

// differing counts the different characters of a text that do not merely follow the one
// before.
func differing(text string) int {
	seen := map[rune]bool{}
	var before rune
	for _, r := range text {
		if !follows(before, r) && !unicode.IsSpace(r) {
			seen[r] = true
		}
		before = r
	}
	return len(seen)
}

func follows(before, r rune) bool {
	if d := r - before; d >= -1 && d <= 1 {
		return true
	}
	for _, row := range keyboard {
		i, j := strings.IndexRune(row, before), strings.IndexRune(row, r)
		if i >= 0 && j >= 0 && (i-j == 1 || j-i == 1) {
			return true
		}
	}
	return false
}
