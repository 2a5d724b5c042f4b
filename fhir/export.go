package fhir

import (
	"strings"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover"
)

// Ask is what of a ward is exported.
type Ask struct {
	At     time.Time    // what happened up to this moment, it included
	Known  time.Time    // and had been written down by this one
	Infant string       // only this infant, admitted or not; empty: who is admitted at At, and who left lately
	Codes  r4.SiteCodes // the site's further codings; nil: none
	Lean   bool         // only to be sent: resources keep their bytes, and no model; of no difference
	from   time.Time    // since when what was so is told; zero: the policy's time before At
	all    bool         // every infant, every stay: what a delta compares
	whole  bool         // for a document: every type, whatever the policy sends
	needs  *needs       // of a document: what of the infant's resources it holds
	mute   bool         // the texts of entries are not carried
	ever   bool         // of all moments at once: nothing that is so at one of them
}

// Export is what a receiver is to hold: the resources that entries yield. Their order
// follows from the entries alone.
type Export struct {
	Resources []*r4.Resource
	Held      []Held // infants who were left out, and why: a person must look
	policy    *handover.Policy
	pool      map[string]*r4.Resource // what the resources refer to, by Type/id
}

// Held is an infant who cannot be exported safely.
type Held struct{ Infant, Why string }

// NotSet says which keys of the policy an export needs and does not find.
type NotSet struct{ Keys []string }

func (e *NotSet) Error() string {
	return "not set in the policy, and needed for this export: " + strings.Join(e.Keys, ", ")
}
