package ward

import (
	"bytes"
	"cmp"
	"encoding/hex"
	"encoding/json"
	"math/rand/v2"
	"time"
)

// entry is one care entry. An empty infant is the whole unit's.
type entry struct {
	id          string
	infant      string
	at, charted time.Time
	by          string
	fields      fields
	offset      *time.Location // of its moments; nil: the unit's zone
}

// line is the entry as NDJSON, newline included: the common fields, then those of the kind.
func (e entry) line() []byte {
	type common struct {
		ID      string `json:"id"`
		Infant  string `json:"infant,omitempty"`
		Kind    string `json:"kind"`
		At      string `json:"at"`
		Charted string `json:"charted"`
		By      string `json:"by"`
	}
	where := cmp.Or(e.offset, zone)
	first := object(
		common{e.id, e.infant, e.fields.kind(), e.at.In(where).Format(time.RFC3339), e.charted.In(where).Format(time.RFC3339), e.by},
	)
	return append(join(first, object(e.fields)), '\n')
}

// restated is the whole entry as a correction carries it.
func restated(at time.Time, f fields) json.RawMessage {
	type common struct {
		Kind string `json:"kind"`
		At   string `json:"at"`
	}
	return join(object(common{f.kind(), stamp(at)}), object(f))
}

// object is v as compact JSON. Text stays as it is: no escapes made for HTML.
func object(v any) []byte {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		panic(err) // a number in this package that is none
	}
	return bytes.TrimSuffix(out.Bytes(), []byte("\n"))
}

// join makes one object of two.
func join(a, b []byte) []byte {
	if len(b) == len("{}") {
		return a
	}
	a[len(a)-1] = ','
	return append(a, b[1:]...)
}

// byMoment orders entries: at, then charted, then id.
func byMoment(a, b entry) int {
	return cmp.Or(a.at.Compare(b.at), a.charted.Compare(b.charted), cmp.Compare(a.id, b.id))
}

// stamp is RFC 3339 with the unit's offset of that moment.
func stamp(t time.Time) string { return t.In(zone).Format(time.RFC3339) }

// newID is a UUID in the form of RFC 4122 version 4, from a seeded generator.
func newID(r *rand.Rand) string {
	var b [16]byte
	for i := 0; i < len(b); i += 8 {
		for j, bits := 0, r.Uint64(); j < 8; j, bits = j+1, bits>>8 {
			b[i+j] = byte(bits)
		}
	}
	b[6] = b[6]&0x0f | 0x40 // version 4
	b[8] = b[8]&0x3f | 0x80 // the variant of RFC 4122
	out := make([]byte, 36)
	hex.Encode(out, b[:4])
	hex.Encode(out[9:], b[4:6])
	hex.Encode(out[14:], b[6:8])
	hex.Encode(out[19:], b[8:10])
	hex.Encode(out[24:], b[10:])
	out[8], out[13], out[18], out[23] = '-', '-', '-', '-'
	return string(out)
}
