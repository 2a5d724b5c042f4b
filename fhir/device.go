package fhir

import "cotline/fhir/internal/r4"

// device is one Device. An infant's is an interface or bonnet of a type and size, one
// placement of a tube, or one fitting of a circuit. A driver belongs to no infant: its
// tag names it, and several share it.
type device struct {
	id    string
	kind  r4.Concept
	site  r4.Concept // where it is worn
	size  string     // by the unit's own name; of a tube in Fr
	route string     // of a tube
	use   string     // of a tube
	tag   string     // of a driver
	entry string     // that brought it, where it is of one
	off   bool       // its period of use has ended, and none goes on
	left  bool       // the infant has left since
	sent  *r4.Model
}

// sizedKind is what interfaces and bonnets are told apart by.
type sizedKind struct{ code, size string }

// status is inactive for a tube or circuit whose wear has ended, because the next one
// is another Device. An interface or bonnet of the same type and size may be put on
// again while the infant is here, so it stays active until the infant has left.
func (d *device) status() string {
	if d.left || d.off && d.entry != "" {
		return r4.Inactive
	}
	return r4.Active
}
