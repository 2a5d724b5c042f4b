package entry_test

import (
	"strings"
	"testing"

	"cotline/handover/entry"
)

// What a nested field's example says is taken as it stands.
func TestExamplesAreTaken(t *testing.T) {
	nested := 0
	for _, k := range entry.Kinds {
		for i := range k.Fields {
			s := &k.Fields[i]
			switch s.Type {
			case entry.List, entry.Object, entry.PerInfant, entry.EntryType:
			default:
				continue
			}
			nested++
			text := `{"id":"` + entryID(1) + `","infant":"in-1","kind":"` + k.Name + `","at":"2026-03-09T07:30:00+01:00","by":"n","` +
				s.Name + `":` + s.Example() + `}`
			_, issues := readEntry(text)
			for _, i := range issues {
				if strings.HasPrefix(i.Path, s.Name) {
					t.Errorf("%s %s: %s: %v", k.Name, s.Name, s.Example(), i)
				}
			}
		}
	}
	if nested < 10 {
		t.Errorf("only %d nested fields", nested)
	}
}
