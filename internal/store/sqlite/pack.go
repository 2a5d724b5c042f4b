package sqlite

import (
	"bytes"
	"compress/gzip"
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
	text, err := io.ReadAll(io.LimitReader(r, mostSigned+1))
	if err != nil || len(text) > mostSigned {
		return nil
	}
	return text
}
