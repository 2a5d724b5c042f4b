package entry

import (
	"bytes"
	"slices"
)

// An entry is carried when it was read back from an export of a record that had
// taken it: its charted is the one that it was stamped with there, its sizes and
// steps were judged there, and of an infant whose name is not shown it lacks the
// name.

// AppendStamped appends the canonical text with the charted that the entry was
// given or stamped with: what another record needs to hold the same.
func (e *Entry) AppendStamped(b []byte) []byte {
	return e.appendCanonical(b, true)
}

// Unnamed is the entry without the infant's name, nil when it tells nothing else.
func (e *Entry) Unnamed() *Entry {
	as := *e
	if e.Corrected != nil {
		if as.Corrected = e.Corrected.Unnamed(); as.Corrected == nil {
			return nil
		}
		return &as
	}
	if e.Kind != "admission" && e.Kind != "identity" {
		return &as
	}
	as.Fields = slices.DeleteFunc(slices.Clone(e.Fields), func(f Field) bool { return f.Name == "family" || f.Name == "given" })
	if len(as.Fields) == 0 {
		return nil
	}
	return &as
}

func (e *Entry) named() bool {
	if e.Corrected != nil {
		return e.Corrected.named()
	}
	return e.Has("family") || e.Has("given")
}

// sameAs says whether an entry that is offered is the one that is held.
func (e *Entry) sameAs(held *Entry) bool {
	if canonical := e.AppendCanonical(nil); bytes.Equal(held.AppendCanonical(nil), canonical) ||
		bytes.Equal(held.clean().AppendCanonical(nil), canonical) {
		return true
	}
	if !e.Carried && !held.Carried {
		return false
	}
	a, b := held.clean(), e.clean()
	if a.named() != b.named() {
		if a, b = a.Unnamed(), b.Unnamed(); a == nil || b == nil {
			return false
		}
	}
	return bytes.Equal(a.AppendStamped(nil), b.AppendStamped(nil))
}
