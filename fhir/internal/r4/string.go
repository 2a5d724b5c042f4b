package r4

import (
	"encoding/binary"
	"errors"
	"math/bits"
	"strings"
	"unicode/utf8"
)

// Sound refuses what a FHIR string cannot be.
func Sound(s string) error {
	switch {
	case strings.TrimSpace(s) == "":
		return errEmpty
	case !utf8.ValidString(s):
		return errors.New("not UTF-8")
	case strings.ContainsFunc(s, isControl):
		return errors.New("a control character")
	}
	return nil
}

// isControl says whether a character is one that a FHIR string may not hold: any
// control character but the tab and the ends of lines, and the two non-characters that
// XML refuses.
func isControl(r rune) bool {
	return r < 0x20 && r != '\t' && r != '\n' && r != '\r' || r >= 0x7F && r < 0xA0 || r == 0xFFFE || r == 0xFFFF
}

// IsDecimal is the decimal of FHIR R4 without exponent.
func IsDecimal(s string) bool {
	whole, fraction, dotted := strings.Cut(strings.TrimPrefix(s, "-"), ".")
	if whole == "" || len(whole) > 1 && whole[0] == '0' || dotted && fraction == "" {
		return false
	}
	return strings.Trim(whole+fraction, "0123456789") == ""
}

// ordinary are the bytes that a JSON string holds as they are.
var ordinary = func() (is [256]bool) {
	for c := 0x20; c < 0x7F; c++ {
		is[c] = c != '"' && c != '\\'
	}
	return is
}()

// ordinaryTo is where the ordinary bytes from i on end. It looks at eight bytes at
// once: the top bit of each becomes set where the byte is not ordinary. The lowest such
// bit is right, for a carry can only make those above it wrong.
func ordinaryTo(b []byte, i int) int {
	const each, top = 0x0101010101010101, 0x8080808080808080
	for ; i+8 <= len(b); i += 8 {
		x := binary.LittleEndian.Uint64(b[i:])
		odd := x | (x - each*0x20) | (x + each) | ((x ^ each*'"') - each) | ((x ^ each*'\\') - each)
		if odd &= top; odd != 0 {
			return i + bits.TrailingZeros64(odd)/8
		}
	}
	for i < len(b) && ordinary[b[i]] {
		i++
	}
	return i
}

var errEmpty = errors.New("empty")
