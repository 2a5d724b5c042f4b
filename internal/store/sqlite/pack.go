package sqlite

import (
	"bytes"
	"compress/gzip"
	"io"
)

// A unit signs several handovers a day and keeps them for good; they are text
// that repeats itself, and take a tenth of the room when packed (RFC 1952).

func pack(text []byte) ([]byte, error) {
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
	text, err := io.ReadAll(r)
	if err != nil {
		return nil
	}
	return text
}
