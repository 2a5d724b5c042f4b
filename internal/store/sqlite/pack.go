package sqlite

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"io"
)

// A unit signs several handovers a day and keeps them for good; they are text
// that repeats itself, and take a tenth of the room when packed (RFC 1952).

// mostSigned is how many bytes a signed handover has at most: forty times that of 250
// infants.
const mostSigned = 256 << 20

func pack(text []byte) ([]byte, error) {
	if len(text) > mostSigned {
		return nil, fmt.Errorf("a signed handover of %d bytes: at most %d are kept", len(text), mostSigned)
	}
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	if _, err := w.Write(text); err != nil {
		return nil, err
	}
	err := w.Close()
	return b.Bytes(), err
}

// unpack is nil for bytes that were damaged: no digest is theirs.
func unpack(packed []byte) []byte {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil
	}
	var text bytes.Buffer
	text.Grow(unpacked(packed) + bytes.MinRead)
	if n, err := text.ReadFrom(io.LimitReader(r, mostSigned+1)); err != nil || n > mostSigned {
		return nil
	}
	return text.Bytes()
}

// unpacked is how long the text will be, by the last four bytes (RFC 1952, ISIZE). They may
// be damaged: a byte makes at most 1032 (zlib.net/zlib_tech.html), and more than mostSigned
// is not taken.
func unpacked(packed []byte) int {
	if len(packed) < 4 {
		return 0
	}
	return min(int(binary.LittleEndian.Uint32(packed[len(packed)-4:])), 1032*len(packed), mostSigned)
}
